"""How a day and a moment are written wherever a person reads them."""

from __future__ import annotations

from datetime import date, datetime

from tankside.quantity.moment import Moment
from tankside.quantity.spelt_date import DAYS, MONTHS, SHORT


def day_words(day: date) -> str:
    """Write a day so that no country misreads it: ``Sat 7 Mar 2026``."""
    weekday, month = DAYS[day.weekday()][:SHORT], MONTHS[day.month - 1][:SHORT]
    return f"{weekday} {day.day} {month} {day.year}"


def clock_words(moment: datetime) -> str:
    """Write the wall clock of a local moment: ``18:30``."""
    return f"{moment.hour:02d}:{moment.minute:02d}"


def moment_words(moment: datetime) -> str:
    """Write day and wall clock of a local moment."""
    return f"{day_words(moment.date())} {clock_words(moment)}"


def entry_moment_words(moment: Moment) -> str:
    """Write when an entry happened: the day, and the wall clock where it was told."""
    return day_words(moment.day) if moment.day_only else moment_words(moment.when)
