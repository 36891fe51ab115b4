"""How many carriers a sample cannot exclude: exact bounds for a large stock and for this tank.

Finding nothing in five fish is not the absence of a parasite. The bound is one-sided: the largest
share (or number) of carriers under which a result as clean as this one would still be seen with
the chance that is left to error.
"""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims import setting
from tankside.sampling.chance import (
    chance_at_most,
    check_counts,
    check_population,
    check_share,
)

CONFIDENCE = setting(0.95, "one-sided confidence usual in surveys for freedom from disease")
_TIE = setting(1e-12, "a chance of just one in twenty is excluded, however it is rounded")


@dataclass(frozen=True, slots=True)
class Interval:
    """A share with both edges [0 to 1]."""

    low: float
    high: float


def largest_share(
    positives: int, examined: int, *, sensitivity: float = 1.0, confidence: float = CONFIDENCE
) -> float:
    """Largest share of carriers that the result does not exclude, in a large stock.

    Args:
        positives: animals found infected.
        examined: animals examined, chosen without preference.
        sensitivity: chance that one examination of a carrier finds it [0 to 1]; a claim or an
            estimate, 1 only when nothing is missed.
        confidence: one-sided confidence [0 to 1].

    Returns:
        Share [0 to 1]; 1 when nothing was examined.

    Equation:
        the p with P(X <= x | n, p Se) = 1 - confidence; with x = 0: (1 - a^(1/n)) / Se

    Source:
        Clopper & Pearson 1934, Biometrika 26:404-413 (one-sided).

    Raises:
        BadInput: E-COUNT-01, E-RANGE-01.
    """
    check_counts(positives, examined)
    check_share(sensitivity, "sensitivity")
    check_share(confidence, "confidence")
    if positives == examined:
        return 1
    return min(1, _upper(positives, examined, 1 - confidence) / sensitivity)


def _upper(positives: int, examined: int, risk: float) -> float:
    from scipy.special import betaincinv

    return float(betaincinv(positives + 1, examined - positives, 1 - risk))


def _lower(positives: int, examined: int, risk: float) -> float:
    from scipy.special import betaincinv

    return float(betaincinv(positives, examined - positives + 1, risk))


def largest_number(
    positives: int,
    examined: int,
    population: int,
    *,
    sensitivity: float = 1.0,
    confidence: float = CONFIDENCE,
) -> int:
    """Largest number of carriers that the result does not exclude, in this stock.

    Args:
        positives: animals found infected.
        examined: different animals examined, chosen without preference.
        population: animals in all, the examined ones among them.
        sensitivity: chance that one examination of a carrier finds it [0 to 1].
        confidence: one-sided confidence [0 to 1].

    Returns:
        Carriers among ``population``.

    Equation:
        the largest D with P(at most x seen | N, D, n, Se) > 1 - confidence, hypergeometric
        drawing, each carrier drawn seen with chance Se.

    Raises:
        BadInput: E-COUNT-01, E-RANGE-01.
    """
    check_counts(positives, examined)
    check_population(examined, population)
    check_share(sensitivity, "sensitivity")
    check_share(confidence, "confidence")
    risk = (1 - confidence) * (1 + _TIE)
    low, high = positives, population
    while low < high:
        middle = (low + high + 1) // 2
        if chance_at_most(positives, examined, middle, population, sensitivity) > risk:
            low = middle
        else:
            high = middle - 1
    return low


def clopper_pearson(positives: int, examined: int, *, confidence: float = CONFIDENCE) -> Interval:
    """Exact two-sided interval for a share.

    Args:
        positives: animals found infected.
        examined: animals examined, at least 1.
        confidence: two-sided confidence [0 to 1].

    Returns:
        Share with both edges [0 to 1].

    Source:
        Clopper & Pearson 1934, Biometrika 26:404-413.

    Raises:
        BadInput: E-COUNT-01, E-RANGE-01.
    """
    check_counts(positives, examined)
    check_share(confidence, "confidence")
    risk = (1 - confidence) / 2
    low = 0.0 if positives == 0 else _lower(positives, examined, risk)
    high = 1.0 if positives == examined else _upper(positives, examined, risk)
    return Interval(low, high)
