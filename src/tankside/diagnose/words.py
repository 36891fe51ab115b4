"""Chances in words: alone while the ranking is not calibrated, else with their frequency."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims.cited import setting

_PLACE = "scale of words for chances, Showing uncertainty: words carry their number"


@dataclass(frozen=True, slots=True)
class ChanceWord:
    """One step of the scale: the word and the frequency it stands for."""

    above: float
    word: str
    frequency: str


SCALE = (
    ChanceWord(setting(0.95, _PLACE), "almost certain", "more than 19 in 20"),
    ChanceWord(setting(0.90, _PLACE), "very likely", "more than 9 in 10"),
    ChanceWord(setting(2 / 3, _PLACE), "likely", "more than 2 in 3"),
    ChanceWord(setting(1 / 3, _PLACE), "about even", "1 in 3 to 2 in 3"),
    ChanceWord(setting(0.10, _PLACE), "unlikely", "less than 1 in 3"),
    ChanceWord(setting(0.05, _PLACE), "very unlikely", "less than 1 in 10"),
    ChanceWord(0.0, "remote", "fewer than 1 in 20"),
)
"""From likeliest to remotest; a chance takes the first step it lies above. Never 0 or 100 %."""


def in_words(chance: float, *, calibrated: bool) -> str:
    """Return a chance in words.

    Args:
        chance: 0 to 1.
        calibrated: whether numbers may be shown beside the word.
    """
    step = next((w for w in SCALE if chance > w.above), SCALE[-1])
    return f"{step.word}, {step.frequency}" if calibrated else step.word
