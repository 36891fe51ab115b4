"""What the course asks of the knowledge it is handed: claims by key, nothing else."""

from __future__ import annotations

from typing import Protocol

from tankside.claims import Claim
from tankside.errors import Mistake


class Facts(Protocol):
    """Anything that answers a claim for a key (and raises KeyError or a Mistake for none)."""

    def claim(self, key: str) -> Claim:
        """Return the default claim for a key."""
        ...


def find(facts: Facts, key: str) -> Claim | None:
    """Return the claim for ``key``, or None when nothing is known under it."""
    try:
        found = facts.claim(key)
    except (KeyError, Mistake):
        return None
    return found if found.known else None


def find_number(facts: Facts, key: str) -> float | None:
    """Return the number under ``key``, or None when unknown."""
    found = find(facts, key)
    return None if found is None else found.number()


def find_bounds(facts: Facts, key: str) -> tuple[float, float, float] | None:
    """Return (low, value, high) under ``key``, or None when unknown."""
    found = find(facts, key)
    if found is None:
        return None
    low, high = found.bounds()
    return (low, found.number(), high)


def find_text(facts: Facts, key: str) -> str | None:
    """Return the text under ``key``, or None when unknown."""
    found = find(facts, key)
    return None if found is None else str(found.value)
