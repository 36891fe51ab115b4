"""Ask the knowledge for numbers that may not be there: None is an answer, never a default."""

from __future__ import annotations

from tankside.claims import Knowledge

Range = tuple[float, float, float]
"""Low, value and high of one claim."""


def find_number(facts: Knowledge, key: str) -> float | None:
    """Return the number under ``key``, or None when unknown."""
    claim = facts.find(key)
    return None if claim is None else claim.number()


def find_range(facts: Knowledge, key: str) -> Range | None:
    """Return (low, value, high) under ``key``, or None when unknown."""
    claim = facts.find(key)
    if claim is None:
        return None
    low, high = claim.bounds()
    return (low, claim.number(), high)


def find_text(facts: Knowledge, key: str) -> str | None:
    """Return the text under ``key``, or None when unknown."""
    claim = facts.find(key)
    return None if claim is None else str(claim.value)
