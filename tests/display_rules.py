"""Breaches of the display rules in a text: what a hurried reader could take wrongly."""

from __future__ import annotations

import re

_FAULTS = (
    (re.compile(r"(?<![\d.])\.\d"), "no zero before the point"),
    (re.compile(r"\d\.\d*0(?=\s?(?:mg|g|mL|L)\b)"), "a trailing zero"),
    (re.compile(r"\d(?:mg|g|mL|L|cm|kg)\b"), "no space before the unit"),
    (re.compile(r"\d (?:mg|g|mL|L)\b"), "number and unit can wrap apart"),
    (re.compile(r"\d\s?(?:ml|cc|µg|ug|mcg|ppm)\b"), "a unit that is misread"),
)


def display_faults(text: str) -> tuple[str, ...]:
    """List breaches of the display rules in a text, each with the words around it."""
    return tuple(
        f"{why}: {text[max(0, match.start() - 20) : match.end() + 10]!r}"
        for pattern, why in _FAULTS
        for match in pattern.finditer(text)
    )
