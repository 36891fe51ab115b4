"""The course that a case follows, as its entry keeps it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pydantic import JsonValue

from tankside.case import CaseView
from tankside.case.done import CourseChosen
from tankside.course import Course, LabelEntry
from tankside.course.actions.action import Action
from tankside.errors import NotPossible
from tankside.intake.claim_snapshot import KEY
from tankside.intake.course_codec import decode_course
from tankside.intake.joined_waters import JoinedWaters, joined_waters
from tankside.quantity.moment import Moment, hours_between

PLACES = ("body", "to_body", "bath_body")
"""Fields of a step that name a body of water."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The course a case follows.

    Args:
        course: the schedule.
        labels: the containers it was worked out for.
        starts: the moment of its hour 0.
        name: as the case names it.
        version: which course of the case it is, from 1.
        chosen_at: when it was chosen; None when it is told apart from its entry.
        claim_snapshot: the claims it was chosen with, by key; empty when none were kept.
        entry: number of the entry that keeps it.
    """

    course: Course
    labels: Mapping[str, LabelEntry]
    starts: Moment
    name: str
    version: int
    chosen_at: Moment | None = None
    claim_snapshot: Mapping[str, JsonValue] = field(default_factory=dict)
    entry: int = 0

    @property
    def begins(self) -> Moment:
        """The moment it was chosen, when none of its steps was due yet; else that of its hour 0.

        What went into the water before it is there when the course begins.
        """
        first_h = min((action.at_h for action in self.course.actions), default=0)
        if self.chosen_at is None or hours_between(self.starts, self.chosen_at) >= first_h:
            return self.starts
        return self.chosen_at


def chosen(view: CaseView) -> Chosen:
    """Return the course the case follows.

    Raises:
        NotPossible: E-PLAN-03 no course was chosen, or it was written without a schedule.
    """
    entry = view.course
    if entry is None or not entry.course:
        raise NotPossible(
            "E-PLAN-03",
            "No course with a schedule has been chosen in this case.",
            given="no course" if entry is None else entry.name,
            needed="a course chosen with the plan command",
            next_step="Compare courses and choose one: tankside plan CASE --choose NAME",
            field="case",
        )
    return next(course for course in reversed(every_course(view)) if course.entry == entry.id)


def every_course(view: CaseView) -> tuple[Chosen, ...]:
    """Return every course with a schedule that the case has followed, in the order written.

    Its steps are at the bodies of water as they are joined now.
    """
    order = sorted(view.courses, key=lambda entry: entry.id)
    waters = joined_waters(view)
    return tuple(
        _chosen(entry, number, waters) for number, entry in enumerate(order, 1) if entry.course
    )


def _chosen(entry: CourseChosen, version: int, waters: JoinedWaters) -> Chosen:
    course, labels = decode_course(entry.course)
    course = replace(course, actions=tuple(_placed(step, waters) for step in course.actions))
    kept = entry.course.get(KEY)
    return Chosen(
        course, labels, Moment(entry.starts_at), entry.name, version, entry.moment,
        kept if isinstance(kept, dict) else {}, entry.id,
    )  # fmt: skip


def _placed(step: Action, waters: JoinedWaters) -> Action:
    """Return a step at the body of water that the system it names is part of now."""
    moved = {
        name: waters.now(system)[0]
        for name in PLACES
        if (system := getattr(step, name, "")) in waters.described
    }
    placed: Action = replace(step, **moved)  # type: ignore[type-var]  # every action is a dataclass
    return placed


def places_of(course: Course) -> frozenset[str]:
    """Return the bodies of water that the steps of a course are at or lead to."""
    places = (getattr(step, name, "") for step in course.actions for name in PLACES)
    return frozenset(place for place in places if place)
