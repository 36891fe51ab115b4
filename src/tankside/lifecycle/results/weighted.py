"""Summaries of weighted histories: how many they are worth, a share, quantiles."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tankside.lifecycle.inputs.types import Floats
from tankside.lifecycle.results.of_twenty import OfTwenty, of_twenty

Numbers = NDArray[np.int64] | NDArray[np.float64]
Chances = NDArray[np.bool_] | NDArray[np.float64]


def effective(weights: Floats) -> float:
    """Return the effective number of weighted histories: (sum w)^2 / sum w^2.

    Weights so small that their squares are nothing are scaled by a power of two first, which
    changes no digit.
    """
    if float(weights.sum()) <= 0:
        return 0.0
    _, exponent = np.frexp(weights.max())
    scaled = np.ldexp(weights, -exponent)
    total = float(scaled.sum())
    return total * total / float((scaled * scaled).sum())


def share(holds: Chances, weights: Floats) -> OfTwenty:
    """Return the weighted share of histories for which something holds.

    Args:
        holds: for each history whether it holds, or the chance that it does (0 to 1).
        weights: of the histories.
    """
    total, runs = float(weights.sum()), effective(weights)
    hits = 0.0 if total <= 0 else float((weights * holds).sum()) / total * runs
    return of_twenty(hits, runs)


def quantiles(values: Numbers, weights: Floats, levels: Sequence[float]) -> tuple[float, ...]:
    """Return weighted quantiles (inverse of the weighted distribution function).

    Args:
        values: one number per history; infinite where something never happens.
        weights: of the histories; those with weight 0 do not count.
        levels: between 0 and 1.
    """
    order = np.argsort(values, kind="stable")
    heaped = np.cumsum(weights[order])
    last = len(values) - 1
    places = np.searchsorted(heaped, np.asarray(levels) * heaped[-1])
    return tuple(float(values[order[min(int(place), last)]]) for place in places)
