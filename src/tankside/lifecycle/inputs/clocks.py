"""Cumulative scaled time: how far each stage has got by the start of each hour."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tankside.claims.organism import DurationLaw, LifeStage, Organism
from tankside.lifecycle.inputs.types import Floats
from tankside.quantity.per import HOURS_PER_DAY


def cumulative(rate: Floats) -> Floats:
    """Return the running total along the last axis, starting at 0."""
    total = np.zeros((*rate.shape[:-1], rate.shape[-1] + 1))
    np.cumsum(rate, axis=-1, out=total[..., 1:])
    return total


def stay_rate(organism: Organism, stage: LifeStage, temperature_c: Floats) -> Floats:
    """Return the progress of a timed stage in each hour, in the unit of its residence claim.

    Degrees: d clock = (T - t0) dt while T is above t0. Q10: d clock = q10^((T - ref) / 10) dt.
    Constant: d clock = dt.
    """
    hours = organism.claims[f"{stage.key}.residence"].unit.startswith("h")
    per_hour = 1.0 if hours else 1 / HOURS_PER_DAY
    if stage.law is DurationLaw.DEGREES:
        start = organism.claims[f"{stage.key}.residence_t0"].number()
        return np.asarray(np.maximum(temperature_c - start, 0) * per_hour)
    if stage.law is DurationLaw.Q10:
        q10 = organism.claims[f"{stage.key}.residence_q10"].number()
        reference = organism.claims[f"{stage.key}.residence_ref_c"].number()
        return np.asarray(q10_factor(q10, reference, temperature_c) * per_hour)
    return np.full_like(temperature_c, per_hour)


def guide(clock: Floats, cells: int) -> tuple[NDArray[np.int32], Floats]:
    """Return the guide table that finds the hour of a clock value, and cells per unit.

    Args:
        clock: (..., H + 1), non-decreasing.
        cells: of the guide.
    """
    flat = clock.reshape(-1, clock.shape[-1])
    hours = clock.shape[-1] - 1
    table = np.full((flat.shape[0], cells + 1), hours - 1, dtype=np.int32)
    per_unit = np.zeros(flat.shape[0])
    for k, row in enumerate(flat):
        if row[-1] > 0:
            per_unit[k] = cells / row[-1]
            row_hours = np.searchsorted(row * per_unit[k], np.arange(cells + 1), side="right") - 1
            table[k] = np.minimum(row_hours, hours - 1)
    shape = clock.shape[:-1]
    return table.reshape(*shape, cells + 1), per_unit.reshape(shape)


def q10_factor(q10: float, reference_c: float, temperature_c: Floats) -> Floats:
    """Return q10 ** ((T - reference) / 10)."""
    return np.asarray(q10 ** ((temperature_c - reference_c) / 10.0))


def linear_factor(start_c: float, reference_c: float, temperature_c: Floats) -> Floats:
    """Return (T - start) / (reference - start), 0 below the start."""
    return np.asarray(np.maximum(temperature_c - start_c, 0) / (reference_c - start_c))
