"""What an agent does to the bacteria of a filter, told as a class and never as a percentage.

Studies of the same agent run from no effect to loss, with biofilm, adaptation and duration. So
the answer is one of three words with the studies behind it, and testing is advised in each case.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from tankside.claims import Claim


class FilterRisk(StrEnum):
    """What to expect of the filter: its bacteria spared, at risk, or lost."""

    SPARED = "spared"
    AT_RISK = "at_risk"
    LOST = "lost"


_ADVICE = {
    FilterRisk.SPARED: "Test ammonia and nitrite every second day, and two weeks after.",
    FilterRisk.AT_RISK: "Test ammonia and nitrite daily during the course and for two weeks after; "
    "have change water ready.",
    FilterRisk.LOST: "Take the media out into clean tank water or plan without a filter: test "
    "daily, change water, feed little, for weeks after.",
}


@dataclass(frozen=True, slots=True)
class FilterForecast:
    """A class with its reasons.

    Args:
        risk: the class.
        why: how the studies lead to it.
        against: studies that say it is worse or equal.
        in_favour: studies that say it is milder.
        advice: which tests to plan (common practice, no source).
    """

    risk: FilterRisk
    why: str
    against: tuple[Claim, ...]
    in_favour: tuple[Claim, ...]
    advice: str


def _strength(claim: Claim) -> float | None:
    text = claim.conditions.get("mg_l")
    return None if text is None else float(text)


def filter_risk(strength_mg_l: float, studies: Sequence[Claim]) -> FilterForecast:
    """Say what an agent at a strength does to nitrification.

    Args:
        strength_mg_l: strength in the tank [mg/L, on the basis of the studies].
        studies: one claim per study (``water.nitrification.effect.<agent>.<study>``), value one of
            the classes, the tested strength in ``conditions["mg_l"]`` (absent: not stated).

    Returns:
        The class, with the studies on both sides.

    Rule:
        harm counts when it was seen at this strength or a lower one (or at one not stated);
        sparing counts when it was seen at this strength or a higher one. Both: at risk. Neither:
        at risk, because not tested is not safe. A test of unstated strength never spares.
    """
    harm, spared = [], []
    for study in studies:
        tested = _strength(study)
        if FilterRisk(str(study.value)) is FilterRisk.SPARED:
            if tested is not None and tested >= strength_mg_l:
                spared.append(study)
        elif tested is None or tested <= strength_mg_l:
            harm.append(study)
    risk, why = _judge(harm, spared)
    return FilterForecast(risk, why, tuple(harm), tuple(spared), _ADVICE[risk])


def _judge(harm: Sequence[Claim], spared: Sequence[Claim]) -> tuple[FilterRisk, str]:
    if harm and spared:
        return FilterRisk.AT_RISK, "studies at comparable strength disagree"
    if harm:
        lost = any(str(study.value) == FilterRisk.LOST for study in harm)
        return (
            FilterRisk.LOST if lost else FilterRisk.AT_RISK,
            "harm was seen at this strength or below",
        )
    if spared:
        return FilterRisk.SPARED, "no harm was seen at this strength or above"
    return FilterRisk.AT_RISK, "not tested at this strength: not known is not safe"
