"""What a sample shows, in a sentence that does not promise more than it can."""

from __future__ import annotations

from math import ceil

from tankside.quantity.per import PERCENT
from tankside.sampling.bound import CONFIDENCE, largest_number, largest_share


def in_words(
    positives: int,
    examined: int,
    *,
    population: int | None = None,
    sensitivity: float = 1.0,
    confidence: float = CONFIDENCE,
) -> str:
    """Say what a result does not exclude.

    Args:
        positives: animals found infected.
        examined: animals examined.
        population: animals in all, when known.
        sensitivity: chance that one examination of a carrier finds it [0 to 1].
        confidence: one-sided confidence [0 to 1].

    Returns:
        One sentence.
    """
    if examined == 0:
        return "None examined: nothing is excluded."
    share = largest_share(positives, examined, sensitivity=sensitivity, confidence=confidence)
    sure = round(confidence * PERCENT)
    text = f"{positives} of {examined} examined"
    text += " infected" if positives else " infected is not proof of absence"
    text += f": up to {_percent(share)} of a large stock may carry it"
    if population is not None:
        number = largest_number(
            positives, examined, population, sensitivity=sensitivity, confidence=confidence
        )
        text += f", in this stock up to {number} of {population}"
    finds = f", each look finding a carrier {_percent(sensitivity)} of the time"
    return f"{text} (one-sided {sure} %{'' if sensitivity >= 1 else finds})."


def _percent(share: float) -> str:
    """Write a share in whole per cent, never 0."""
    whole = round(share * PERCENT)
    return f"{max(whole, ceil(share))} %"
