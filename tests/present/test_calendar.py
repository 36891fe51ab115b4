"""The calendar file, read back by another library's parser."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

from icalendar import Calendar, Event, vDDDTypes

from tankside.course import CourseRun
from tankside.present.calendar import CalendarStep, as_ics, steps
from tankside.present.clock import CaseClock

MADE = datetime(2026, 3, 16, 9, tzinfo=UTC)


def events(ics: bytes) -> dict[str, Event]:
    calendar = Calendar.from_ical(ics)
    return {str(e["UID"]): e for e in calendar.walk("VEVENT") if isinstance(e, Event)}


def begins(event: Event) -> datetime:
    start = event["DTSTART"]
    assert isinstance(start, vDDDTypes)
    assert isinstance(start.dt, datetime)
    return start.dt


def ics_of(
    now: tuple[CalendarStep, ...], before: tuple[CalendarStep, ...] = (), version: int = 1
) -> bytes:
    return as_ics(now, before, case="case 7", title="Mill Race", version=version, made_at=MADE)


def test_one_event_for_each_step_at_its_exact_moment(run: CourseRun, clock: CaseClock) -> None:
    made = steps(run, clock)
    sent = events(ics_of(made))
    assert len(sent) == len(run.lines)
    assert sorted(begins(e) for e in sent.values()) == sorted(s.start for s in made)


def test_hours_between_steps_stay_exact_over_the_clock_change(
    run: CourseRun, clock: CaseClock
) -> None:
    sent = events(ics_of(steps(run, clock)))
    siphons = sorted(begins(e) for uid, e in sent.items() if uid.startswith("siphon"))
    gaps = [b - a for a, b in pairwise(siphons[1:])]
    assert gaps == [timedelta(hours=24)] * 3
    local = [moment.astimezone(clock.zone).hour for moment in siphons[1:]]
    assert local == [18, 18, 19, 19]


def test_a_later_plan_moves_events_and_cancels_what_is_gone(
    run: CourseRun, clock: CaseClock
) -> None:
    before = steps(run, clock)
    later = CaseClock(clock.start + timedelta(days=2), clock.zone)
    now = tuple(step for step in steps(run, later) if not step.name.startswith("count"))
    first, second = events(ics_of(before)), events(ics_of(now, before, version=2))
    assert set(first) == set(second)
    assert all(str(e["SEQUENCE"]) == "2" for e in second.values())
    gone = [uid for uid, e in second.items() if str(e["STATUS"]) == "CANCELLED"]
    assert [uid.split(".")[0] for uid in gone] == ["count-main-1"]
    moved = second[next(uid for uid in second if uid.startswith("air"))]
    assert begins(moved) - begins(first[str(moved["UID"])]) == timedelta(days=2)


def test_two_cases_never_share_an_event(run: CourseRun, clock: CaseClock) -> None:
    made = steps(run, clock)
    other = as_ics(made, (), case="case 8", title="x", version=1, made_at=MADE)
    assert not set(events(ics_of(made))) & set(events(other))


def test_a_hostile_title_stays_one_line(run: CourseRun, clock: CaseClock) -> None:
    title = "x\r\nBEGIN:VEVENT\r\nSUMMARY:planted\r\nEND:VEVENT"
    ics = as_ics(steps(run, clock), (), case="c", title=title, version=1, made_at=MADE)
    assert len(events(ics)) == len(run.lines)
    assert b"\r\nSUMMARY:planted" not in ics


def test_lines_are_folded_at_75_octets(run: CourseRun, clock: CaseClock) -> None:
    """RFC 5545, section 3.1: lines should not be longer than 75 octets, excluding the break."""
    assert max(len(line) for line in ics_of(steps(run, clock)).split(b"\r\n")) <= 75
