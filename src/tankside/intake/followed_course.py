"""The course a case follows, run over its water, on the clock of the tank."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from tankside import course
from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.course import Course, CourseRun, System
from tankside.course.actions.happened import Happened
from tankside.intake.assemble import Assembled, assemble
from tankside.intake.bodies_of_water import body_of_water, courses_of
from tankside.intake.chosen_course import Chosen, chosen
from tankside.intake.claim_snapshot import changed
from tankside.intake.joined_waters import joined_waters
from tankside.intake.law import law_lines
from tankside.intake.lived_course import LivedCourse
from tankside.intake.looks_asked import asked_as_seen
from tankside.intake.new_water import stops_of_new_water
from tankside.intake.step_names import names_of_steps
from tankside.present.clock import CaseClock
from tankside.quantity.moment import find_zone


@dataclass(frozen=True, slots=True)
class Running:
    """A chosen course with the water it makes, as it was lived and as it goes on.

    Args:
        chosen: the course as the case keeps it.
        case: the case in the types of the science rooms, at hour 0 of the course.
        run: water, amounts, lines and cautions.
        clock: when hour 0 was, and the zone of the tank.
        changed: what the course rests on and is known otherwise now than when it was chosen.
        lived: every course of the case up to this one, as it was lived.
    """

    chosen: Chosen
    case: Assembled
    run: CourseRun
    clock: CaseClock
    changed: tuple[str, ...] = ()
    lived: tuple[LivedCourse, ...] = ()

    @property
    def names(self) -> Mapping[int, str]:
        """The short name of each step, by its place in the course."""
        if not self.lived:
            return dict(enumerate(names_of_steps(self.case.view, self.chosen)))
        return {place: step.name for place, step in enumerate(self.lived[-1].followed.steps)}

    @property
    def done(self) -> frozenset[int]:
        """The places of the steps that were done as planned."""
        steps = self.lived[-1].followed.steps if self.lived else ()
        return frozenset(
            place for place, step in enumerate(steps) if step.happened is Happened.DONE
        )


def running(view: CaseView, facts: Knowledge) -> Running:
    """Run the course a case follows.

    Raises:
        NotPossible: E-PLAN-03 no course chosen; E-DOSE-20 no measured volume; E-PLAN-02 no fish.
        BadInput: E-COURSE-02 the schedule kept in the case cannot be read.
    """
    return run_of(view, facts, chosen(view))


def run_of(view: CaseView, facts: Knowledge, picked: Chosen) -> Running:
    """Run one course of a case; raises like ``running``."""
    every = courses_of(view, facts)
    upto = tuple(lived for lived in every if lived.followed.picked.version <= picked.version)
    picked = upto[-1].followed.picked
    case = assemble(
        view, facts, picked.starts, at_start=True, placed=picked.chosen_at, followed=picked.course
    )
    joined = joined_waters(view)
    waters = tuple(
        body_of_water(view, facts, picked.starts, joined.now(system.id), upto[:-1])
        for system in case.systems
    )
    case = replace(case, systems=waters)
    lived = asked_as_seen(case, _here(case.lived(upto[-1].course), waters), picked.starts)
    made = course.run(waters, case.stock, lived, facts, picked.labels)
    stops = stops_of_new_water(waters, lived)
    made = replace(made, safety=(*stops, *made.safety))
    clock = CaseClock(picked.starts.when, find_zone(view.opened.zone))
    return Running(picked, case, made, clock, changed(facts, picked.claim_snapshot), upto)


def _here(course: Course, waters: Iterable[System]) -> Course:
    """Return a course with what was logged in its waters, without what went into others."""
    bodies = {water.id for water in waters}
    logged = tuple(
        (hour, effect)
        for hour, effect in course.lived.logged
        if getattr(effect, "body", None) in (None, *bodies)
    )
    return replace(course, lived=replace(course.lived, logged=logged))


def law_of(followed: Running) -> Mapping[str, tuple[str, ...]]:
    """Return what the law says of each agent of a course where the tank stands, by agent id."""
    country = followed.case.view.opened.country
    agents = dict.fromkeys(amount.agent for amount in followed.run.amounts)
    return {agent: law_lines(followed.case.facts, agent, country) for agent in agents}
