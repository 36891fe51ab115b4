"""Plan: compare courses for a case, and write the chosen one into it."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tankside import library
from tankside.claims.organism import Organism
from tankside.course import CourseRun, LabelEntry
from tankside.errors import BadInput, NotPossible
from tankside.follow import NotBefore
from tankside.intake.assemble import Assembled
from tankside.intake.claim_snapshot import KEY, claim_snapshot
from tankside.intake.course_codec import encode_course
from tankside.intake.new_water import refuse_unknown_new_water
from tankside.intake.plan_setup import PlanRequest, last_told, ready
from tankside.intake.stop_date import stop_date
from tankside.intake.trial_setup import looks_of
from tankside.lifecycle import StageDurations, prepare
from tankside.plan import (
    DEFAULT_SIZES,
    Compared,
    Comparison,
    NotHere,
    Progress,
    RaceRules,
    Sizes,
    compare,
    propose,
    read_levers,
)
from tankside.records.case_store import read_case
from tankside.services.cases import Added, add_fields

DOSED = ("salt", "dose", "titrate", "bath")
"""Kinds of step that weigh something out."""
NO_LABEL = "E-PROD-01"
ROUGH = Sizes(race=RaceRules(first=2, keep=2, most=2), final=20, ablated=0)
"""Histories of a first rough comparison: as many as there are marks to show them."""


@dataclass(frozen=True, slots=True)
class PlanAnswer:
    """A comparison with everything needed to tell it and to choose from it.

    Args:
        case: the assembled case.
        organism: the parasite.
        comparison: courses, and what is not offered.
        stage_durations: stays at the measured temperature.
        not_before: the earliest day on which a stop may be discussed.
        labels: containers by agent id.
        seed: of chance.
        seconds: what the comparison took [s].
        day: the day the courses may begin.
        left_out: levers that are not tried in this water, and why.
    """

    case: Assembled
    organism: Organism
    comparison: Comparison
    stage_durations: StageDurations
    not_before: NotBefore
    labels: Mapping[str, LabelEntry]
    seed: int
    seconds: float
    day: date
    left_out: tuple[NotHere, ...] = ()

    @property
    def courses(self) -> tuple[Compared, ...]:
        """The courses compared; course K of the command line is number K - 1 here."""
        return self.comparison.courses


def plan(path: str | Path, request: PlanRequest, progress: Progress | None = None) -> PlanAnswer:
    """Compare courses for a case.

    Args:
        path: the case file.
        request: what is asked, as typed.
        progress: told how far each long step has come.

    Raises:
        BadInput: the case or an option cannot be read.
        NotPossible: something is missing that no course can do without.
    """
    return _compared(path, request, progress, DEFAULT_SIZES)


def rough_plan(
    path: str | Path, request: PlanRequest, progress: Progress | None = None
) -> PlanAnswer:
    """Compare courses from few histories, as a first answer while the whole one is made.

    Args:
        path: the case file.
        request: what is asked, as typed.
        progress: told how far each long step has come.

    Raises:
        BadInput: the case or an option cannot be read.
        NotPossible: something is missing that no course can do without.
    """
    return _compared(path, request, progress, ROUGH)


def _compared(
    path: str | Path, request: PlanRequest, progress: Progress | None, sizes: Sizes
) -> PlanAnswer:
    facts = library.load()
    view = read_case(path).view()
    began = time.perf_counter()
    prepared = ready(view, facts, request)
    candidates = propose(prepared.trial.situation, read_levers(facts))
    prepare(progress)
    comparison = compare(prepared.trial, candidates, sizes, progress)
    stage_durations = prepared.trial.situation.stage_durations
    organism = prepared.trial.organism
    seen = looks_of(prepared.case, organism)
    earliest = stop_date(seen, stage_durations, prepared.day)
    return PlanAnswer(
        case=prepared.case,
        organism=organism,
        comparison=comparison,
        stage_durations=stage_durations,
        not_before=earliest,
        labels=prepared.trial.labels,
        seed=prepared.trial.seed,
        seconds=time.perf_counter() - began,
        day=prepared.day,
        left_out=prepared.trial.situation.left_out,
    )


def choose_course(
    path: str | Path, answer: PlanAnswer, number: int, *, by: str, reason: str
) -> Added:
    """Write course ``number`` (from 1) of a comparison into the case, with its whole schedule.

    Raises:
        BadInput: E-PLAN-04 there is no such course, E-NUM for nothing saved.
        NotPossible: E-PLAN-05 the course has steps without an amount (no label was given);
            E-WATER-04 nobody knows what the water it puts in was treated with.
        CouldNotSave: the disk refused; nothing was written.
    """
    if not 1 <= number <= len(answer.courses):
        raise BadInput(
            "E-PLAN-04",
            "There is no course with that number.",
            given=number,
            needed=f"a number from 1 to {len(answer.courses)}",
            next_step="Run plan without --choose and take the number above a column.",
            field="choose",
        )
    picked = answer.courses[number - 1]
    _check_amounts(picked)
    course = picked.candidate.course()
    refuse_unknown_new_water(answer.case.systems, course)
    fields = {
        "kind": "course_chosen",
        "occurred_at": last_told(answer.case.view, answer.day).text,
        "name": picked.candidate.name,
        "starts_at": answer.case.zero.text,
        "course": encode_course(course, answer.labels)
        | {KEY: claim_snapshot(answer.case.facts, course)},
        "program": _program(),
        "seed": answer.seed,
        "reason": reason or "chosen from the comparison",
    }
    return add_fields(path, [fields], by=by)


def unlabelled(run: CourseRun) -> tuple[str, ...]:
    """Return the agents of a course of which no amount is shown, because no label was given."""
    return tuple(sorted({c.agent for c in run.safety if c.agent and c.code == NO_LABEL}))


def _check_amounts(picked: Compared) -> None:
    """Refuse a course some of whose amounts could not be worked out."""
    agents = unlabelled(picked.run)
    bare = [line for line in picked.run.lines if line.kind in DOSED and not line.amounts]
    if not agents or not bare:
        return
    named = " ".join(f'--label "{agent}=pure"' for agent in agents)
    raise NotPossible(
        "E-PLAN-05",
        "This course has steps without an amount, because no label was given.",
        given=bare[0].text,
        needed=f'the label and the tool, for example {named} --scale "1 g"',
        next_step="Run it again with the label, or add it: tankside case add CASE label ...",
        field="label",
    )


def _program() -> str:
    from importlib.metadata import version

    return f"tankside {version('tankside')}"
