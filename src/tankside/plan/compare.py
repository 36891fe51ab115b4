"""Compare candidate courses: block, race, play the best to the end, leave levers out one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import ceil

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.course import Caution, CourseRun, Level
from tankside.lifecycle import Compiled, Histories, OfTwenty
from tankside.lifecycle.inputs.forcing import shares_known
from tankside.lifecycle.results.endpoints import clear_at, lost
from tankside.lifecycle.results.rival_sides import RivalSide, agreed_share, rival_sides
from tankside.lifecycle.results.weighted import share
from tankside.plan.candidate import NO_TREATMENT, WATER_ONLY, Candidate
from tankside.plan.equivalence import same_for_parasite
from tankside.plan.pareto import unbeaten
from tankside.plan.racing import Losses, Progress, RaceRules, race
from tankside.plan.score import Score, score, work_per_day
from tankside.plan.trial import Trial
from tankside.plan.turning import Turning, turnings
from tankside.quantity.per import HOURS_PER_DAY

_WORK = setting(0.001, "an hour of work a day weighs as much as 6 % more runs that do not clear")
_DAYS = setting(0.001, "ten days more weigh as much as 1 % more runs that do not clear")
_CARE = setting(0.01, "a caution more weighs as much as 1 % more runs that do not clear")
FINAL_ROUND = whole_setting(
    1000, "the last comparison has a random stream of its own, unseen by the race"
)
ALWAYS = (WATER_ONLY, NO_TREATMENT)


@dataclass(frozen=True, slots=True)
class Sizes:
    """How many histories each step of a comparison plays.

    Args:
        race: rules of the race.
        final: histories of each course that is shown.
        ablation: histories of each course with a lever left out.
        ablated: how many courses are taken apart, best first.
    """

    race: RaceRules = field(
        default_factory=lambda: RaceRules(
            whole_setting(4, "tells a hopeless course from a good one; doubled every round"),
            whole_setting(
                2, "besides the best of each kind: as many columns as an eye can compare"
            ),
            whole_setting(8, "two good courses are told apart at the end, not in the race"),
        )
    )
    final: int = whole_setting(
        128, "standard error of a share at most 0.044, 0.9 runs of 20: shown"
    )
    ablated: int = whole_setting(2, "the courses most likely to be chosen")


DEFAULT_SIZES = Sizes()


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What becomes of a course when one lever is left out."""

    words: str
    clear: OfTwenty


@dataclass(frozen=True, slots=True)
class Compared:
    """One course of the comparison.

    Args:
        candidate: the course and its levers.
        run: its water, amounts, lines and cautions.
        score: what it came to.
        leaving_out: the same course with each lever left out ("()" when not taken apart).
        unbeaten: whether no other course shown is as good in every respect and better in one.
    """

    candidate: Candidate
    run: CourseRun
    score: Score
    leaving_out: tuple[LeftOut, ...] = ()
    unbeaten: bool = True


@dataclass(frozen=True, slots=True)
class Blocked:
    """A kind of course that is not offered, and why."""

    kind: str
    candidates: int
    reasons: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """The comparison of all candidates of a case.

    Args:
        courses: "water only" first, "no treatment" second, then the others, best first.
        blocked: what is not offered, with reasons.
        candidates: how many courses were generated.
        simulated: how many of them were played.
        histories: histories played in all.
        horizon_days: days each course was followed, its own days and the time for a return.
        turnings: on what print disagrees so that another course is best; places of the courses.
    """

    courses: tuple[Compared, ...]
    blocked: tuple[Blocked, ...]
    candidates: int
    simulated: int
    histories: int
    horizon_days: int
    turnings: tuple[Turning, ...] = ()


@dataclass(slots=True)
class _Entrant:
    candidate: Candidate
    run: CourseRun
    compiled: Compiled | None = None


def horizon_days(candidates: Sequence[Candidate], slow_cycle_d: float) -> int:
    """Return how long every course is followed [d]: the longest, and one slow cycle to return."""
    return max(candidate.days for candidate in candidates) + ceil(slow_cycle_d)


def compare(
    trial: Trial,
    candidates: Sequence[Candidate],
    sizes: Sizes = DEFAULT_SIZES,
    progress: Progress | None = None,
    days: int | None = None,
) -> Comparison:
    """Compare candidates under common random numbers.

    Args:
        trial: case, knowledge and starting state.
        candidates: proposed courses.
        sizes: how many histories each step plays.
        progress: told how far each long step has come.
        days: how long each is followed [d]; None for as long as these candidates ask.

    Returns:
        The courses worth comparing, those not offered with reasons, and what it cost.
    """
    if days is None:
        days = horizon_days(candidates, trial.situation.stage_durations.cycle[2])
    contest = _Contest(trial, days, progress)
    open_, blocked = contest.sort_out(candidates)
    fixed = [entrant for entrant in open_ if entrant.candidate.name in ALWAYS]
    racing = [entrant for entrant in open_ if entrant.candidate.name not in ALWAYS]
    left = contest.race(racing, sizes.race)
    shown = contest.finish([*fixed, *left], sizes)
    return Comparison(
        shown, blocked, len(candidates), len(open_), contest.played, days, contest.turned
    )


@dataclass(slots=True)
class _Contest:
    trial: Trial
    days: int
    progress: Progress | None
    played: int = 0
    turned: tuple[Turning, ...] = ()

    def tell(self, what: str, done: int, total: int) -> None:
        if self.progress is not None:
            self.progress(what, done, total)

    def sort_out(
        self, candidates: Sequence[Candidate]
    ) -> tuple[list[_Entrant], tuple[Blocked, ...]]:
        """Run the water of every candidate; a blocked one is set aside with its reasons."""
        open_: list[_Entrant] = []
        refused: dict[str, list[tuple[Caution, ...]]] = {}
        for number, candidate in enumerate(candidates, 1):
            run = self.trial.water(candidate.course(self.days))
            if run.blocked:
                refused.setdefault(candidate.kind, []).append(run.blocked)
            else:
                open_.append(_Entrant(candidate, run))
            self.tell("running the water of each course", number, len(candidates))
        return open_, tuple(
            Blocked(kind, len(reasons), _why(reasons)) for kind, reasons in refused.items()
        )

    def histories(
        self, entrant: _Entrant, number: int, count: int, record_h: tuple[int, ...]
    ) -> Histories:
        if entrant.compiled is None:
            entrant.compiled = self.trial.compile(entrant.run)
        self.played += count
        return self.trial.play(entrant.compiled, number, count, record_h)

    @property
    def deaths(self) -> bool:
        """Whether print says what share of these fish dies."""
        return shares_known(self.trial.organism, self.trial.hosts)

    def ends(self) -> tuple[int, ...]:
        """Return the first and the last hour looked at."""
        return (0, self.days * HOURS_PER_DAY - 1)

    def race(self, entrants: list[_Entrant], rules: RaceRules) -> list[_Entrant]:
        def play(place: int, number: int, count: int) -> Losses:
            entrant = entrants[place]
            return _loss(entrant, self.histories(entrant, number, count, self.ends()))

        kinds = [entrant.candidate.kind for entrant in entrants]
        outcome = race(kinds, play, rules, self.progress)
        return [entrants[place] for place in outcome.left]

    def finish(self, entrants: list[_Entrant], sizes: Sizes) -> tuple[Compared, ...]:
        shown: list[Compared] = []
        losses: list[Losses] = []
        sides: Mapping[str, tuple[RivalSide, ...]] = {}
        for number, entrant in enumerate(entrants, 1):
            played = self.histories(entrant, FINAL_ROUND, sizes.final, self.ends())
            sides = sides or rival_sides(self.trial.organism, played.draws, sizes.final)
            reached = self.score_of(entrant, played, sides)
            shown.append(Compared(entrant.candidate, entrant.run, reached))
            losses.append(_loss(entrant, played))
            self.tell("playing the courses left", number, len(entrants))
        fixed = sum(c.candidate.name in ALWAYS for c in shown)
        ranked = sorted(range(fixed, len(shown)), key=lambda place: float(losses[place].mean()))
        ordered = [*shown[:fixed], *(shown[place] for place in ranked)]
        self.turned = _placed(turnings([losses[place] for place in ranked], sides), fixed)
        flags = unbeaten([_respects(course.score) for course in ordered])
        marked = [replace(c, unbeaten=flag) for c, flag in zip(ordered, flags, strict=True)]
        return tuple(self.take_apart(marked, fixed, sizes))

    def score_of(
        self, entrant: _Entrant, played: Histories, sides: Mapping[str, tuple[RivalSide, ...]]
    ) -> Score:
        """Return the score of a course; certain only where contradicting papers agree."""
        lines, days = entrant.run.lines, entrant.candidate.days
        reached = score(played, lines, days, deaths_known=self.deaths)
        return replace(reached, clear=agreed_share(clear_at(played), played.weights, sides))

    def take_apart(self, shown: list[Compared], fixed: int, sizes: Sizes) -> list[Compared]:
        """Leave out each lever of the best courses."""
        chosen = range(fixed, min(fixed + sizes.ablated, len(shown)))
        total = sum(len(shown[place].candidate.removable) for place in chosen)
        done = 0
        for place in chosen:
            candidate, left_out = shown[place].candidate, []
            for part in candidate.removable:
                run = self.trial.water(candidate.without(part, self.days))
                clear = shown[place].score.clear
                if not same_for_parasite(run.tank_hours, shown[place].run.tank_hours):
                    entrant = _Entrant(candidate, run)
                    played = self.histories(entrant, FINAL_ROUND, sizes.final, self.ends())
                    clear = share(clear_at(played), played.weights)
                left_out.append(LeftOut(part.words, clear))
                done += 1
                self.tell("leaving out one lever at a time", done, total)
            shown[place] = replace(shown[place], leaving_out=tuple(left_out))
        return shown


def _placed(turned: Sequence[Turning], fixed: int) -> tuple[Turning, ...]:
    """Return the turnings with places counted among all courses shown."""
    return tuple(
        replace(turning, sides=tuple(replace(s, best=s.best + fixed) for s in turning.sides))
        for turning in turned
    )


def _loss(entrant: _Entrant, played: Histories) -> Losses:
    """Return one number per history for the race only: not clear, share of fish lost, effort."""
    stock = max(int(played.alive[0, 0].sum()), 1)
    work = work_per_day(entrant.run.lines, entrant.candidate.days) or 0.0
    care = sum(caution.level is Level.CARE for caution in entrant.run.safety)
    effort = _WORK * work + _DAYS * entrant.candidate.days + _CARE * care
    losses: Losses = np.where(clear_at(played), 0.0, 1.0) + lost(played) / stock + effort
    weighted: Losses = losses * (played.weights / played.weights.mean())
    return weighted


def _respects(reached: Score) -> tuple[float, ...]:
    work = reached.work_min_per_day or 0.0
    return (-reached.clear.share, reached.lost_high, reached.days, work)


def _why(refusals: Sequence[tuple[Caution, ...]]) -> tuple[Caution, ...]:
    """Return what stands against every course refused; where nothing does, each reason once."""
    said: dict[tuple[str, str, str], Caution] = {}
    for cautions in refusals:
        for caution in cautions:
            said.setdefault(_gist(caution), caution)
    each = [{_gist(caution) for caution in cautions} for cautions in refusals]
    always = set.intersection(*each)
    return tuple(caution for gist, caution in said.items() if gist in always or not always)


def _gist(caution: Caution) -> tuple[str, str, str]:
    return (caution.code, caution.group, caution.words)
