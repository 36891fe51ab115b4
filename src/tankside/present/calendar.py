"""The course as a calendar file: one event for each step, each with its own lasting name.

The name (UID) of an event is made of the case and of which step of its kind it is, so a re-dated
plan moves the event instead of doubling it; a step that is gone is sent as cancelled. Times are
UTC moments, so the hours between steps stay exact when the clocks change.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from tankside.course import CourseRun
from tankside.present.clock import CaseClock
from tankside.present.day_card import NO_NAMES, named_text
from tankside.quantity.dates import moment_words

if TYPE_CHECKING:
    from icalendar import Event

SHOWN_MINUTES = 30
"""Length of an event when the work it takes is not known."""


@dataclass(frozen=True, slots=True)
class CalendarStep:
    """One event: the same ``name`` in a later plan moves it."""

    name: str
    start: datetime
    minutes: float
    summary: str
    text: str


def steps(
    run: CourseRun, clock: CaseClock, names: Mapping[int, str] = NO_NAMES
) -> tuple[CalendarStep, ...]:
    """Return the steps of a course with their lasting names and moments.

    Args:
        run: the course with its lines and amounts.
        clock: when hour 0 was, and the zone of the tank.
        names: short name of each step as people say it, by its place in the course.
    """
    seen: dict[str, int] = {}
    events = []
    for line in run.lines:
        family = f"{line.kind}-{line.body}"
        seen[family] = seen.get(family, 0) + 1
        where = moment_words(clock.local(line.hour))
        amounts = ", ".join(run.amounts[index].text for index in line.amounts)
        first = line.text.split(". ")[0].rstrip(".")
        short = f"{line.kind.replace('_', ' ')}: {amounts}" if amounts else first
        name = names.get(line.action, "")
        events.append(
            CalendarStep(
                f"{family}-{seen[family]}",
                clock.utc(line.hour),
                line.minutes or SHOWN_MINUTES,
                f"{name} {short}".strip(),
                f"{named_text(name, line.text)}\n{where}, time at the tank.",
            )
        )
    return tuple(events)


def as_ics(
    now: Sequence[CalendarStep],
    before: Sequence[CalendarStep],
    *,
    case: str,
    title: str,
    version: int,
    made_at: datetime,
) -> bytes:
    """Return an iCalendar file.

    Args:
        now: steps of the plan that is followed.
        before: steps of the plan it replaces; those that are gone are cancelled.
        case: what tells this case from all others.
        title: name shown in the calendar.
        version: number of the plan, which is also the sequence number of its events.
        made_at: stamp of the file, with its offset.
    """
    from icalendar import Calendar

    identity = hashlib.sha256(case.encode()).hexdigest()[:24]
    calendar = Calendar()
    calendar.add("prodid", "-//tankside//day card//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", " ".join(title.split()))
    names = {step.name for step in now}
    gone = [step for step in before if step.name not in names]
    for step, status in (*((s, "CONFIRMED") for s in now), *((s, "CANCELLED") for s in gone)):
        event = _event(step, identity, version, made_at)
        event.add("status", status)
        calendar.add_component(event)
    made: bytes = calendar.to_ical()
    return made


def _event(step: CalendarStep, identity: str, version: int, made_at: datetime) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", f"{step.name}.{identity}@tankside.invalid")
    event.add("sequence", version)
    event.add("dtstamp", made_at.astimezone(UTC))
    event.add("dtstart", step.start)
    event.add("dtend", step.start + timedelta(minutes=step.minutes))
    event.add("summary", step.summary)
    event.add("description", step.text)
    return event
