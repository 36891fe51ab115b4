"""From elapsed hours of a course to the wall clock at the tank, and back.

All arithmetic is in UTC, so an interval of 12 h stays 12 real hours when the clocks change; the
local wall clock is worked out last, for display only.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True)
class CaseClock:
    """The clock of one course.

    Args:
        start: the moment of hour 0, with its offset.
        zone: time zone of the tank.
    """

    start: datetime
    zone: ZoneInfo

    def utc(self, hour: float) -> datetime:
        """Return the moment of an elapsed hour, in UTC."""
        return self.start.astimezone(UTC) + timedelta(hours=hour)

    def local(self, hour: float) -> datetime:
        """Return the moment of an elapsed hour as the wall clock at the tank shows it."""
        return self.utc(hour).astimezone(self.zone)

    def day_of(self, hour: float) -> date:
        """Return the calendar day at the tank on which an elapsed hour falls."""
        return self.local(hour).date()

    def number(self, day: date) -> int:
        """Return the number of a calendar day, the day of hour 0 being 0."""
        return (day - self.day_of(0)).days

    def day(self, number: int) -> date:
        """Return the calendar day with a number."""
        return self.day_of(0) + timedelta(days=number)

    def hour_at(self, day: date, wall: time) -> float:
        """Return the elapsed hour at which the wall clock at the tank shows ``wall``."""
        there = datetime.combine(day, wall, tzinfo=self.zone).astimezone(UTC)
        return (there - self.start.astimezone(UTC)) / timedelta(hours=1)
