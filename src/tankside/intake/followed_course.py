"""The course a case follows, run over its water, on the clock of the tank."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tankside import course
from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.course import CourseRun
from tankside.intake.assemble import Assembled, assemble
from tankside.intake.chosen_course import Chosen, chosen
from tankside.intake.claim_snapshot import changed
from tankside.intake.law import law_lines
from tankside.intake.new_water import stops_of_new_water
from tankside.present.clock import CaseClock
from tankside.quantity.moment import find_zone


@dataclass(frozen=True, slots=True)
class Running:
    """A chosen course with the water it makes.

    Args:
        chosen: the course as the case keeps it.
        case: the case in the types of the science rooms, at hour 0 of the course.
        run: water, amounts, lines and cautions.
        clock: when hour 0 was, and the zone of the tank.
        changed: what the course rests on and is known otherwise now than when it was chosen.
    """

    chosen: Chosen
    case: Assembled
    run: CourseRun
    clock: CaseClock
    changed: tuple[str, ...] = ()


def running(view: CaseView, facts: Knowledge) -> Running:
    """Run the course a case follows.

    Raises:
        NotPossible: E-PLAN-03 no course chosen; E-DOSE-20 no measured volume; E-PLAN-02 no fish.
        BadInput: E-COURSE-02 the schedule kept in the case cannot be read.
    """
    return run_of(view, facts, chosen(view))


def run_of(view: CaseView, facts: Knowledge, picked: Chosen) -> Running:
    """Run one course of a case; raises like ``running``."""
    case = assemble(
        view, facts, picked.starts, at_start=True, placed=picked.chosen_at, followed=picked.course
    )
    lived = case.lived(picked.course)
    made = course.run(case.systems, case.stock, lived, facts, picked.labels)
    stops = stops_of_new_water(case.systems, lived)
    made = replace(made, safety=(*stops, *made.safety))
    clock = CaseClock(picked.starts.when, find_zone(view.opened.zone))
    return Running(picked, case, made, clock, changed(facts, picked.claim_snapshot))


def law_of(followed: Running) -> Mapping[str, tuple[str, ...]]:
    """Return what the law says of each agent of a course where the tank stands, by agent id."""
    country = followed.case.view.opened.country
    agents = dict.fromkeys(amount.agent for amount in followed.run.amounts)
    return {agent: law_lines(followed.case.facts, agent, country) for agent in agents}
