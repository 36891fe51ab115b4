"""Build the water of one set-up: what is open is drawn per stratum, treatments become hours."""

from __future__ import annotations

from typing import Any

import numpy as np
from tests.experiments.setups_read import Check

from tankside.course.bodies.tank_hours import BodyHours, Channel, Stratum, TankHours, TimedEvent

STRATA = 32
FISH, DONOR = "fish", "donor"
Rng = np.random.Generator
Hourly = np.ndarray[Any, np.dtype[np.float64]]


def between(rng: Rng, ends: list[float], *, log: bool = False) -> float:
    """Draw within a range, uniform or log-uniform."""
    if log and ends[0] > 0:
        return float(np.exp(rng.uniform(*np.log(ends))))
    return float(rng.uniform(ends[0], ends[1]))


def tank_hours(check: Check, rng: Rng, *, treated: bool = True) -> TankHours:
    """Return the hours of a set-up, with or without its treatment."""
    hours = int(check["days"] * 24)
    treatments = check.get("treatment", []) if treated else []
    moves = [int(24 * d) for t in treatments if t["kind"] == "transfer" for d in t["days"]]
    names = [f"tank{k}" for k in range(len(moves) + 1)]
    strata = tuple(_stratum(check, rng, names, treatments, k) for k in range(STRATA))
    where = np.searchsorted(np.asarray(moves), np.arange(hours), side="right").astype(np.int16)
    events = tuple(e for t in treatments for e in _events(t, hours))
    return TankHours(hours, tuple(names), strata, events, {FISH: where, DONOR: where})


def _stratum(
    check: Check, rng: Rng, names: list[str], treatments: list[dict[str, Any]], number: int
) -> Stratum:
    hours = int(check["days"] * 24)
    still = np.zeros(hours)
    litres = (
        between(rng, check["litres"], log=True)
        if "litres" in check
        else check["fish"] * between(rng, check["litres_per_fish"], log=True)
    )
    warm = between(rng, check["temperature_c"])
    salt = between(rng, check.get("salinity_g_l", [0.0, 0.0]))
    flow = between(rng, check.get("exchange_per_h", [0.0, 0.0]), log=True)
    residues = {
        t["agent"]: residue(t, hours, rng) for t in treatments if t["kind"] in ("dose", "hold")
    }
    bodies = tuple(
        BodyHours(
            body=name,
            volume_l=litres,
            temperature_c=still + warm,
            salinity_g_l=still + salt,
            residue_low_mg_l=residues,
            residue_high_mg_l=residues,
            oxygen_mg_l=still + 7,
            total_ammonia_mg_l_n=still,
            nitrite_mg_l_n=still,
            ph=still + 7.4,
            light=still,
            exchange_per_h=still + flow,
            uv_per_h=still,
            fine_filter_per_h=still,
        )
        for name in names
    )
    return Stratum(f"s{number}", 1 / STRATA, bodies)


def residue(treatment: dict[str, Any], hours: int, rng: Rng) -> Hourly:
    """Return the strength in the water, hour by hour (mean of each hour)."""
    strength = between(rng, treatment["mg_l"], log=True)
    if treatment["kind"] == "hold":
        return np.full(hours, strength)
    demand = between(rng, treatment.get("demand", [0.0, 0.0]))
    change = between(rng, treatment.get("change", [0.0, 0.0]))
    half = between(rng, treatment.get("half_life_h", [1e9, 1e9]), log=True)
    last = between(rng, treatment.get("last_h", [1e9, 1e9]), log=True)
    decay = np.log(2) / half
    mean = (1 - np.exp(-decay)) / decay
    doses = {int(24 * d) for d in treatment["days"]}
    adds = bool(treatment.get("add")) or "change" in treatment
    water, now, left = np.zeros(hours), 0.0, 0.0
    for hour in range(hours):
        if hour in doses:
            now = (now * (1 - change) if adds else 0.0) + strength * (1 - demand)
            left = last
        water[hour] = now * mean * min(left, 1.0)
        now *= np.exp(-decay)
        left = max(left - 1, 0.0)
        if left == 0:
            now = 0.0
    return water


def _events(treatment: dict[str, Any], hours: int) -> list[TimedEvent]:
    at = [int(24 * d) for d in treatment.get("days", []) if 24 * d < hours]
    if treatment["kind"] == "bottom":
        ends, channel = treatment["share"], Channel.BOTTOM_REMOVED
    elif "change" in treatment:
        ends, channel = treatment["change"], Channel.WATER_REMOVED
    else:
        return []
    middle = (ends[0] + ends[1]) / 2
    return [TimedEvent(hour, "tank0", channel, ends[0], middle, ends[1]) for hour in at]
