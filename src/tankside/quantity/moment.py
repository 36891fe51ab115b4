"""Dates and times as typed: strict ISO, a zone or an offset, no guess over a clock change."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from tankside.errors import BadInput
from tankside.quantity.spelt_date import as_iso

EARLIEST_YEAR = 1990
FUTURE_ALLOWED = timedelta(minutes=5)

_DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_SHAPE = re.compile(
    rf"(?P<date>{_DATE})(?:[T ](?P<clock>[0-9]{{2}}:[0-9]{{2}}(?::[0-9]{{2}})?)"
    r"(?P<offset>Z|[+-][0-9]{2}:[0-9]{2})?)?"
)
_CLOCK = "hours 00 to 23, minutes 00 to 59, an offset below 24 hours"
_UNREAD = "This date cannot be read."
_OFFSET_NEEDED = "2026-10-25T02:30+01:00"


@dataclass(frozen=True, slots=True)
class Moment:
    """A point in time as it was told.

    Args:
        text: ISO 8601 with offset, for example ``2026-03-04T12:00+00:00``.
        day_only: only the day was told; the clock part of ``text`` is a place in that day
            (its start or its noon), not an observation.
    """

    text: str
    day_only: bool = False

    @property
    def when(self) -> datetime:
        """The same point with its offset."""
        return _point(self.text)

    @property
    def utc(self) -> datetime:
        """The same point in UTC."""
        return _in_utc(self.text)

    @property
    def day(self) -> date:
        """The calendar day at the place where it was told."""
        return self.when.date()


@lru_cache(maxsize=8192)
def _point(text: str) -> datetime:
    """Return a point with its offset; a case that is put in order asks for each many times."""
    return datetime.fromisoformat(text)


@lru_cache(maxsize=8192)
def _in_utc(text: str) -> datetime:
    return _point(text).astimezone(UTC)


def _fault(code: str, message: str, typed: object, needed: str, field: str) -> BadInput:
    return BadInput(
        code,
        message,
        given=typed,
        needed=needed,
        next_step="Type the date again; nothing was saved.",
        field=field,
    )


def find_zone(name: str, *, field: str = "zone") -> ZoneInfo:
    """Find a time zone by its name in the IANA list, for example ``Europe/London``.

    Raises:
        BadInput: E-DATE-04 when there is no such zone.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        needed = "a place of the time zone list, for example Europe/London, or UTC"
        raise _fault("E-DATE-04", "This time zone is not known.", name, needed, field) from None


def parse_date(text: object, *, field: str) -> date:
    """Read a day written as 2026-04-03 or 3 Apr 2026.

    Raises:
        BadInput: E-DATE-01 other spelling, E-DATE-02 no such day, E-DATE-03 before 1990.
    """
    iso = as_iso(text.strip(" ")) if isinstance(text, str) else ""
    if not re.fullmatch(_DATE, iso):
        needed = "2026-04-03 or 3 Apr 2026, with its own day of the week if any"
        raise _fault("E-DATE-01", _UNREAD, text, needed, field)
    try:
        day = date.fromisoformat(iso)
    except ValueError:
        needed = "a day that exists"
        raise _fault("E-DATE-02", "There is no such day.", text, needed, field) from None
    if day.year < EARLIEST_YEAR:
        needed = f"a year from {EARLIEST_YEAR}"
        raise _fault("E-DATE-03", "This is too long ago.", text, needed, field)
    return day


def parse_moment(text: object, *, field: str, zone: str, day_starts: bool = False) -> Moment:
    """Read a day, or a day with a time, and give it the offset of a zone when none is typed.

    Args:
        text: ``2026-03-04``, ``2026-03-04T18:30``, ``2026-03-04T18:30+05:45`` or, as dates are
            printed, ``Wed 4 Mar 2026 18:30``.
        field: name of the box, option or column.
        zone: IANA zone of the tank.
        day_starts: place a day without time at its start instead of its noon.

    Raises:
        BadInput: E-DATE-01 to E-DATE-04; a time in the gap or the doubled hour of a clock
            change needs its offset (E-DATE-02).
    """
    shape = _SHAPE.fullmatch(as_iso(text.strip(" "))) if isinstance(text, str) else None
    if shape is None:
        needed = (
            "2026-04-03, 3 Apr 2026 or 2026-04-03T18:30, with an offset such as +01:00 if known"
        )
        raise _fault("E-DATE-01", _UNREAD, text, needed, field)
    day, clock = shape["date"], shape["clock"]
    parse_date(day, field=field)
    if clock is None:
        clock = "00:00" if day_starts else "12:00"
        return Moment(_with_zone(day, clock, zone, field, text), day_only=True)
    if shape["offset"] is None:
        return Moment(_with_zone(day, clock, zone, field, text))
    typed = f"{day}T{clock}{shape['offset']}"
    try:
        datetime.fromisoformat(typed)
    except ValueError:
        raise _fault("E-DATE-02", "There is no such time.", text, _CLOCK, field) from None
    return Moment(typed)


def _with_zone(day: str, clock: str, zone: str, field: str, typed: object) -> str:
    try:
        naive = datetime.fromisoformat(f"{day}T{clock}")
    except ValueError:
        raise _fault("E-DATE-02", "There is no such time.", typed, _CLOCK, field) from None
    early, late = (naive.replace(tzinfo=find_zone(zone), fold=fold) for fold in (0, 1))
    if early.utcoffset() != late.utcoffset():
        back = early.astimezone(UTC).astimezone(early.tzinfo).replace(tzinfo=None)
        how_often = "twice" if back == naive else "never"
        message = f"On this day the clocks change and this time comes {how_often}."
        raise _fault("E-DATE-02", message, typed, f"the offset too: {_OFFSET_NEEDED}", field)
    seconds = "seconds" if clock.count(":") > 1 else "minutes"
    return early.isoformat(timespec=seconds)


def check_moment(moment: Moment, *, field: str, now: datetime, began: Moment | None = None) -> None:
    """Refuse an observation that lies in the future or before its case began.

    Args:
        moment: when it was seen.
        field: name of the box, option or column.
        now: the present, with zone; an observation may lie at most 5 minutes ahead of it.
        began: when the case was opened; None when earlier history is allowed.

    Raises:
        BadInput: E-DATE-03.
    """
    ahead = moment.day > now.astimezone(moment.when.tzinfo).date() if moment.day_only else (
        moment.utc > now.astimezone(UTC) + FUTURE_ALLOWED
    )  # fmt: skip
    if ahead:
        needed = f"at most {now.astimezone(moment.when.tzinfo).isoformat(timespec='minutes')}"
        raise _fault("E-DATE-03", "This lies in the future.", moment.text, needed, field)
    if began is None:
        return
    before = moment.day < began.day if moment.day_only else moment.utc < began.utc
    if before:
        needed = f"at or after {began.text}"
        raise _fault("E-DATE-03", "This lies before the case began.", moment.text, needed, field)


def check_stored(text: object, *, field: str) -> str:
    """Check a moment of a case file: full ISO 8601 with offset, from 1990.

    Raises:
        BadInput: E-DATE-01 to E-DATE-03.
    """
    shape = _SHAPE.fullmatch(text) if isinstance(text, str) else None
    if shape is None or shape["offset"] is None or not isinstance(text, str) or " " in text:
        needed = "date, time and offset, for example 2026-03-04T18:30+00:00"
        raise _fault("E-DATE-01", "A stored moment is written in full.", text, needed, field)
    try:
        stands = datetime.fromisoformat(text).year >= EARLIEST_YEAR
    except ValueError:
        stands = False
    # What does not stand is read once more by the rules that say why.
    return text if stands else parse_moment(text, field=field, zone="UTC").text


def hours_between(start: Moment, end: Moment) -> float:
    """Elapsed hours from one moment to another; a clock change does not bend it."""
    return (end.utc - start.utc).total_seconds() / timedelta(hours=1).total_seconds()
