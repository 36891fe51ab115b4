"""When the advice flips: one claim held at rising values, all else under common random numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import isinf, sqrt

import numpy as np

from tankside.claims import setting
from tankside.lifecycle.inputs.types import Draws, Floats
from tankside.lifecycle.results.clean_look import ENOUGH
from tankside.lifecycle.results.endpoints import clear_at, living
from tankside.lifecycle.results.first_passage import NEVER
from tankside.lifecycle.results.histories import Histories
from tankside.lifecycle.results.of_twenty import OfTwenty
from tankside.lifecycle.results.outcome import LEVELS
from tankside.lifecycle.results.weighted import effective, quantiles, share

FULL = setting(0.9, "an agent below nine tenths of its highest strength is on its way out")
SURE = setting(2.0, "two standard errors of the paired difference")


@dataclass(frozen=True, slots=True)
class SweepPoint:
    """All courses with one claim held at one value.

    Args:
        value: of the claim.
        clear: share of runs clear at the end, by course.
        difference: clear in the first course less clear in the second, run by run.
        error: standard error of that paired difference.
        last_dose: first day by which enough of the runs with fish are clear in the first course
            [d]; infinite when that is never so.
        recheck: first day from which a clean look is the truth in enough runs of it [d].
    """

    value: float
    clear: tuple[OfTwenty, ...]
    difference: float
    error: float
    last_dose: float
    recheck: float


@dataclass(frozen=True, slots=True)
class Flip:
    """Where a decision turns over.

    Args:
        value: of the claim, where the line between its neighbours crosses zero.
        below: last value tried before.
        above: first value tried after.
        rising: whether the margin is negative before and positive after.
        sure: whether both sides differ from zero by more than chance.
    """

    value: float
    below: float
    above: float
    rising: bool
    sure: bool


def held_at(draws: Draws, key: str, value: float) -> Draws:
    """Return the same rows of claims with one claim the same in all of them.

    Raises:
        ValueError: the claim is not one of those drawn.
    """
    values = draws.values.copy()
    values[:, draws.keys.index(key)] = value
    return replace(draws, values=values)


def tried_values(draws: Draws, key: str) -> tuple[float, ...]:
    """Return the values of a claim to try: its own quantiles as drawn, rising, each once."""
    return tuple(sorted(set(quantiles(draws.column(key), draws.weights, LEVELS))))


def sweep_point(
    value: float, played: Sequence[Histories], recheck: Callable[[Histories], float]
) -> SweepPoint:
    """Summarise the courses played with a claim held at one value.

    Args:
        value: of the claim.
        played: one or more courses, all under common random numbers.
        recheck: gives the first day from which a clean look is trusted, for the first course.
    """
    weights = played[0].weights
    flags = [clear_at(histories) for histories in played]
    apart = flags[0].astype(np.float64) - flags[-1].astype(np.float64)
    part = weights / weights.sum()
    mean = float(part @ apart)
    error = sqrt(max(float(part @ (apart - mean) ** 2), 0.0) / max(effective(weights), 1.0))
    return SweepPoint(
        value=value,
        clear=tuple(share(cleared, weights) for cleared in flags),
        difference=mean,
        error=error,
        last_dose=last_dose_day(played[0]),
        recheck=recheck(played[0]),
    )


def last_dose_day(histories: Histories, enough: float = ENOUGH) -> float:
    """Return the first day by which enough of the runs with living fish are clear to the end [d].

    Dosing beyond it treats tanks that are clear already; infinite when too few ever are.

    Args:
        histories: of one course.
        enough: share of the runs.
    """
    for moment in range(len(histories.at_h)):
        fish = living(histories, moment)
        if fish.any() and _settled(histories, moment, fish) >= enough:
            return float(histories.days[moment])
    return NEVER


def _settled(histories: Histories, moment: int, fish: np.ndarray) -> float:
    """Return the weighted part of the runs with fish that are clear from a moment to the end."""
    clear = histories.clear[fish][:, moment:].all(axis=1)
    weights = histories.weights[fish]
    return float(weights[clear].sum() / weights.sum())


def flips(
    values: Sequence[float], margins: Sequence[float], errors: Sequence[float]
) -> tuple[Flip, ...]:
    """Return where a margin changes its sign along rising values of a claim.

    Args:
        values: of the claim, rising.
        margins: of the decision at each value, infinite where it cannot be met at all.
        errors: standard error of each margin.
    """
    rows = list(zip(values, margins, errors, strict=True))
    crossings = []
    for (v1, m1, e1), (v2, m2, e2) in pairwise(rows):
        if (m1 > 0) == (m2 > 0):
            continue
        sure = abs(m1) > SURE * e1 and abs(m2) > SURE * e2
        crossings.append(Flip(_crossing(v1, v2, m1, m2), v1, v2, m2 > 0, sure))
    return tuple(crossings)


def _crossing(v1: float, v2: float, m1: float, m2: float) -> float:
    """Return where the line between two margins is zero; the middle where one is infinite."""
    if isinf(m1) or isinf(m2):
        return (v1 + v2) / 2
    return v1 + (v2 - v1) * m1 / (m1 - m2)


def treated_until(residue: Floats) -> float:
    """Return the last hour at which an agent is at nine tenths of its highest strength or above.

    Args:
        residue: strength hour by hour; all zero when it is never there.

    Returns:
        Hour; 0 when the agent is never in the water.
    """
    top = float(residue.max(initial=0.0))
    return float(np.flatnonzero(residue >= FULL * top)[-1]) if top > 0 else 0.0
