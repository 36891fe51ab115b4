"""Quantile tables of the spread of a residence time about its middle, exact in both tails."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.claims.organism import Spread
from tankside.lifecycle.inputs.types import Floats

CELLS = whole_setting(1024, "cells of the table; its two end cells have tables of their own")
EDGE = setting(2.0**-23, "the ends of the distribution are taken here, not at 0 and 1")
GRID = whole_setting(20001, "points on which a mixture is inverted")
WIDEST = setting(8.0, "standard deviations covered when a mixture is inverted")


def probabilities() -> tuple[Floats, Floats]:
    """Return (u, 1 - u) at the nodes of the table, the second without loss of digits."""
    steps = np.arange(CELLS + 1) / CELLS
    main = np.clip(steps, EDGE, 1 - EDGE)
    low = np.clip(steps / CELLS, EDGE, None)
    high_left = np.clip((1 - steps) / CELLS, EDGE, None)
    return (
        np.concatenate([main, low, 1 - high_left]),
        np.concatenate([1 - main, 1 - low, high_left]),
    )


@lru_cache(maxsize=CELLS)
def quantile_table(
    spread: Spread, width: float, tail: tuple[float, float, float] = (0.0, 1.0, 1.0)
) -> Floats:
    """Return the residence time at the nodes of the table.

    Args:
        spread: gamma (mean 1, width = coefficient of variation), lognormal (median 1, width =
            sigma of the logarithm), long tail (lognormal mixed with a slower lognormal),
            exponential (mean 1).
        width: see ``spread``; 0 means no spread.
        tail: (share, how many times slower, sigma) of the slow part of a long tail.
    """
    from scipy.special import gammainccinv, gammaincinv, ndtri

    u, left = probabilities()
    if spread is Spread.EXPONENTIAL:
        return np.asarray(-np.log(left))
    if width <= 0:
        return np.ones_like(u)
    if spread is Spread.GAMMA:
        shape = 1 / width**2
        residence = np.where(u < left, gammaincinv(shape, u), gammainccinv(shape, left))
        return np.asarray(residence / shape)
    if spread is Spread.LOGNORMAL or tail[0] <= 0:
        normal = np.where(u < left, ndtri(u), -ndtri(left))
        return np.exp(width * np.asarray(normal))
    return _long_tail(u, left, width, tail)


def _long_tail(u: Floats, left: Floats, width: float, tail: tuple[float, float, float]) -> Floats:
    """Invert (1 - share) LN(1, width) + share LN(factor, sigma) on a grid of the logarithm."""
    from scipy.special import ndtr

    share, factor, sigma = tail
    top = np.log(factor) + WIDEST * sigma
    x = np.linspace(-WIDEST * width, max(top, WIDEST * width), GRID)
    slow = (x - np.log(factor)) / sigma
    below = (1 - share) * ndtr(x / width) + share * ndtr(slow)
    above = (1 - share) * ndtr(-x / width) + share * ndtr(-slow)
    lower = np.interp(u, below, x)
    upper = np.interp(-left, -above, x)
    return np.exp(np.where(u < left, lower, upper))
