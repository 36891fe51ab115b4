"""Whether two courses are the same to a parasite: same water, same events, same places."""

from __future__ import annotations

import numpy as np

from tankside.course.bodies.tank_hours import BodyHours, TankHours

_SERIES = (
    "temperature_c",
    "salinity_g_l",
    "light",
    "exchange_per_h",
    "uv_per_h",
    "fine_filter_per_h",
)
"""What stages read of the water; oxygen, ammonia and pH reach them through no channel."""


def same_for_parasite(first: TankHours, second: TankHours) -> bool:
    """Return whether everything a stage could meet is the same in both.

    A lever that leaves no trace here (carbon out where only salt is given) cannot change what the
    parasite does, so its course need not be played again.
    """
    if first.events != second.events or first.hours != second.hours:
        return False
    if any(not np.array_equal(place, second.where[group]) for group, place in first.where.items()):
        return False
    pairs = zip(first.strata, second.strata, strict=True)
    return all(
        _same_body(body, other)
        for here, there in pairs
        for body, other in zip(here.bodies, there.bodies, strict=True)
    )


def _same_body(body: BodyHours, other: BodyHours) -> bool:
    if any(
        not np.array_equal(getattr(body, name), getattr(other, name), equal_nan=True)
        for name in _SERIES
    ):
        return False
    agents = {*body.residue_low_mg_l, *other.residue_low_mg_l}
    return all(
        agent in body.residue_low_mg_l
        and agent in other.residue_low_mg_l
        and np.array_equal(body.residue_low_mg_l[agent], other.residue_low_mg_l[agent])
        and np.array_equal(body.residue_high_mg_l[agent], other.residue_high_mg_l[agent])
        for agent in agents
    )
