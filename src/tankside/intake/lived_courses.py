"""Every course of a case as it was lived, each on the water that the ones before it left."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.course import StockGroup, System
from tankside.course.bodies.effects import Effect
from tankside.intake import stock as assemble_stock
from tankside.intake.account import CaseReader, entered_movements
from tankside.intake.course_steps import FollowedSteps
from tankside.intake.lived_course import LivedCourse, effects_of, lived_course, movements_of
from tankside.quantity.moment import Moment

WatersAt = Callable[[Moment, tuple[LivedCourse, ...]], tuple[System, ...]]
"""``waters(zero, before)``: the bodies of water at a moment, counting these courses."""


def lived_courses(
    view: CaseView,
    facts: Knowledge,
    read: CaseReader,
    courses: tuple[FollowedSteps, ...],
    waters_at: WatersAt,
) -> tuple[LivedCourse, ...]:
    """Return the courses as they were lived, the first one first.

    Args:
        view: the case.
        facts: what is known.
        read: how names and strengths of the case are read.
        courses: the courses with their steps.
        waters_at: the waters of the case at a moment.
    """
    lived: tuple[LivedCourse, ...] = ()
    for followed in courses:
        zero = followed.picked.starts
        waters = waters_at(zero, lived)
        stock = tuple(_stock(view, facts, waters))
        logged = logged_beside(view, read, waters, zero, lived, followed)
        lived = (*lived, lived_course(facts, followed, waters, stock, logged))
    return lived


def logged_beside(
    view: CaseView,
    read: CaseReader,
    waters: tuple[System, ...],
    zero: Moment,
    before: tuple[LivedCourse, ...],
    followed: FollowedSteps | None = None,
) -> Iterator[tuple[float, Effect]]:
    """Yield what went in and out after hour 0 beside a course: logged, or of earlier courses.

    Args:
        view: the case.
        read: how names and strengths of the case are read.
        waters: the bodies of water at hour 0.
        zero: the moment of hour 0.
        before: the courses before it, as they were lived.
        followed: the course itself; the steps it took over are its own.
    """
    own_steps = () if followed is None else [followed.steps[p] for p in followed.taken_over]
    shared = frozenset(step.name for step in own_steps)
    for system in waters:
        movements = [
            *entered_movements(view, system.id, system.volume, zero, read),
            *(m for lived in before for m in movements_of(lived, system.id, zero, shared)),
        ]
        after = (movement for movement in movements if movement[0] > 0)
        yield from effects_of(system.id, system.volume, system.new_water, after)


def _stock(view: CaseView, facts: Knowledge, waters: tuple[System, ...]) -> Iterator[StockGroup]:
    ids = {system.id for system in waters}
    groups = assemble_stock.stock(view, facts, at_start=True)
    yield from (group for group in groups if group.body in ids)
