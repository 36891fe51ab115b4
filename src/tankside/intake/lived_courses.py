"""Every course of a case as it was lived, each on the water that the ones before it left."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.course import StockGroup, System
from tankside.course.bodies.effects import Effect
from tankside.intake import stock as assemble_stock
from tankside.intake.account import Movement
from tankside.intake.course_steps import FollowedSteps
from tankside.intake.lived_course import LivedCourse, effects_of, lived_course, movements_of
from tankside.intake.whereabouts import Whereabouts
from tankside.quantity.moment import Moment

WatersAt = Callable[[Moment, tuple[LivedCourse, ...]], tuple[System, ...]]
"""``waters(zero, before)``: the bodies of water at a moment, counting these courses."""
Beside = Callable[[Moment, System], Iterable[Movement]]
"""``beside(zero, body)``: what entries put into a body and took out, courses apart."""


def lived_courses(
    view: CaseView,
    facts: Knowledge,
    courses: tuple[FollowedSteps, ...],
    waters_at: WatersAt,
    beside: Beside,
) -> tuple[LivedCourse, ...]:
    """Return the courses as they were lived, the first one first.

    Args:
        view: the case.
        facts: what is known.
        courses: the courses with their steps.
        waters_at: the waters of the case at a moment.
        beside: what went in and out beside the courses.
    """
    lived: tuple[LivedCourse, ...] = ()
    for followed in courses:
        picked = followed.picked
        waters = waters_at(picked.starts, lived)
        stock = tuple(_stock(view, facts, waters, picked.chosen_at or picked.starts))
        logged = logged_beside(waters, picked.starts, lived, followed, beside)
        lived = (*lived, lived_course(facts, followed, waters, stock, logged))
    return lived


def logged_beside(
    waters: tuple[System, ...],
    zero: Moment,
    before: tuple[LivedCourse, ...],
    followed: FollowedSteps | None,
    beside: Beside,
) -> Iterator[tuple[float, Effect]]:
    """Yield what went in and out after hour 0 beside a course: logged, or of earlier courses.

    Args:
        waters: the bodies of water at hour 0.
        zero: the moment of hour 0.
        before: the courses before it, as they were lived.
        followed: the course itself, the steps it took over are its own; None without a course.
        beside: what went in and out beside the courses.
    """
    taken_over = frozenset() if followed is None else followed.taken_over
    steps = () if followed is None else followed.steps
    shared = frozenset(steps[place].name for place in taken_over)
    for system in waters:
        movements = [
            *beside(zero, system),
            *(m for lived in before for m in movements_of(lived, (system.id,), zero, shared)),
        ]
        after = (movement for movement in movements if movement.at_h > 0)
        yield from effects_of(system.id, system.volume, system.new_water, after)


def _stock(
    view: CaseView, facts: Knowledge, waters: tuple[System, ...], placed: Moment
) -> Iterator[StockGroup]:
    ids = {system.id for system in waters}
    where = Whereabouts(view, facts)
    groups = assemble_stock.stock(
        view, facts, lambda group: (where.home(group, placed),), at_start=True
    )
    yield from (group for group in groups if group.body in ids)
