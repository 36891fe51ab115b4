"""The frozen models on a finer grid of water: each hour of the program is a part of a real one.

Residence times grow and rates shrink by the number of parts, water and course are given part by
part, so that only the grid changes. The loop itself is left as it is.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from tests.lifecycle.event_by_event import facts_of, killed, times_done

from tankside.bench.kernel_models import Model, model
from tankside.course.bodies.tank_hours import Stratum, TankHours

LONGER = ("feeding.residence", "cyst.residence", "swimmer.life")
RARER = ("swimmer.search_l_per_h", "host.death_per_h")


def finer(name: str, parts: int) -> Model:
    """Return a frozen model whose hours are cut into parts."""
    frozen = model(name)
    claims = dict(frozen.organism.claims)
    for keys, factor in ((LONGER, parts), (RARER, 1 / parts)):
        for key in keys:
            claims[key] = replace(claims[key], value=claims[key].number() * factor)
    return replace(
        frozen,
        organism=replace(frozen.organism, claims=claims),
        tank_hours=_water(frozen, parts),
    )


def _water(frozen: Model, parts: int) -> TankHours:
    course, water = frozen.settings, frozen.tank_hours
    number = water.hours * parts
    middle = (np.arange(number) + 0.5) / parts
    part = np.minimum(middle / course["warming_h"], 1.0)
    flat = (
        "salinity_g_l", "oxygen_mg_l", "total_ammonia_mg_l_n", "nitrite_mg_l_n", "ph", "light",
        "uv_per_h", "fine_filter_per_h",
    )  # fmt: skip
    still: dict[str, Any] = dict.fromkeys(flat, np.zeros(number))
    body = replace(
        water.strata[0].bodies[0],
        temperature_c=course["start_c"] + (course["end_c"] - course["start_c"]) * part,
        exchange_per_h=_kill(frozen, parts),
        **still,
    )
    return replace(
        water,
        hours=number,
        strata=(Stratum("point", 1.0, (body,)),),
        events=tuple(replace(event, hour=event.hour * parts) for event in water.events),
        where={group: np.zeros(number, dtype=np.int16) for group in water.where},
    )


def _kill(frozen: Model, parts: int) -> np.ndarray:
    """Return the kill of each part [1/part], from its integral; water changes taken out."""
    facts = facts_of(frozen)
    if facts.most <= 0:
        return np.zeros(frozen.tank_hours.hours * parts)
    edges = np.arange(frozen.tank_hours.hours * parts + 1) / parts
    changes = -np.log(1 - facts.change)
    total = [killed(facts, h) - changes * times_done(facts.change_at, h) for h in edges]
    return np.diff(total)
