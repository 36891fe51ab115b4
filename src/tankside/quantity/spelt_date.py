"""Dates as they are printed and said, ``Thu 19 Mar 2026 18:30``, turned into the ISO spelling."""

from __future__ import annotations

import re
from datetime import date

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
SHORT = 3
"""Letters by which a month or a day of the week is written short."""
_SPELT = re.compile(
    r"(?:(?P<weekday>[A-Za-z]+),? )?(?P<day>[0-9]{1,2}) (?P<month>[A-Za-z]+) (?P<year>[0-9]{4})"
    r"(?:,? (?P<clock>[0-9]{2}:[0-9]{2}.*))?"
)


def as_iso(typed: str) -> str:
    """Return a spelt date year first, with its time behind a T; any other text as it is.

    Days and months are English, whole or by their first letters; the month stands between day and
    year, so that no order has to be guessed. A text whose day of the week is not that of its date
    is left as it is, and so refused: one of the two is a slip.

    Args:
        typed: for example ``19 Mar 2026`` or ``Thu 19 March 2026 18:30``.
    """
    shape = _SPELT.fullmatch(" ".join(typed.split()))
    if shape is None:
        return typed
    month = _place(shape["month"], MONTHS)
    if month is None:
        return typed
    iso = f"{shape['year']}-{month + 1:02d}-{int(shape['day']):02d}"
    if shape["weekday"] is not None and not _falls_on(iso, shape["weekday"]):
        return typed
    return iso if shape["clock"] is None else f"{iso}T{shape['clock']}"


def _place(word: str, names: tuple[str, ...]) -> int | None:
    """Return the place of a name, or of its first letters, in a list; None when none begins so."""
    starts = (place for place, name in enumerate(names) if name.lower().startswith(word.lower()))
    return next(starts, None) if len(word) >= SHORT else None


def _falls_on(iso: str, weekday: str) -> bool:
    place = _place(weekday, DAYS)
    try:
        return place is not None and date.fromisoformat(iso).weekday() == place
    except ValueError:  # a day that does not exist is refused as such
        return place is not None
