"""Which of the sampled claims move the outcome most: rank correlations over the histories."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting
from tankside.lifecycle.inputs.claim_sampling import LOOKING
from tankside.lifecycle.inputs.compiling import Compiled
from tankside.lifecycle.inputs.mortality_factors import FEED, KILL
from tankside.lifecycle.inputs.types import Floats
from tankside.lifecycle.results.histories import Histories
from tankside.lifecycle.results.weighted import Numbers, effective

_FALSE = setting(0.05, "1 time in 20 the list names a claim that does nothing, over all claims")
WATER = "water.stratum"
"""The stratum of the water, by its volume: not a claim, but sampled like one."""


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """How one sampled claim goes with the outcome.

    Args:
        key: of the claim, as drawn.
        correlation: Spearman's rank correlation, -1 to 1.
        beyond_chance: whether it is larger than chance makes the largest of all, 19 times in 20.
    """

    key: str
    correlation: float
    beyond_chance: bool


def rank_correlation(values: Numbers, outcome: Numbers, weights: Floats) -> float:
    """Return Spearman's rank correlation: Pearson's of the mid-ranks, weighted.

    Args:
        values: of a claim, one per history.
        outcome: one number per history; infinite where something never happens (they tie).
        weights: of the histories.

    Returns:
        -1 to 1; 0 when either does not vary.
    """
    first, second = middle_ranks(values), middle_ranks(outcome)
    if not (np.ptp(first) > 0 and np.ptp(second) > 0):
        return 0.0
    part = weights / weights.sum()
    first, second = first - part @ first, second - part @ second
    sizes = sqrt(float(part @ first**2) * float(part @ second**2))
    return float(part @ (first * second)) / sizes if sizes > 0 else 0.0


def middle_ranks(values: Numbers) -> Floats:
    """Return the rank of each number from 1, equal ones sharing the middle of their ranks."""
    _, places, counts = np.unique(values, return_inverse=True, return_counts=True)
    return np.asarray((np.cumsum(counts) - (counts - 1) / 2)[places])


def sensitivities(
    columns: Mapping[str, Floats], outcome: Numbers, weights: Floats
) -> tuple[Sensitivity, ...]:
    """Return every claim with its rank correlation, the strongest first.

    A claim counts as beyond chance when its rank correlation, and also its partial one (with the
    ranks of all other claims held), passes the bar of the largest of so many unrelated numbers:
    normal with variance 1 / (n - 1), or 1 / (n - p - 1) with p claims, Bonferroni's bound. The
    partial one is asked because few runs of many claims are never quite unrelated to each other.

    Args:
        columns: values of each claim over the histories.
        outcome: one number per history.
        weights: of the histories.
    """
    varied = {key: values for key, values in columns.items() if np.ptp(values) > 0}
    if not varied or not np.ptp(middle_ranks(outcome)) > 0:
        return tuple(Sensitivity(key, 0.0, False) for key in varied)
    tail = NormalDist().inv_cdf(1 - _FALSE / (2 * len(varied)))
    runs = effective(weights)
    bar = tail / sqrt(max(runs - 1, 1))
    bar_held = tail / sqrt(max(runs - len(varied) - 1, 1))
    plain = [rank_correlation(values, outcome, weights) for values in varied.values()]
    held = partial_correlations(list(varied.values()), outcome, weights)
    rows = [
        Sensitivity(key, rho, abs(rho) > bar and abs(alone) > bar_held)
        for key, rho, alone in zip(varied, plain, held, strict=True)
    ]
    return tuple(sorted(rows, key=lambda row: -abs(row.correlation)))


def partial_correlations(
    columns: Sequence[Floats], outcome: Numbers, weights: Floats
) -> tuple[float, ...]:
    """Return the rank correlation of each claim with the outcome, all other claims held.

    From the inverse P of the matrix of rank correlations: - P_jy / sqrt(P_jj P_yy).

    Args:
        columns: values of each claim over the histories.
        outcome: one number per history.
        weights: of the histories.
    """
    ranks = np.stack([middle_ranks(values) for values in (*columns, outcome)])
    part = weights / weights.sum()
    apart = ranks - (ranks @ part)[:, np.newaxis]
    sizes = np.sqrt((apart**2) @ part)
    together = (apart * part) @ apart.T / np.outer(sizes, sizes)
    inverse = np.linalg.pinv(together)
    size = np.sqrt(np.abs(np.diag(inverse) * inverse[-1, -1]))
    return tuple(float(-inverse[j, -1] / size[j]) for j in range(len(columns)))


def columns_in_use(compiled: Compiled, histories: Histories) -> dict[str, Floats]:
    """Return the drawn values that can move the parasite in this course, by name.

    Left out: what an agent that is never in the water would do, and what a person sees.

    Args:
        compiled: the organism under the course.
        histories: as run from it.
    """
    draws = histories.draws
    return {
        key: draws.values[:, place]
        for place, key in enumerate(draws.keys)
        if in_use(key, acting(compiled), idle(compiled))
    }


def acting(compiled: Compiled) -> tuple[str, ...]:
    """Return what kills or feeds in this course, as the first parts of its claim keys."""
    return tuple(sorted({f"{factor.kind}.{factor.driver}." for factor in compiled.factors}))


def idle(compiled: Compiled) -> tuple[str, ...]:
    """Return the last parts of claim keys that nothing in this course calls upon."""
    bodies = [body for stratum in compiled.tank_hours.strata for body in stratum.bodies]
    removing = {event.channel for event in compiled.tank_hours.events}
    called = {
        ".filter_catch": any(np.any(body.fine_filter_per_h > 0) for body in bodies),
        ".uv_kill": any(np.any(body.uv_per_h > 0) for body in bodies),
        ".release_salt_half_g_l": any(np.any(body.salinity_g_l > 0) for body in bodies),
        ".release_salt_steepness": any(np.any(body.salinity_g_l > 0) for body in bodies),
        "water.in_bracket": any(
            np.any(strength > 0) for body in bodies for strength in body.residue_high_mg_l.values()
        ),
        "action.share_in_range": bool(removing),
    }
    return tuple(ending for ending, needed in called.items() if not needed)


def in_use(key: str, factors: tuple[str, ...], idle: tuple[str, ...] = ()) -> bool:
    """Return whether a drawn name can move the parasite.

    Args:
        key: the drawn name.
        factors: from :func:`acting`.
        idle: from :func:`idle`.
    """
    if key.startswith(LOOKING) or key.endswith((".visible_from", *idle)):
        return False
    return not key.startswith((f"{KILL}.", f"{FEED}.")) or key.startswith(factors)


def volumes(compiled: Compiled, which: NDArray[np.int64]) -> Floats:
    """Return the litres in which each history was played, all bodies together.

    Args:
        compiled: the organism under the course.
        which: number of the stratum of each history.
    """
    litres = [sum(b.volume_l for b in stratum.bodies) for stratum in compiled.tank_hours.strata]
    return np.asarray(litres)[which]
