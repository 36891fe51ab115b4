"""Evidence with one finding more."""

from __future__ import annotations

from tankside.diagnose import Evidence


def and_also(evidence: Evidence, finding: str, *answers: str) -> Evidence:
    """Return the evidence with one finding added or replaced."""
    more = {**evidence.answers, finding: frozenset(answers)}
    return Evidence(more, evidence.unconfirmed, evidence.weights)
