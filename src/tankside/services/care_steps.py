"""The steps of a chosen course of care where its water cannot be run: no volume, or no fish."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.course.actions import CareStep, TakeReading
from tankside.intake.course_steps import followed_steps
from tankside.quantity.moment import find_zone


@dataclass(frozen=True, slots=True)
class StepOfCare:
    """One step of a chosen course of care.

    Args:
        name: its short name.
        at: when it is planned, at the tank.
        words: the sentence of the protocol; "" for readings.
        reads: what is to be measured; empty for others.
        is_answered: whether somebody said what became of it.
    """

    name: str
    at: datetime
    words: str
    reads: tuple[str, ...]
    is_answered: bool

    @property
    def day(self) -> date:
        """The day at the tank."""
        return self.at.date()


def steps_of_care(view: CaseView, facts: Knowledge) -> tuple[StepOfCare, ...]:
    """Return the steps of the course of care a case follows, in order; none of another course."""
    courses = followed_steps(view, facts) if view.course is not None else ()
    return tuple(_steps(view, facts)) if courses else ()


def _steps(view: CaseView, facts: Knowledge) -> Iterator[StepOfCare]:
    zone = find_zone(view.opened.zone)
    for step in sorted(followed_steps(view, facts)[-1].steps, key=lambda step: step.at):
        action, at = step.action, step.at.astimezone(zone)
        if isinstance(action, CareStep):
            yield StepOfCare(step.name, at, action.words, (), not step.is_open)
        elif isinstance(action, TakeReading):
            yield StepOfCare(step.name, at, "", action.names, not step.is_open)
