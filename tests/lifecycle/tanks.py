"""Small tanks, fish and organisms for the life-cycle tests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np

from tankside import library, lifecycle
from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import BodyHours, Stratum, TankHours, TimedEvent

ICH = "ichthyophthirius_multifiliis"


@lru_cache(maxsize=1)
def white_spot() -> Organism:
    organism: Organism = library.load().organisms[ICH]
    return organism


def without(organism: Organism, *starts: str) -> Organism:
    """Return the organism without the claims whose keys start so."""
    kept = {k: c for k, c in organism.claims.items() if not k.startswith(starts)}
    return replace(organism, claims=kept)


def stating(organism: Organism, **figures: float) -> Organism:
    """Return the organism with these figures fixed (dots of the key as double underscores)."""
    claims = dict(organism.claims)
    for name, value in figures.items():
        key = name.replace("__", ".")
        claims[key] = replace(claims[key], value=value, low=None, high=None, conditions={})
    rivals = {k: v for k, v in organism.rivals.items() if k not in figures}
    return replace(organism, claims=claims, rivals=rivals)


def adding(organism: Organism, **figures: float) -> Organism:
    """Return the organism with these figures added (dots of the key as double underscores)."""
    pattern = next(c for k, c in sorted(organism.claims.items()) if k.startswith("host."))
    claims = dict(organism.claims)
    for name, value in figures.items():
        key = name.replace("__", ".")
        claims[key] = replace(pattern, key=key, value=value, low=None, high=None, conditions={})
    return replace(organism, claims=claims)


def deathless(organism: Organism) -> Organism:
    """Return the organism with deaths of fish, immunity and the ceiling switched off."""
    return without(organism, "host.lethal", "host.death", "immunity.", "host.cap")


def body(
    name: str = "main",
    hours: int = 240,
    *,
    litres: float = 100.0,
    warm: float | np.ndarray = 25.0,
    salt: float | np.ndarray = 0.0,
    residue: dict[str, np.ndarray] | None = None,
    exchange: float = 0.0,
    light: np.ndarray | float = 0.0,
    oxygen: float | np.ndarray = 7.0,
) -> BodyHours:
    still = np.zeros(hours)
    return BodyHours(
        body=name,
        volume_l=litres,
        temperature_c=still + warm,
        salinity_g_l=still + salt,
        residue_low_mg_l=residue or {},
        residue_high_mg_l=residue or {},
        oxygen_mg_l=still + oxygen,
        total_ammonia_mg_l_n=still,
        nitrite_mg_l_n=still,
        ph=still + 7.4,
        light=still + light,
        exchange_per_h=still + exchange,
        uv_per_h=still,
        fine_filter_per_h=still,
    )


def tank_hours(
    *bodies: BodyHours,
    events: tuple[TimedEvent, ...] = (),
    where: Mapping[str, np.ndarray] | None = None,
) -> TankHours:
    hours = bodies[0].temperature_c.size
    return TankHours(
        hours,
        tuple(b.body for b in bodies),
        (Stratum("point", 1.0, bodies),),
        events,
        where or {"fish": np.zeros(hours, dtype=np.int16)},
    )


def fish(count: int = 10, weight: float = 5.0, name: str = "fish") -> lifecycle.HostGroup:
    return lifecycle.HostGroup(name, count, (weight, weight, weight))


def start(each: float = 10.0, **more: Any) -> lifecycle.InitialState:
    return lifecycle.InitialState({"fish": (each, each, each)}, **more)


def play(
    organism: Organism,
    water: TankHours,
    begin: lifecycle.InitialState,
    *,
    histories: int = 128,
    hosts: tuple[lifecycle.HostGroup, ...] = (),
    fixed: bool = False,
    seed: int = 11,
    threads: int = 1,
    record_h: tuple[int, ...] = (),
) -> lifecycle.Histories:
    compiled = lifecycle.compile(organism, water, hosts or (fish(),))
    draws = lifecycle.draw(organism, histories, seed, fixed=fixed)
    return lifecycle.run(
        compiled, begin, draws, histories, seed, threads=threads, record_h=record_h
    )
