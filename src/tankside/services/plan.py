"""Plan: compare courses for a case, and keep the comparison, so that one can be chosen from it."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path

from tankside import library
from tankside.claims.organism import Organism
from tankside.course import CourseRun, LabelEntry
from tankside.errors import Mistake, NotPossible
from tankside.follow import NotBefore
from tankside.intake.assemble import Assembled
from tankside.intake.claim_snapshot import KEY, claim_snapshot
from tankside.intake.course_codec import encode_course
from tankside.intake.fishless import FishlessTime, fishless_time
from tankside.intake.new_water import refuse_unknown_new_water
from tankside.intake.plan_setup import PlanRequest, Ready, ToCompare, last_told, to_compare
from tankside.intake.stop_date import stop_date
from tankside.intake.trial_setup import looks_of
from tankside.lifecycle import StageDurations, prepare
from tankside.plan import (
    DEFAULT_SIZES,
    Compared,
    Comparison,
    NotHere,
    Progress,
    Sizes,
    compare,
    horizon_days,
)
from tankside.records.case_store import read_case
from tankside.records.comparisons import (
    ONLY_ROUGH,
    KeptComparison,
    OfferedCourse,
    keep_comparison,
)
from tankside.records.stored_case import StoredCase
from tankside.services.care_case import CareAnswer, care_of_case
from tankside.services.comparison import short_names

DOSED = ("salt", "dose", "titrate", "bath")
"""Kinds of step that weigh something out."""
NO_LABEL = "E-PROD-01"


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
        kept: the comparison under its name, from which a course can be chosen later.
        not_kept: why it could not be kept on disk; "" when it was.
        left_out: levers that are not tried in this water, and why.
        care: what is done for every cause of the case beside the courses.
        fishless: how long the tank must stand without fish where a course moves all of them out.
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
    kept: KeptComparison
    not_kept: str = ""
    left_out: tuple[NotHere, ...] = ()
    care: CareAnswer | None = None
    fishless: FishlessTime | None = None

    @property
    def courses(self) -> tuple[Compared, ...]:
        """The courses compared, in the order shown."""
        return self.comparison.courses

    @property
    def course_ids(self) -> tuple[str, ...]:
        """The whole name of each course, by which it is chosen."""
        return tuple(self.kept.course_id(offered) for offered in self.kept.courses)


def plan(
    path: str | Path,
    request: PlanRequest,
    progress: Progress | None = None,
    sizes: Sizes = DEFAULT_SIZES,
) -> PlanAnswer:
    """Compare courses for a case.

    Args:
        path: the case file.
        request: what is asked, as typed.
        progress: told how far each long step has come.
        sizes: how many histories each step plays.

    Raises:
        BadInput: the case or an option cannot be read.
        NotPossible: something is missing that no course can do without.
    """
    return compare_for(to_compare(read_case(path), library.load(), request), progress, sizes)


def compare_for(
    asked: ToCompare, progress: Progress | None = None, sizes: Sizes = DEFAULT_SIZES
) -> PlanAnswer:
    """Compare the courses of a case that was made ready.

    Args:
        asked: the case with its courses.
        progress: told how far each long step has come.
        sizes: how many histories each step plays.
    """
    facts, stored, prepared = library.load(), asked.stored, asked.ready
    began = time.perf_counter()
    prepare(progress)
    stage_durations = prepared.trial.situation.stage_durations
    days = horizon_days(asked.candidates, stage_durations.cycle[2])
    played = asked.played
    every = replace(sizes, race=replace(sizes.race, keep=len(played))) if asked.named else sizes
    comparison = compare(prepared.trial, played, every, progress, days)
    organism = prepared.trial.organism
    seen = looks_of(prepared.case, organism)
    earliest = stop_date(seen, stage_durations, prepared.day)
    kept = _kept(stored, prepared, comparison)
    return PlanAnswer(
        kept=kept,
        not_kept=keep_comparison(kept) if sizes == DEFAULT_SIZES else ONLY_ROUGH,
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
        care=care_of_case(stored.reference, prepared.day),
        fishless=fishless_time(facts, organism, prepared.case.main.temperature_c),
    )


def _kept(stored: StoredCase, prepared: Ready, comparison: Comparison) -> KeptComparison:
    """Return the comparison as it is kept: what is shown of each course, and its entry."""
    short = short_names([compared.candidate.name for compared in comparison.courses])
    offered = tuple(map(partial(_offered, prepared), short, comparison.courses))
    seed = prepared.trial.seed
    return KeptComparison(stored.digest, stored.version, seed, program_words(), offered)


def _offered(prepared: Ready, short: str, compared: Compared) -> OfferedCourse:
    reached = compared.score
    shown: dict[str, object] = {
        "name": compared.candidate.name,
        "clear_of_20": reached.clear.number,
        "days": reached.days,
    }
    if reached.deaths_known:
        shown |= {"lost_low": reached.lost_low, "lost_high": reached.lost_high}
    entry: Mapping[str, object] = {}
    refused: Mapping[str, str] = {}
    try:
        entry = _entry(prepared, compared)
    except Mistake as fault:
        refused = fault.as_json()
    return OfferedCourse(short, compared.candidate.name, shown, entry, refused)


def _entry(prepared: Ready, picked: Compared) -> dict[str, object]:
    """Return the entry that chooses a course.

    Raises:
        NotPossible: E-PLAN-05 or E-WATER-04.
    """
    case = prepared.case
    _check_amounts(picked)
    course = picked.candidate.course()
    refuse_unknown_new_water(case.systems, course)
    return {
        "kind": "course_chosen",
        "occurred_at": last_told(case.view, prepared.day).text,
        "name": picked.candidate.name,
        "starts_at": case.zero.text,
        "course": encode_course(course, prepared.trial.labels)
        | {KEY: claim_snapshot(case.facts, course)},
        "program": program_words(),
        "seed": prepared.trial.seed,
    }


def program_words() -> str:
    """Return the name and version of the program, as an entry keeps them."""
    from importlib.metadata import version

    return f"tankside {version('tankside')}"


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
