"""Oxygen of one body hour by hour, anchored at what was read; without a reading it is unknown.

Model: ``dC/dt = K (Cs - C) - D``. Cs is saturation at the hour's temperature and salinity, K the
exchange through the surface (times a factor while an air stone runs), D what fish, bacteria and
plants use less what plants make by day. D is set so that the readings come out, then follows
temperature, more fish, and agents that take up oxygen.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.course.bodies.effects import AgentAdded, Exchanged, ReadingEntered, Switch
from tankside.course.bodies.facts import Range, find_number, find_range
from tankside.course.bodies.hours import clock
from tankside.course.bodies.system import Aeration
from tankside.course.bodies.tank_hours import Hourly
from tankside.course.water.body_run import BodyRun
from tankside.course.water.recursion import recur
from tankside.quantity.per import HOURS_PER_DAY, LITRES_PER_M3
from tankside.water.air_pressure import pressure_standard_atmosphere
from tankside.water.oxygen_solubility import oxygen_saturation_benson_krause84

Floats = NDArray[np.float64]

TRANSFER_KEY = "practice.course.surface_transfer"
STONE_KEY = "practice.course.air_stone_multiplies_transfer"
Q10_KEY = "practice.course.oxygen_use_q10"
DEMAND_HOURS_KEY = "practice.course.oxygen_demand_hours"


@dataclass(frozen=True, slots=True)
class Oxygen:
    """Oxygen and its saturation [mg/L], shape (strata, hours); NaN with a reason when unknown."""

    oxygen_mg_l: Floats
    saturation_mg_l: Floats
    ask: str = ""
    exchange_per_h: Floats | None = None


def oxygen(run: BodyRun, crowding: Hourly) -> Oxygen:
    """Return the oxygen of a body.

    Args:
        run: the body with temperature and salinity already solved.
        crowding: weight of fish in it relative to when oxygen was read, at least 1, by hour.
    """
    saturation = _saturation(run)
    unknown = np.full_like(saturation, np.nan)
    exchange = gas_exchange(run)
    ask = _missing(run)
    if ask:
        return Oxygen(unknown, saturation, ask, exchange)
    if exchange is None:
        return Oxygen(unknown, saturation, "how oxygen passes the surface (no figure known)")
    use, start = _use(run, saturation, exchange)
    use = use * crowding * _warmth(run) + _taken_up(run)
    kept = np.exp(-exchange)
    keep, gain = np.empty_like(saturation), np.empty_like(saturation)
    keep[:, 0], gain[:, 0] = 0.0, start
    keep[:, 1:] = kept[:, :-1]
    steady = saturation - use / exchange
    gain[:, 1:] = steady[:, :-1] * (1 - kept[:, :-1])
    for hour, effect in run.steps.water:
        if isinstance(effect, ReadingEntered) and "oxygen_mg_l" in effect.values:
            keep[:, hour], gain[:, hour] = 0.0, effect.values["oxygen_mg_l"]
    return Oxygen(np.maximum(recur(keep, gain), 0.0), saturation, "", exchange)


def _missing(run: BodyRun) -> str:
    """Return what has to be measured before oxygen can be followed ("" when nothing)."""
    system = run.system
    if system.temperature_c is None:
        return "temperature"
    if system.oxygen_mg_l is None and system.oxygen_dawn_mg_l is None:
        return "oxygen, by day and at dawn"
    if system.surface_area_m2 is None:
        return "the water surface (inside length and width)"
    if not np.isfinite(run.salinity_g_l).all():
        return "salinity"
    return ""


def _saturation(run: BodyRun) -> Floats:
    if run.system.temperature_c is None or not np.isfinite(run.salinity_g_l).all():
        return np.full_like(run.salinity_g_l, np.nan)
    pressure = (
        1.0
        if run.system.altitude_m is None
        else pressure_standard_atmosphere(run.system.altitude_m).number
    )
    saturation = oxygen_saturation_benson_krause84(run.temperature_c, run.salinity_g_l, pressure)
    return saturation.values


def gas_exchange(run: BodyRun) -> Floats | None:
    """Return K [1/h], shape (strata, hours); the harsher stratum loses most and wins least."""
    transfer = find_range(run.facts, TRANSFER_KEY)
    stone = find_range(run.facts, STONE_KEY)
    area_m2 = run.system.surface_area_m2
    if transfer is None or stone is None or area_m2 is None:
        return None
    airing = run.steps.switches.get(Switch.AIR_STONE, [])
    running = _air_at_start(run, airing)
    stone_on = run.switched(Switch.AIR_STONE, float(running))
    lost_or_won = (stone[2], stone[1], stone[0]) if running else stone
    rows = [
        spec.pick(*_per_hour(transfer, area_m2, float(volume)))
        * np.where(stone_on > 0, spec.pick(*lost_or_won), 1.0)
        for spec, volume in zip(run.strata, run.mixing.volume_l, strict=True)
    ]
    return np.array(rows)


def _per_hour(transfer_m_per_d: Range, area_m2: float, volume_l: float) -> Range:
    depth_m = volume_l / LITRES_PER_M3 / area_m2
    low, value, high = (speed / HOURS_PER_DAY / depth_m for speed in transfer_m_per_d)
    return low, value, high


def _air_at_start(run: BodyRun, airing: list[tuple[int, float]]) -> bool:
    """Whether an air stone ran when oxygen was read; if not told, the first switch says."""
    if run.system.aeration is not None:
        return run.system.aeration is Aeration.AIR_STONE
    return bool(airing) and not airing[0][1] > 0


def _use(run: BodyRun, saturation: Floats, exchange: Floats) -> tuple[Floats, Floats]:
    """Return D [mg/L/h] by hour and the oxygen at hour 0, so that the readings come out.

    With a reading by day (taken as the value at lights-out) and one at dawn, the night's use
    follows from the fall between them; with one reading it is the steady state, and is the same
    by day and night.
    """
    by_day, at_dawn = run.system.oxygen_mg_l, run.system.oxygen_dawn_mg_l
    there = saturation[:, :1]
    k = exchange[:, :1]
    if by_day is None or at_dawn is None:
        read = at_dawn if by_day is None else by_day
        assert read is not None
        return np.maximum(k * (there - read), 0.0), np.full(saturation.shape[0], read)
    hours = clock(HOURS_PER_DAY)
    lit = run.light[:HOURS_PER_DAY] > 0
    night_h = float((~lit).sum())
    fall = np.exp(-k * night_h)
    settled = (at_dawn - by_day * fall) / (1 - fall)
    use_day, use_night = k * (there - by_day), np.maximum(k * (there - settled), 0.0)
    out_at = float(hours[lit].max()) + 1 if bool(lit.any()) else 0.0
    since_out = math.fmod(HOURS_PER_DAY - out_at, HOURS_PER_DAY)
    start = settled + (by_day - settled) * np.exp(-k * since_out)
    return np.where(run.light > 0, use_day, use_night), start[:, 0]


def _warmth(run: BodyRun) -> Floats:
    """Return how much more is used than at the temperature of the reading."""
    q10 = find_number(run.facts, Q10_KEY)
    start_c = run.system.temperature_c
    if q10 is None or start_c is None:
        return np.ones_like(run.temperature_c)
    factor: Floats = q10 ** ((run.temperature_c - start_c) / 10.0)
    return factor


def _taken_up(run: BodyRun) -> Floats:
    """Return the oxygen that agents take up [mg/L/h], spread over the hours it takes.

    Water that is changed takes its share of the agent, and of the demand, with it.
    """
    taken = np.zeros_like(run.temperature_c)
    hours = find_number(run.facts, DEMAND_HOURS_KEY)
    volume = run.mixing.volume_l[:, None]
    demands = {a: find_number(run.facts, f"agent.{a}.oxygen_demand") or 0.0 for a in run.agents}
    if hours is None or not any(demands.values()):
        return taken
    for hour, effect in run.steps.water:
        if isinstance(effect, Exchanged):
            taken[:, hour:] *= 1 - np.minimum(1.0, effect.litres / volume)
        elif isinstance(effect, AgentAdded) and demands[effect.agent] > 0:
            taken[:, hour : hour + int(hours)] += demands[effect.agent] * effect.mg / volume / hours
    return taken
