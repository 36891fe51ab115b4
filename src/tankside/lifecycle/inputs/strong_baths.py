"""Kill of short strong baths: a rate at one strength, and how it follows the strength.

The half-kill of a long bath says little of a short strong one: its hazard rises only with the
logarithm of the strength. Where print has times to all dead at strengths of minutes, the claims
``kill.<agent>.<stage>.strong_per_h`` (hazard) at ``strong_mg_l``, ``strong_exponent`` n,
``strong_least_mg_l`` and ``strong_most_mg_l`` (what was tried) give

    k = transfer rate (C / C0)^n    for C from half of the least tried; as at twice the most above.

``transfer`` is the part of a kill seen in a dish that is seen on fish in a tank. Of the two laws
the stronger counts.
"""

from __future__ import annotations

import numpy as np

from tankside.claims import setting
from tankside.lifecycle.inputs.mortality_factors import KILL, MortalityFactor, Reach
from tankside.lifecycle.inputs.parameters import Values
from tankside.lifecycle.inputs.types import Floats
from tankside.lifecycle.kernel.positions import StrongColumn

BEYOND = setting(2.0, "strengths are carried no further than this factor beyond those tried")


def strong_kills(values: Values, factors: tuple[MortalityFactor, ...], slots: int) -> Floats:
    """Return what the loop knows of strong baths, (R, A, slots, columns).

    Args:
        values: claims over the histories.
        factors: what kills any stage.
        slots: places a factor can reach.
    """
    table = np.zeros((values.histories, len(factors), slots, len(StrongColumn)))
    for a, factor in enumerate(factors):
        for reach in factor.reaches:
            if factor.kind == KILL and values.known(f"{reach.parameters}.strong_per_h"):
                _fill(values, reach, table[:, a, reach.slot])
    return table


def _fill(values: Values, reach: Reach, table: Floats) -> None:
    stem = reach.parameters
    ratio = np.ones(values.histories)
    if stem != reach.stem:
        ratio = values.of(f"{reach.stem}.ratio")
    power = values.of(f"{stem}.strong_exponent", 1.0)
    at = values.of(f"{stem}.strong_mg_l") * ratio
    rate = values.of(f"{stem}.strong_per_h") * values.of(f"{stem}.transfer", 1.0)
    table[:, StrongColumn.RATE] = rate * at**-power
    table[:, StrongColumn.POWER] = power
    table[:, StrongColumn.LEAST] = values.of(f"{stem}.strong_least_mg_l") * ratio / BEYOND
    table[:, StrongColumn.MOST] = values.of(f"{stem}.strong_most_mg_l") * ratio * BEYOND
