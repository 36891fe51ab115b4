"""How far a reading may be off where meter or kit was never checked, or too long ago."""

from __future__ import annotations

from datetime import datetime, timedelta

from tankside.case import Reading, ReadingView
from tankside.case.typed_value import NEVER
from tankside.claims import Knowledge
from tankside.quantity import Kind

AGE_LIMIT = "practice.course.age_limit_check"
SHARE = "practice.course.unchecked_share"
WARMTH = "practice.course.unchecked_temperature"
TRUSTED = frozenset((Reading.PH, Reading.SALINITY, Reading.CONDUCTIVITY))
"""Readings for which no width is stated."""

Edges = tuple[float, float]


def unchecked(reading: ReadingView, facts: Knowledge) -> bool:
    """Whether it was said of meter or kit that it was never checked, or too long before."""
    if reading.checked is None:
        return False
    if reading.checked == NEVER:
        return True
    day = datetime.fromisoformat(reading.checked[:10]).date()
    return reading.at.day - day > timedelta(hours=facts.number(AGE_LIMIT))


def edges(reading: ReadingView, facts: Knowledge, value: float) -> Edges:
    """Return between which values a reading lies, in the unit of ``value``.

    Args:
        reading: the reading.
        facts: how far an unchecked one may be off.
        value: what it read, in any unit of its kind; degrees Celsius for a temperature.
    """
    if reading.what in TRUSTED or not unchecked(reading, facts):
        return (value, value)
    if reading.measured is not None and reading.measured.kind is Kind.TEMPERATURE:
        off = facts.number(WARMTH)
        return (value - off, value + off)
    share = facts.number(SHARE)
    return (value * (1 - share), value * (1 + share))
