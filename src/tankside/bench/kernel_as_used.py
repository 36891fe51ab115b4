"""A forecast as it is used: white spot for 60 days with claims drawn per history."""

from __future__ import annotations

import time
from dataclasses import dataclass
from functools import partial

import numpy as np

from tankside import library, lifecycle
from tankside.bench.kernel_speed import ROUNDS, rounds
from tankside.course.bodies.tank_hours import BodyHours, Stratum, TankHours
from tankside.lifecycle.kernel.positions import Work
from tankside.quantity.per import HOURS_PER_DAY

HOURS = 60 * HOURS_PER_DAY
WHITE_SPOT = "ichthyophthirius_multifiliis"


CELSIUS = (11.0, 25.0)


@dataclass(frozen=True, slots=True)
class Drawn:
    """Drawn claims over fixed ones.

    Args:
        time: processor time of the same number of histories.
        per_event: the same for each settling or arrival on the bottom.
    """

    time: float
    per_event: float


def drawn_over_fixed(histories: int, temperature_c: float) -> Drawn:
    """Return what it costs that each history has claim values of its own.

    Args:
        histories: each with its own claims.
        temperature_c: of the water.
    """
    organism = library.load().organisms[WHITE_SPOT]
    compiled = lifecycle.compile(
        organism, _tank(temperature_c), (lifecycle.HostGroup("fish", 12, (3.0, 4.0, 5.0)),)
    )
    begin = lifecycle.InitialState({"fish": (2.0, 5.0, 10.0)})

    def play(claims: lifecycle.Draws) -> lifecycle.Histories:
        return lifecycle.run(compiled, begin, claims, histories, 1, threads=1)

    draws = {
        name: lifecycle.draw(organism, histories, 1, fixed=name == "fixed")
        for name in ("fixed", "drawn")
    }
    events = {
        name: play(claims).work[:, [Work.LANDINGS, Work.BOTTOM_ENTRIES]].sum()
        for name, claims in draws.items()
    }
    jobs = {name: partial(play, claims) for name, claims in draws.items()}
    middle = rounds(jobs, ROUNDS, time.process_time)
    ratio = middle["drawn"] / middle["fixed"]
    return Drawn(ratio, ratio * float(events["fixed"] / events["drawn"]))


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
