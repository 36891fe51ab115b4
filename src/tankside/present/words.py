"""A difference and an age as a person reads them, and the mark of an invented case."""

from __future__ import annotations

from decimal import Decimal

from tankside.quantity.per import HOURS_PER_DAY
from tankside.quantity.show import NO_BREAK

EXAMPLE_MARK = "EXAMPLE, invented"
"""Stands on every screen and paper of an invented case."""


def percent_words(percent: float | Decimal) -> str:
    """Write a difference in whole per cent, its sign left to the words around it: ``12 %``."""
    return f"{abs(percent):.0f}{NO_BREAK}%"


def age_words(hours: float) -> str:
    """Write how long ago a reading was taken: in hours for two days, then in days."""
    if hours < 2 * HOURS_PER_DAY:
        return f"{max(0.0, hours):.0f}{NO_BREAK}h"
    return f"{hours / HOURS_PER_DAY:.0f}{NO_BREAK}days"
