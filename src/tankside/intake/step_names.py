"""Short names of the steps of courses: plan letter, day of the card, number on that day.

``B3-2`` is the second step of day 3 of plan B, the second course that the case was given; said
on the phone as it is written. A name never changes: a course keeps its letter when others are
chosen or taken back, and a step that a re-dated course takes over keeps the name it had.
"""

from __future__ import annotations

import re
from collections import Counter
from string import ascii_uppercase

from tankside.case import CaseView
from tankside.case.done import CourseChosen
from tankside.course.actions.action import Action
from tankside.intake.chosen_course import Chosen
from tankside.present.clock import CaseClock
from tankside.quantity.moment import find_zone

_NAME = re.compile(r"([A-Z]+)([0-9]+)[-. /]([0-9]+)")


def plan_letter(view: CaseView, entry: int) -> str:
    """Return the letter of a course by its entry: A for the first one ever written, then B."""
    written = [line.entry.id for line in view.history if isinstance(line.entry, CourseChosen)]
    number = written.index(entry) + 1 if entry in written else 1
    letters = ""
    while number:
        number, place = divmod(number - 1, len(ascii_uppercase))
        letters = ascii_uppercase[place] + letters
    return letters


def names_of_steps(
    view: CaseView, picked: Chosen, more: tuple[Action, ...] = ()
) -> tuple[str, ...]:
    """Return the name of each step of a course, by its place in the course.

    Args:
        view: the case.
        picked: the course as it was chosen.
        more: steps that tests added to it later; they are numbered behind those of their day.
    """
    letter = plan_letter(view, picked.entry)
    clock = CaseClock(picked.starts.when, find_zone(view.opened.zone))
    on_day: Counter[int] = Counter()
    names = {}
    actions = picked.course.actions
    for place in sorted(range(len(actions)), key=lambda place: actions[place].at_h):
        day = clock.number(clock.day_of(actions[place].at_h))
        on_day[day] += 1
        names[place] = f"{letter}{day}-{on_day[day]}"
    for place, action in enumerate(more, len(actions)):
        day = clock.number(clock.day_of(action.at_h))
        on_day[day] += 1
        names[place] = f"{letter}{day}-{on_day[day]}"
    return tuple(names[place] for place in range(len(actions) + len(more)))


def same_name(typed: str) -> str:
    """Return a name of a step as it is kept, however its letter and its sign were typed."""
    read = _NAME.fullmatch(typed.strip().upper())
    return typed if read is None else f"{read[1]}{int(read[2])}-{int(read[3])}"
