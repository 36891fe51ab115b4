"""Names of causes and findings, and chances, in the words a differential is told in."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose import NONE, OUTSIDE, SCALE, Ranking, Speaks, in_words

NOTHING_WRONG = "Nothing wrong"
NOT_LISTED = "Not on the list"
IDEA_SHOWN_BY = "own first idea, before the ranking"
"""What the entry of the own first idea says of where it comes from."""

STEPS_OF_WORDS = len(SCALE)


def word_step(chance: float) -> int:
    """Return how many of the steps of words a chance reaches, 1 for the remotest.

    Args:
        chance: 0 to 1.
    """
    above = (place for place, step in enumerate(SCALE) if chance > step.above)
    return STEPS_OF_WORDS - next(above, STEPS_OF_WORDS - 1)


def cause_name(facts: DiagnosisFacts, condition: str) -> str:
    """Return the name to show of a cause."""
    if condition == OUTSIDE:
        return NOT_LISTED
    return NOTHING_WRONG if condition == NONE else facts.conditions[condition].name


def chance_words(facts: DiagnosisFacts, chance: float) -> str:
    """Return a chance in words; with its frequency only when the ranking is calibrated."""
    return in_words(chance, calibrated=facts.calibrated)


def finding_label(facts: DiagnosisFacts, finding: str) -> str:
    """Return the name of a finding inside a sentence."""
    return facts.findings[finding].label.lower()


def finding_labels(facts: DiagnosisFacts, findings: Iterable[str]) -> str:
    """Return several findings as they follow each other in a sentence."""
    return ", ".join(finding_label(facts, finding) for finding in findings)


def spoken(facts: DiagnosisFacts, speaks: Speaks) -> str:
    """Return one finding with its answers, several that are possible joined by "or"."""
    finding = facts.findings[speaks.finding]
    answers = " or ".join(finding.word(answer) for answer in speaks.answers)
    return f"{finding_label(facts, speaks.finding)} = {answers}"


def first_step(facts: DiagnosisFacts, ranking: Ranking, condition: str) -> str:
    """Return what a row of the ranking calls for first; of what is not listed, by its group."""
    if condition == OUTSIDE:
        condition = max(ranking.groups(), key=ranking.of)
    cause = facts.conditions.get(condition)
    return "" if cause is None else cause.step
