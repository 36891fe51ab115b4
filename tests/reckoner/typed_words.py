"""Read what was typed in a case, word by word, in exact fractions, without the program."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

MASS_MG = {
    "mg": Fraction(1),
    "g": Fraction(1000),
    "kg": Fraction(1_000_000),
    "lb": Fraction("453592.37"),
}
"""Milligrams in one unit; the pound is that of 1959 (0.45359237 kg, exact)."""
VOLUME_L = {
    "L": Fraction(1),
    "mL": Fraction(1, 1000),
    "m3": Fraction(1000),
    "US gal": Fraction("3.785411784"),
    "imperial gal": Fraction("4.54609"),
}
"""Litres in one unit; both gallons are exact by definition."""
LENGTH_CM = {"cm": Fraction(1), "mm": Fraction(1, 10), "m": Fraction(100)}
STRENGTH_MG_L = {"mg/L": Fraction(1), "g/L": Fraction(1000), "g/m3": Fraction(1)}
FLOW_L_MIN = {"L/min": Fraction(1), "L/h": Fraction(1, 60)}
MINUTES = {"min": Fraction(1), "s": Fraction(1, 60), "h": Fraction(60)}
COPPER_IN_CRYSTALS = Fraction("63.546") / (
    Fraction("63.546") + Fraction("32.06") + 9 * Fraction("15.999") + 10 * Fraction("1.008")
)
"""Share of Cu in CuSO4.5H2O by the abridged atomic weights."""
COPPER_MG_L = {"mg/L as Cu": Fraction(1), "mg/L as CuSO4.5H2O": COPPER_IN_CRYSTALS}
NUMBER = re.compile(r"(\d+(?:\.\d+)?) (.+)")
FIRST = 2
"""Number of the first row: the opening of the case is number 1."""
MONTH_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
"""Of a common year: the histories all lie in one."""


@dataclass(frozen=True)
class Row:
    """One typed line: its words, and the entry it replaces or, without words, takes back."""

    words: tuple[str, ...]
    of: int | None = None

    @property
    def kind(self) -> str:
        return self.words[0] if self.words else ""

    @property
    def keys(self) -> dict[str, str]:
        """Return what was typed as ``key=value``; the last of a repeated key."""
        return dict(word.split("=", 1) for word in self.words[1:] if "=" in word)

    @property
    def bare(self) -> tuple[str, ...]:
        """Return the words without a key."""
        return tuple(word for word in self.words[1:] if "=" not in word)

    @property
    def minute(self) -> int:
        """Return the minute of the year in which it happened."""
        return minute_of(self.keys["on"])


def minute_of(moment: str) -> int:
    """Return the minute of the year of ``2026-03-02T18:30``."""
    day, _, clock = moment.partition("T")
    _, month, date = (int(part) for part in day.split("-"))
    hour, minute = (int(part) for part in clock.split(":"))
    return ((sum(MONTH_LENGTHS[: month - 1]) + date - 1) * 24 + hour) * 60 + minute


def measured(text: str, factors: dict[str, Fraction]) -> Fraction | None:
    """Return the number of ``text`` in the base unit, or None where the unit is another."""
    match = NUMBER.fullmatch(text)
    if match is None or match[2] not in factors:
        return None
    return Fraction(match[1]) * factors[match[2]]


def needed(text: str, factors: dict[str, Fraction]) -> Fraction:
    """Return the number of ``text``; the histories hold no other unit."""
    number = measured(text, factors)
    if number is None:
        raise ValueError(text)
    return number


def standing(rows: Sequence[Row]) -> list[tuple[int, Row]]:
    """Return the rows that count, with their numbers, in the order in which they happened.

    A replaced row keeps its number; the last word on a row holds. The opening is number 1.
    """
    numbered = list(enumerate(rows, start=FIRST))
    last_word = {row.of: row for _, row in numbered if row.of is not None}
    kept = [(number, last_word.get(number, row)) for number, row in numbered if row.of is None]
    live = [(number, row) for number, row in kept if row.words]
    return sorted(live, key=lambda pair: (pair[1].minute, pair[0]))
