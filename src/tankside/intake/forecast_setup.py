"""Which courses a forecast plays for a case, on what trial, and what is asked of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.course import Course
from tankside.errors import BadInput, NotPossible
from tankside.intake.assemble import Assembled, assemble
from tankside.intake.chosen_course import Chosen, chosen
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.intake.trial_setup import set_up
from tankside.plan import NO_TREATMENT, WATER_ONLY, Candidate, Trial, propose, read_levers

NOON_H = 12
RUNS = 512
"""Histories of each course: the standard error of a share is at most 0.022."""
SWEEP_RUNS = 256
FEWEST, MOST = 16, 65_536
LOOK_FISH = 5


@dataclass(frozen=True, slots=True)
class ForecastRequest:
    """What is asked of a forecast.

    Args:
        organism: organism id; None to take it from the case.
        seed: of chance; None to derive it from the case.
        runs: histories of each course.
        against: name of the course to hold the followed one against; None for water only.
        sweep: claims to hold at rising values; None for the ones that matter most; () for none.
        look_fish: how many fish a look takes.
    """

    organism: str | None = None
    seed: int | None = None
    runs: int = RUNS
    against: str | None = None
    sweep: tuple[str, ...] | None = ()
    look_fish: int = LOOK_FISH


@dataclass(frozen=True, slots=True)
class Followed:
    """The course that stands first.

    Args:
        name: as the case names it.
        version: which plan of the case; 0 when none was chosen and water only stands for it.
    """

    name: str
    version: int


@dataclass(frozen=True, slots=True)
class ForecastSetup:
    """A case ready to be foretold.

    Args:
        case: at hour 0 of the course.
        trial: what stays the same for all courses.
        followed: the first course.
        courses: the followed one, the one it is held against, no treatment; all equally long.
        group: the group whose fish are looked at.
        look_fish: how many of them.
    """

    case: Assembled
    trial: Trial
    followed: Followed
    courses: tuple[Course, ...]
    group: str
    look_fish: int


def forecast_setup(view: CaseView, facts: Knowledge, request: ForecastRequest) -> ForecastSetup:
    """Return a case with the courses to foretell.

    Raises:
        BadInput: E-FC-01 runs or fish out of bounds, E-FC-03 no course of that name.
        NotPossible: E-FC-02 no life cycle with figures, E-DOSE-20 something must be measured.
    """
    _check(request)
    picked = chosen(view) if view.course is not None and view.course.course else None
    if picked is None:
        prepared = ready(view, facts, PlanRequest(organism=request.organism, seed=request.seed))
        case, trial = prepared.case, prepared.trial
    else:
        case, trial = _trial_of(view, facts, picked, request)
    candidates = _candidates(trial, facts)
    other = _against(candidates, request.against)
    days = max([other.days if other else 1, picked.course.days if picked else 1])
    days += _to_return(trial)
    courses = [] if other is None else [other.course(days)]
    if picked is not None:
        courses.insert(0, case.lived(Course(picked.name, days, picked.course.actions)))
    shown: dict[str, Course] = {}
    for course in (*courses, Course(NO_TREATMENT, days, ())):
        shown.setdefault(course.name, course)
    followed = Followed(next(iter(shown)), picked.version if picked else 0)
    group, fish = _looked_at(trial, request.look_fish)
    return ForecastSetup(case, trial, followed, tuple(shown.values()), group, fish)


def _looked_at(trial: Trial, wanted: int) -> tuple[str, int]:
    """Return the most affected group with enough fish for a look, else the largest one."""
    stock = {host.id: host.count for host in trial.hosts}
    order = trial.situation.watched or tuple(stock)
    enough = [group for group in order if stock[group] >= wanted]
    group = enough[0] if enough else max(order, key=lambda name: stock[name])
    return group, min(wanted, stock[group])


def _check(request: ForecastRequest) -> None:
    for name, value, least, most in (
        ("runs", request.runs, FEWEST, MOST),
        ("fish", request.look_fish, 1, MOST),
    ):
        if not least <= value <= most:
            raise BadInput(
                "E-FC-01",
                "A forecast cannot be made with that number.",
                given=value,
                needed=f"a whole number from {least} to {most}",
                next_step=f"Leave it out, or give another --{name}.",
                field=name,
            )


def _trial_of(
    view: CaseView, facts: Knowledge, picked: Chosen, request: ForecastRequest
) -> tuple[Assembled, Trial]:
    case = assemble(
        view, facts, picked.starts, at_start=True, placed=picked.chosen_at, followed=picked.course,
        counted_to=picked.begins,
    )  # fmt: skip
    trial = set_up(
        case,
        organism=request.organism,
        seed=request.seed,
        labels=picked.labels,
        start=picked.chosen_at or picked.starts,
        work=picked.starts,
    )
    return case, trial


def _candidates(trial: Trial, facts: Knowledge) -> tuple[Candidate, ...]:
    """Return the courses a plan would propose; none where no course has an end."""
    try:
        return propose(trial.situation, read_levers(facts))
    except NotPossible:
        return ()


def _against(candidates: tuple[Candidate, ...], name: str | None) -> Candidate | None:
    """Return the course of a name, or the only one that holds these words in its name.

    Raises:
        BadInput: E-FC-03 none, or more than one.
    """
    wanted = name or WATER_ONLY
    same = [c for c in candidates if c.name == wanted]
    named = same or [c for c in candidates if wanted.lower() in c.name.lower()]
    if len(named) == 1:
        return named[0]
    if name is None:
        return None
    raise BadInput(
        "E-FC-03",
        "No course has that name alone.",
        given=name,
        needed="the name of one course, as plan prints it; it could be: "
        + "; ".join(c.name for c in (named or candidates)),
        next_step="Copy the whole name.",
        field="against",
    )


def _to_return(trial: Trial) -> int:
    """Return the days looked at after the course: one slow cycle, in which a return shows."""
    slow = trial.situation.stage_durations.cycle[2]
    return ceil(slow) if isfinite(slow) else LONG_WAIT_D


LONG_WAIT_D = 30
"""Where the parasite does not develop, a month shows that nothing happens."""
