"""On which days a case waits for somebody: days of its course with steps, and the day after it.

A day of a course counts as answered once something was told to be done, or not done, on it or of
it; which step is still open is said by the day card.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from tankside.case.done import CourseChosen
from tankside.case.view import CaseView
from tankside.quantity.moment import find_zone

COURSE_DAY, COURSE_OVER = "course_day", "course_over"
ENDS_A_COURSE = ("stop", "end", "change")
_STEP_DAY = re.compile(r"[A-Z]+([0-9]+)-[0-9]+")


@dataclass(frozen=True, slots=True)
class DueDay:
    """A day on which a case waits for somebody.

    Args:
        day: the calendar day at the tank.
        what: ``course_day`` with steps that nobody answered, or ``course_over``: the last day of
            the course is past and nothing was decided or told since.
        steps: how many steps the course has on that day.
    """

    day: date
    what: str
    steps: int = 0


def due_days(view: CaseView) -> tuple[DueDay, ...]:
    """Return the days on which a case waits, the earliest first; none once it is closed."""
    course = view.course
    if course is None or view.closed is not None or _ended(view, course):
        return ()
    planned = _planned(view, course)
    if not planned:
        return ()
    first, last = min(planned), max(planned)
    answered = _answered(view, _day_of(view, course, 0), first)
    days = [DueDay(day, COURSE_DAY, planned[day]) for day in sorted(planned) if day not in answered]
    after = last + timedelta(days=1)
    if not any(moment_day >= after for moment_day in _told_days(view, course)):
        days.append(DueDay(after, COURSE_OVER))
    return tuple(days)


def _ended(view: CaseView, course: CourseChosen) -> bool:
    return any(d.id > course.id and d.what in ENDS_A_COURSE for d in view.decisions)


def _planned(view: CaseView, course: CourseChosen) -> Counter[date]:
    """Count the steps of a course by calendar day at the tank."""
    steps = course.course.get("actions")
    days: Counter[date] = Counter()
    for step in steps if isinstance(steps, list) else ():
        hour = step.get("at_h") if isinstance(step, dict) else None
        if isinstance(hour, int | float):
            days[_day_of(view, course, hour)] += 1
    return days


def _day_of(view: CaseView, course: CourseChosen, hour: float) -> date:
    begins = datetime.fromisoformat(course.starts_at).astimezone(UTC)
    return (begins + timedelta(hours=hour)).astimezone(find_zone(view.opened.zone)).date()


def _answered(view: CaseView, start: date, first: date) -> set[date]:
    """Return the days of which something was told: by the name of a step, or on that day."""
    days = set()
    for done in view.actions_done:
        named = _STEP_DAY.fullmatch(done.step or "")
        if named:
            days.add(start + timedelta(days=int(named[1])))
        if done.moment.day >= first:
            days.add(done.moment.day)
    return days


def _told_days(view: CaseView, course: CourseChosen) -> list[date]:
    return [
        line.current.moment.day
        for line in view.history
        if line.current is not None and line.entry.id > course.id
    ]
