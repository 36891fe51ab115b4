"""Close the mass balance of a body: what came in, went out and was lost against what is there.

Walks the steps one by one, apart from the recursion that solved the course, so that a fault in
composing or solving them shows as an account that does not close.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tankside.course.water.mixing import ADD, EXCHANGE, Mixing, MixingStep

Floats = NDArray[np.float64]


def closing_errors(mixing: Mixing, solved: Floats) -> dict[str, float]:
    """Return the closing error of every row, relative to the largest term of its account.

    Equation: in - out - lost + made + corrected = change, with every term a mass (the row's
    unit times litres) summed over the course; the largest error over the strata is returned.

    Args:
        mixing: the body's steps and rates.
        solved: its solved rows, shape (rows, strata, hours).
    """
    volume = mixing.volume_l
    zero = np.zeros(solved.shape[:2])
    came, went, corrected = zero.copy(), zero.copy(), zero.copy()
    at_hand: dict[int, Floats] = {}
    for step in mixing.log:
        now = at_hand.get(step.hour)
        if now is None:
            now = at_hand[step.hour] = _before(mixing, solved, step.hour)
        _walk(step, now, volume, came, went, corrected)
    retained, made = mixing.rates()
    lost = (volume[:, None] * (1 - retained[:, :, :-1]) * solved[:, :, :-1]).sum(axis=2)
    grown = (volume[:, None] * made[:, :, :-1]).sum(axis=2)
    change = volume * (solved[:, :, -1] - mixing.start)
    terms = np.stack([came, went, lost, grown, corrected, change, volume * mixing.start])
    size = np.abs(terms).max(axis=0)
    error = np.abs(came - went - lost + grown + corrected - change)
    relative = np.divide(error, size, out=zero, where=size > 0)
    return dict(zip(mixing.names, relative.max(axis=1).tolist(), strict=True))


def _before(mixing: Mixing, solved: Floats, hour: int) -> Floats:
    """Return the concentrations just before the first step of an hour."""
    if hour == 0:
        return mixing.start.copy()
    retained, made = mixing.rates()
    before: Floats = retained[:, :, hour - 1] * solved[:, :, hour - 1] + made[:, :, hour - 1]
    return before


def _walk(
    step: MixingStep, now: Floats, volume: Floats, came: Floats, went: Floats, corrected: Floats
) -> None:
    """Apply one step to ``now`` and enter its masses."""
    if step.kind == ADD:
        came[step.row] += step.amount
        now[step.row] += step.amount / volume
    elif step.kind == EXCHANGE and step.new is not None:
        moved = np.minimum(step.amount, volume)
        open_rows = ~np.isnan(step.new)
        went[open_rows] += moved * now[open_rows]
        came[open_rows] += moved * step.new[open_rows, None]
        now[open_rows] += moved * (step.new[open_rows, None] - now[open_rows]) / volume
    else:
        corrected[step.row] += volume * (step.amount - now[step.row])
        now[step.row] = step.amount
