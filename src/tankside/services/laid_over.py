"""Two courses of a comparison day by day, so that one can be laid over the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tankside.course import CourseRun
from tankside.errors import BadInput
from tankside.follow import NotBefore
from tankside.intake.plan_setup import PlanRequest, ToCompare
from tankside.intake.stop_date import stop_date
from tankside.intake.trial_setup import looks_of
from tankside.lifecycle import OfTwenty, prepare
from tankside.lifecycle.results.observation_model import EYE, way_of_looking
from tankside.lifecycle.results.outcome import DayOutcome, daily
from tankside.plan import DEFAULT_SIZES, Candidate, Progress, horizon_days
from tankside.plan.played import day_by_day
from tankside.present.clock import CaseClock
from tankside.quantity.moment import find_zone
from tankside.services.by_cause import compared_here
from tankside.services.care_case import CareAnswer
from tankside.services.comparison import offered_name


@dataclass(frozen=True, slots=True)
class LaidCourse:
    """One of the two.

    Args:
        name: of the course.
        days: every day looked at, the last hour of the last day too.
        run: its water, amounts and lines.
        clear: in how many runs it is clear in the end, as on its card.
    """

    name: str
    days: tuple[DayOutcome, ...]
    run: CourseRun
    clear: OfTwenty


@dataclass(frozen=True, slots=True)
class LaidOver:
    """Two courses of one comparison, under the same luck.

    Args:
        courses: the two, as asked.
        by_eye: whether the parasite is counted by eye; else on a slide.
        clock: when hour 0 was.
        horizon_days: how long both were followed [d].
        histories: how many were played of each.
        not_before: the earliest day on which a stop may be discussed.
        case_day: day of the case on which hour 0 falls; the stop is told in days of the case.
        agents: plain names of what is weighed in, by agent id.
        seed: of chance.
    """

    courses: tuple[LaidCourse, LaidCourse]
    by_eye: bool
    clock: CaseClock
    horizon_days: int
    histories: int
    not_before: NotBefore
    case_day: int
    agents: Mapping[str, str]
    seed: int


def lay_over(
    path: str | Path,
    names: tuple[str, str],
    request: PlanRequest,
    progress: Progress | None = None,
) -> LaidOver:
    """Play two courses of a kept comparison again and look at them every day.

    Args:
        path: the case.
        names: by which the two are chosen.
        request: what the comparison was asked for.
        progress: told how far it has come.

    Raises:
        BadInput: E-PLAN-04 there is no such course; E-PLAN-10 one is laid over itself.
        CouldNotSave: E-WEB-04 the case has moved on since the courses were compared.
    """
    first, second = (offered_name(path, name) for name in names)
    asked = compared_here(path, request)
    if isinstance(asked, CareAnswer) or first == second:
        raise _not_two(first)
    candidates = {candidate.name: candidate for candidate in asked.candidates}
    pair = tuple(candidates[name] for name in (first, second) if name in candidates)
    if len(pair) != len(names):
        raise _not_two(first)
    return _laid(asked, (pair[0], pair[1]), progress)


def _laid(
    asked: ToCompare, pair: tuple[Candidate, Candidate], progress: Progress | None
) -> LaidOver:
    trial, case = asked.ready.trial, asked.ready.case
    prepare(progress)
    stays = trial.situation.stage_durations
    days = horizon_days(asked.candidates, stays.cycle[2])
    how, laid = way_of_looking(trial.organism), []
    for number, candidate in enumerate(pair, 1):
        if progress is not None:
            progress(f"playing {candidate.name}", number, len(pair))
        played = day_by_day(trial, candidate, days, DEFAULT_SIZES.final)
        outcomes = daily(played.histories, how)
        laid.append(LaidCourse(candidate.name, outcomes, played.run, played.clear))
    seen = looks_of(case, trial.organism)
    return LaidOver(
        courses=(laid[0], laid[1]),
        by_eye=how == EYE,
        clock=CaseClock(case.zero.when, find_zone(case.view.opened.zone)),
        horizon_days=days,
        histories=DEFAULT_SIZES.final,
        not_before=stop_date(seen, stays, asked.ready.day),
        case_day=(case.zero.day - case.view.opened.moment.day).days,
        agents={agent.id: agent.name for agent in case.facts.agents.values()},
        seed=trial.seed,
    )


def _not_two(name: str) -> BadInput:
    return BadInput(
        "E-PLAN-10",
        "Two different courses of one comparison are laid over each other.",
        given=name,
        needed="two courses of the comparison that is shown",
        next_step="Choose two courses on the page of plans.",
        field="second",
    )
