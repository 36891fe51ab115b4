"""A forecast as it is used: white spot for 60 days with claims drawn per history."""

from __future__ import annotations

import time

import numpy as np

from tankside import library, lifecycle
from tankside.course.tank_hours import BodyHours, Stratum, TankHours

HOURS = 60 * 24
WHITE_SPOT = "ichthyophthirius_multifiliis"


def forecast(histories: int, temperature_c: float) -> float:
    """Return the time with claims drawn per history over the time with fixed claims."""
    organism = library.load().organisms[WHITE_SPOT]
    compiled = lifecycle.compile(
        organism, _tank(temperature_c), (lifecycle.HostGroup("fish", 12, (3.0, 4.0, 5.0)),)
    )
    begin = lifecycle.StartState({"fish": (2.0, 5.0, 10.0)})
    taken = []
    for fixed in (True, False):
        draws = lifecycle.draw(organism, histories, 1, fixed=fixed)
        lifecycle.run(compiled, begin, draws, min(histories, 8), 1)
        started = time.process_time()
        lifecycle.run(compiled, begin, draws, histories, 1, threads=1)
        taken.append(time.process_time() - started)
    return taken[1] / taken[0]


def _tank(temperature_c: float) -> TankHours:
    still = np.zeros(HOURS)
    body = BodyHours(
        body="tank",
        volume_l=120.0,
        temperature_c=still + temperature_c,
        salinity_g_l=still,
        residue_low_mg_l={},
        residue_high_mg_l={},
        oxygen_mg_l=still + 7,
        total_ammonia_mg_l_n=still,
        nitrite_mg_l_n=still,
        ph=still + 7.4,
        light=still,
        exchange_per_h=still,
        uv_per_h=still,
        fine_filter_per_h=still,
    )
    where = {"fish": np.zeros(HOURS, dtype=np.int16)}
    return TankHours(HOURS, ("tank",), (Stratum("point", 1.0, (body,)),), (), where)
