"""What was asked for or planned and never answered stops the next amount: was it given or not?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.course.actions import Transfer
from tankside.errors import NotPossible
from tankside.intake.account import PROLONGED, AskedAmount, asked_amounts
from tankside.intake.bodies_of_water import courses_of
from tankside.intake.course_steps import CourseStep
from tankside.intake.joined_waters import joined_waters
from tankside.intake.lived_course import LivedCourse
from tankside.intake.water_balance import reader_of
from tankside.quantity.dates import entry_moment_words
from tankside.quantity.moment import Moment


@dataclass(frozen=True, slots=True)
class OpenStep:
    """A step that put something in, if it was done, and that nobody has answered.

    Args:
        step: the step with its name.
        words: what it puts in, in the words of its line.
    """

    step: CourseStep
    words: str


def unanswered(view: CaseView, facts: Knowledge, system: str) -> tuple[AskedAmount, ...]:
    """Return the amounts asked for in one water, or in one joined to it, that nobody answered."""
    waters = joined_waters(view)
    asked = asked_amounts(view, waters, waters.now(system), reader_of(view, facts).name_of)
    return tuple(a for a in asked if a.was_given is None and a.entry.route == PROLONGED)


def open_steps(courses: Iterable[LivedCourse], before: Moment) -> Iterator[OpenStep]:
    """Yield the steps whose time had come before a moment and that nobody has answered."""
    for lived in courses:
        for place, step in enumerate(lived.followed.steps):
            is_new = place not in lived.followed.taken_over
            if is_new and step.is_open and step.at < before.utc and lived.puts_in(place):
                yield OpenStep(step, lived.words(place))


def open_moves(
    view: CaseView, courses: Iterable[LivedCourse], before: Moment
) -> Iterator[OpenStep]:
    """Yield the moves of fish whose time had come before a moment and that nobody has answered.

    A move that the description of the group tells of, by itself, is answered by that.
    """
    for lived in courses:
        for place, step in enumerate(lived.followed.steps):
            action = step.action
            if not isinstance(action, Transfer) or place in lived.followed.taken_over:
                continue
            if step.is_open and step.at < before.utc and not _told_of(view, action):
                yield OpenStep(step, lived.words(place))


def _told_of(view: CaseView, action: Transfer) -> bool:
    group = view.stock.get(action.group)
    return group is None or action.to_body in {home.system for home in group.homes[1:]}


def refuse_unanswered(view: CaseView, facts: Knowledge, system: str, now: Moment) -> None:
    """Refuse to weigh anything more into a water while an amount stands unanswered.

    Args:
        view: the case.
        facts: what is known.
        system: the water.
        now: when it is to be weighed.

    Raises:
        NotPossible: E-DOSE-28, naming the entry or the step and how to answer it.
    """
    for asked in unanswered(view, facts, system)[:1]:
        entry = asked.entry
        done = f"agent={asked.agent} answers={entry.id} system={entry.system}"
        raise _not_answered(
            f"An amount of {entry.agent} was asked for in {_water(view, entry.system)} and nobody "
            "said whether it was given.",
            f"entry {entry.id}, {entry_moment_words(entry.moment)}: {entry.agent} {entry.strength}",
            done,
        )
    for waiting in open_steps(courses_of(view, facts), now):
        body = waiting.step.action.body
        if body == joined_waters(view).now(system)[0]:
            raise _not_answered(
                f"A step of a course was due in {_water(view, body)} and nobody said whether it "
                "was done.",
                f"{waiting.step.name}: {waiting.words}",
                f"step={waiting.step.name} system={waiting.step.action.body}",
            )


def _not_answered(message: str, asked: str, done: str) -> NotPossible:
    return NotPossible(
        "E-DOSE-28",
        message,
        given=asked,
        needed="given, not given, or the amount that went in",
        next_step=f"Answer it: tankside case add CASE done {done} (or not-done {done}).",
        field="dose",
    )


def _water(view: CaseView, system: str) -> str:
    return view.systems[system].name if system in view.systems else system
