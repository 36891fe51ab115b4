"""How many animals must be examined before finding none means something."""

from __future__ import annotations

from math import ceil

from tankside.claims import setting
from tankside.sampling.bound import CONFIDENCE
from tankside.sampling.chance import (
    chance_at_most,
    check_share,
    needed_when_each_independent,
)

_SLACK = setting(1e-9, "a bound met exactly must not ask for one more animal by rounding")


def needed_in_large_stock(
    share: float, *, sensitivity: float = 1.0, confidence: float = CONFIDENCE
) -> int:
    """Fewest animals that would show at least one carrier, in a large stock.

    Args:
        share: share of carriers to be found [0 to 1].
        sensitivity: chance that one examination of a carrier finds it [0 to 1].
        confidence: wanted chance of at least one finding [0 to 1].

    Returns:
        Animals to examine.

    Equation:
        n = ln(1 - confidence) / ln(1 - p Se), rounded up

    Raises:
        BadInput: E-RANGE-01.
    """
    check_share(share, "share")
    check_share(sensitivity, "sensitivity")
    check_share(confidence, "confidence")
    return ceil(needed_when_each_independent(share * sensitivity, 1 - confidence) - _SLACK)


def needed_in_stock(
    carriers: int, population: int, *, sensitivity: float = 1.0, confidence: float = CONFIDENCE
) -> int | None:
    """Fewest animals that would show at least one of ``carriers`` in this stock.

    Args:
        carriers: carriers to be found, at least 1.
        population: animals in all.
        sensitivity: chance that one examination of a carrier finds it [0 to 1].
        confidence: wanted chance of at least one finding [0 to 1].

    Returns:
        Animals to examine; None when not even examining all of them once is enough.

    Raises:
        BadInput: E-RANGE-01.
    """
    check_share(sensitivity, "sensitivity")
    check_share(confidence, "confidence")
    check_share(carriers / population, "carriers among the stock")
    risk = 1 - confidence

    def leaves(examined: int) -> float:
        return chance_at_most(0, examined, carriers, population, sensitivity)

    if leaves(population) > risk + _SLACK:
        return None
    low, high = 1, population
    while low < high:
        middle = (low + high) // 2
        if leaves(middle) <= risk + _SLACK:
            high = middle
        else:
            low = middle + 1
    return low
