"""Days on which a titrated agent was at strength, and what they make of its course: end, notes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from tankside.claims import setting
from tankside.course import Course
from tankside.course.actions import (
    Carbon,
    Count,
    Siphon,
    StrengthTest,
    TakeReading,
    WaterChange,
)
from tankside.course.actions.action import Action, at_hour
from tankside.present.clock import CaseClock
from tankside.quantity.dates import day_words
from tankside.quantity.per import HOURS_PER_DAY

_SLACK = setting(1e-9, "a reading exactly at the lower end of the range is inside it")
RHYTHMS = (StrengthTest, WaterChange, Siphon, Count, TakeReading)
"""Kinds of step that go on in their rhythm while a course is longer than it was planned."""


@dataclass(frozen=True, slots=True)
class ReadDays:
    """What was read of an agent in one water, day by day of the course.

    Args:
        body: the water.
        agent: agent id.
        low_mg_l: lowest strength at which a day counts [mg/L].
        needed: days at strength that the course needs [d].
        first_day: first day that can count, the day after the last step up.
        lowest_mg_l: lowest surely read on each day that has a reading [mg/L].
        now_h: elapsed hour at which it is asked.
    """

    body: str
    agent: str
    low_mg_l: float
    needed: int
    first_day: int
    lowest_mg_l: Mapping[int, float]
    now_h: float

    @property
    def today(self) -> int:
        """The day on which it is asked."""
        return int(self.now_h // HOURS_PER_DAY)

    def counted_and_lost(self) -> tuple[int, int]:
        """Return how many days count and how many do not, up to now.

        The present day is judged as soon as it has a reading. A course that nobody tests any more
        is not lengthened for ever.
        """
        counted = lost = 0
        last = max([self.first_day, *self.lowest_mg_l]) + self.needed
        for day in range(self.first_day, min(self.today, last) + 1):
            read = self.lowest_mg_l.get(day)
            if counted >= self.needed or (day == self.today and read is None):
                break
            if read is not None and read >= self.low_mg_l * (1 - _SLACK):
                counted += 1
            else:
                lost += 1
        return counted, lost


@dataclass(frozen=True, slots=True)
class AtStrength:
    """How long an agent has been at strength.

    Args:
        agent: agent id.
        counted: days that count so far [d].
        needed: days that the course needs [d].
        lost: days below the range or without a test since the strength was due [d].
        held_until: day on which it begins to be taken out.
    """

    agent: str
    counted: int
    needed: int
    lost: int
    held_until: date

    @property
    def words(self) -> str:
        """Say how many days count, how many do not, and until when the strength is held."""
        words = f"{self.counted} of {self.needed} days at strength count so far."
        if self.lost:
            days = "1 day" if self.lost == 1 else f"{self.lost} days"
            words += f" {days} below the range or without a test did not count."
        return f"{words} The strength is held until {day_words(self.held_until)}."


def at_its_length(course: Course, days: ReadDays, clock: CaseClock) -> tuple[Course, AtStrength]:
    """Return the course with its end moved by the days that do not count, and how it stands.

    Args:
        course: the schedule with what the readings change in it.
        days: what was read.
        clock: when hour 0 of the course was, and the zone of the tank.
    """
    counted, lost = days.counted_and_lost()
    end_h, later_h = removal_h(course, days.body), lost * HOURS_PER_DAY
    stand = AtStrength(days.agent, counted, days.needed, lost, clock.day_of(end_h + later_h))
    actions = [
        at_hour(action, action.at_h + later_h) if action.at_h >= end_h else action
        for action in course.actions
    ]
    actions += _in_rhythm(course, end_h, end_h + later_h)
    return _noted(Course(course.name, course.days + lost, tuple(actions)), days, stand), stand


def removal_h(course: Course, body: str) -> int:
    """Return the hour at which agents begin to be taken out; the end where nothing does."""
    hours = [
        action.at_h
        for action in course.actions
        if action.body == body
        and (
            (isinstance(action, Carbon) and action.in_water)
            or (isinstance(action, WaterChange) and not action.put_back)
        )
    ]
    return min(hours, default=course.days * HOURS_PER_DAY)


def _in_rhythm(course: Course, from_h: int, to_h: int) -> Iterator[Action]:
    """Yield what goes on as before in the hours by which a course is longer."""
    families: dict[tuple[str, str], list[Action]] = {}
    for action in course.actions:
        if isinstance(action, RHYTHMS) and action.at_h < from_h:
            families.setdefault((action.kind, action.body), []).append(action)
    for family in families.values():
        family.sort(key=lambda action: action.at_h)
        hours = sorted({action.at_h for action in family})
        if len(hours) > 1:
            every_h = hours[-1] - hours[-2]
            for hour in range(hours[-1] + every_h, to_h, every_h):
                yield at_hour(family[-1], hour)


def _noted(course: Course, days: ReadDays, stand: AtStrength) -> Course:
    """Say on every test from today on how many days count, and until when it is held."""
    if not stand.counted and not stand.lost:
        return course
    actions = tuple(
        replace(action, note=stand.words)
        if isinstance(action, StrengthTest)
        and (action.body, action.agent) == (days.body, days.agent)
        and action.at_h // HOURS_PER_DAY >= days.today
        else action
        for action in course.actions
    )
    return Course(course.name, course.days, actions)
