"""Elapsed hours stay exact over a clock change; the wall clock is for display."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from tankside.present.clock import CaseClock
from tankside.quantity.dates import moment_words

ZONES = ("Europe/London", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu")


def test_twelve_hours_over_the_spring_change_are_twelve_real_hours(clock: CaseClock) -> None:
    """29 March 2026, 01:00 UTC is when the European Union and the UK put clocks forward."""
    evening = clock.hour_at(date(2026, 3, 28), time(20, 0))
    assert moment_words(clock.local(evening)) == "Sat 28 Mar 2026 20:00"
    assert moment_words(clock.local(evening + 12)) == "Sun 29 Mar 2026 09:00"
    assert clock.utc(evening + 12) - clock.utc(evening) == timedelta(hours=12)


def test_twelve_hours_over_the_autumn_change_are_twelve_real_hours() -> None:
    zone = ZoneInfo("Europe/London")
    clock = CaseClock(datetime(2026, 10, 24, tzinfo=zone), zone)
    assert moment_words(clock.local(20 + 12)) == "Sun 25 Oct 2026 07:00"


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("step", [6, 8, 12, 24, 48])
def test_intervals_are_kept_in_every_zone(zone: str, step: int) -> None:
    clock = CaseClock(datetime(2026, 3, 1, tzinfo=UTC), ZoneInfo(zone))
    moments = [clock.local(hour).astimezone(UTC) for hour in range(0, 24 * 300, step)]
    gaps = {b - a for a, b in pairwise(moments)}
    assert gaps == {timedelta(hours=step)}


def test_days_are_calendar_days_at_the_tank(clock: CaseClock) -> None:
    assert clock.number(date(2026, 3, 29)) == 13
    assert clock.day(13) == date(2026, 3, 29)
    assert clock.day_of(clock.hour_at(date(2026, 3, 30), time(0, 30))) == date(2026, 3, 30)
