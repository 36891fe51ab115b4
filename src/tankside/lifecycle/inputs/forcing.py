"""Turn one stratum of hourly water into the arrays the kernel reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting, whole_setting
from tankside.claims.organism import LifeStage, Organism, Spread
from tankside.course.bodies.tank_hours import BodyHours, Stratum, TankHours
from tankside.lifecycle.inputs import clocks
from tankside.lifecycle.inputs.development_rate import halt, in_rhythm
from tankside.lifecycle.inputs.early_detachment import detachment
from tankside.lifecycle.inputs.events import EventContext, event_rows
from tankside.lifecycle.inputs.exposure import in_water
from tankside.lifecycle.inputs.medicated_feed import fed_hours, feed_rate, hindering, lasts_h
from tankside.lifecycle.inputs.mortality_factors import MortalityFactor, kill_hours
from tankside.lifecycle.inputs.parameters import Parts, lies_loose, number
from tankside.lifecycle.inputs.residence_time import quantile_table
from tankside.lifecycle.inputs.types import Floats, HostGroup
from tankside.lifecycle.kernel.positions import DeathLaw, Flag
from tankside.quantity.per import HOURS_PER_DAY

GUIDE = whole_setting(2, "guide cells per hour")
LEAST_SALT = setting(1e-6, "g/L, so that a release that fails in fresh water fails without salt")
WATCHED = whole_setting(12, "fish of each group that are followed one by one")
Arrays = dict[str, NDArray[Any]]
RATED_FACTORS = ("birth_per_d", "loss_per_d", "lay_per_d")


@dataclass(frozen=True, slots=True)
class Setting:
    """What every stratum of one forecast shares."""

    organism: Organism
    parts: Parts
    tank_hours: TankHours
    hosts: tuple[HostGroup, ...]
    factors: tuple[MortalityFactor, ...]
    last_hour: int

    @property
    def bodies(self) -> tuple[str, ...]:
        """Bodies of water, in the order of the arrays."""
        return self.tank_hours.body_ids


def shared_arrays(setup: Setting, stratum: Stratum, record_h: Sequence[int]) -> Arrays:
    """Build the read-only arrays of one stratum, by name of the kernel's layout."""
    by_id = {body.body: body for body in stratum.bodies}
    bodies = [by_id[name] for name in setup.bodies]
    where = _where(setup)
    water = _water(setup, bodies)
    event_at, event_share = event_rows(_context(setup, by_id, where), setup.tank_hours)
    hours = kill_hours(setup.organism, setup.factors, len(setup.parts.slots))
    active = _active(setup, (water["residue_high"], water["flow"], event_at, hours))
    tables: Arrays = {
        "flags": _flags(setup, bool(active[0].any())),
        "table": _tables(setup),
        "swim_table": quantile_table(Spread.EXPONENTIAL, 1.0),
        "event_at": event_at,
        "event_share": event_share,
        "active": active,
        "kill_hours": hours,
        "swim_factor": _swim_factor(setup, water["temperature"]),
        "record_h": np.asarray(record_h, dtype=np.int64),
    }
    fed = fed_hours(hindering(setup.organism, setup.tank_hours), setup, where)
    return tables | water | _clocks(setup, bodies, where) | _fish(setup, where) | {"fed": fed}


def _context(
    setup: Setting, water: Mapping[str, BodyHours], where: NDArray[np.int64]
) -> EventContext:
    lasts = {factor.driver: lasts_h(setup.organism, factor.driver) for factor in setup.factors}
    siphoned = tuple(lies_loose(setup.organism, stage) for stage in setup.parts.bottom)
    return EventContext(
        setup.factors, setup.parts, setup.hosts, setup.bodies, water, where, setup.last_hour,
        lasts, siphoned,
    )  # fmt: skip


def _water(setup: Setting, bodies: Sequence[BodyHours]) -> Arrays:
    low, high = _strengths(setup, bodies)
    flows = [
        _stack(setup, [b.exchange_per_h for b in bodies]),
        _stack(setup, [b.uv_per_h for b in bodies]),
        _stack(setup, [b.fine_filter_per_h for b in bodies]),
    ]
    return {
        "temperature": _stack(setup, [b.temperature_c for b in bodies]),
        "salinity": np.maximum(_stack(setup, [b.salinity_g_l for b in bodies]), LEAST_SALT),
        "volume": np.asarray([b.volume_l for b in bodies], dtype=np.float64),
        "residue_low": low,
        "residue_high": high,
        "flow": np.stack(flows),
    }


def _strengths(setup: Setting, bodies: Sequence[BodyHours]) -> tuple[Floats, Floats]:
    hours = setup.last_hour
    low = np.zeros((len(setup.factors), len(bodies), hours))
    high = np.zeros_like(low)
    for a, factor in enumerate(setup.factors):
        for b, body in enumerate(bodies):
            edges = in_water(factor, body)
            low[a, b], high[a, b] = (edge[:hours] for edge in edges)
    return low, high


def _clocks(setup: Setting, bodies: Sequence[BodyHours], where: NDArray[np.int64]) -> Arrays:
    here = {
        "temperature": _stack(setup, [b.temperature_c for b in bodies]),
        "salinity": _stack(setup, [b.salinity_g_l for b in bodies]),
        "oxygen": _stack(setup, [b.oxygen_mg_l for b in bodies]),
        "light": _stack(setup, [b.light for b in bodies]),
    }
    on_fish = {name: _follow(rows, where) for name, rows in here.items()}
    on_fish_c = on_fish["temperature"]
    stage = setup.parts.timed_host
    pushed = detachment(setup.organism, stage, bodies, where)
    on_fish |= {"fed": feed_rate(setup, where), "driven": pushed}
    cells = GUIDE * on_fish_c.shape[1]
    every_clock = _stay_clock(setup, stage, on_fish)
    host_clock, clock_of = _each_once(every_clock)
    bottom_clock = _bottom_clocks(setup, here)
    host_inverse, host_per = clocks.guide(host_clock, cells)
    low_inverse, low_per = clocks.guide(bottom_clock, cells)
    return {
        "clock_of": clock_of,
        "host_clock": host_clock,
        "host_inverse": host_inverse,
        "host_per": host_per,
        "low_clock": bottom_clock,
        "low_inverse": low_inverse,
        "low_per": low_per,
        "rate_factor": _rate_factors(setup, on_fish_c),
        "immune_clock": _immune_clock(setup.organism, on_fish_c),
        "warmth": _warmth(setup.organism, on_fish_c),
    }


def _each_once(rows: Floats) -> tuple[Floats, NDArray[np.int64]]:
    """Return the different rows in order of the first of each, and for every row which it is.

    A few long rows: sorting them as numbers takes longer than playing a short history.
    """
    first: dict[bytes, int] = {}
    which = [first.setdefault(row.tobytes(), len(first)) for row in rows]
    places = [which.index(place) for place in range(len(first))]
    return np.ascontiguousarray(rows[places]), np.asarray(which, dtype=np.int64)


def _fish(setup: Setting, where: NDArray[np.int64]) -> Arrays:
    counts = [group.count for group in setup.hosts]
    first = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    watched = [first[g] + np.arange(min(n, WATCHED)) for g, n in enumerate(counts)]
    return {
        "where": where,
        "moved": _moved(where),
        "first": first,
        "group_of": np.repeat(np.arange(len(counts)), counts).astype(np.int64),
        "watch": np.concatenate(watched).astype(np.int64),
    }


def _moved(where: NDArray[np.int64]) -> NDArray[np.uint8]:
    elsewhere = np.diff(where, prepend=where[:, :1]) != 0
    return np.asarray(elsewhere.any(axis=0), dtype=np.uint8)


def _stack(setup: Setting, rows: Sequence[NDArray[np.generic]]) -> Floats:
    return np.ascontiguousarray(
        np.stack([row[: setup.last_hour] for row in rows]), dtype=np.float64
    )


def _where(setup: Setting) -> NDArray[np.int64]:
    rows = [setup.tank_hours.where[group.id][: setup.last_hour] for group in setup.hosts]
    return np.ascontiguousarray(np.stack(rows), dtype=np.int64)


def _follow(temperature: Floats, where: NDArray[np.int64]) -> Floats:
    """Return the temperature each group lives in; the first body's while it is nowhere."""
    hours = np.arange(temperature.shape[1])
    return np.stack([temperature[np.maximum(row, 0), hours] for row in where])


def _bottom_clocks(setup: Setting, here: dict[str, Floats]) -> Floats:
    shape = (0, here["temperature"].shape[0], here["temperature"].shape[1] + 1)
    rows = [_stay_clock(setup, stage, here) for stage in setup.parts.bottom]
    return np.stack(rows) if rows else np.zeros(shape)


def _stay_clock(setup: Setting, stage: LifeStage | None, here: dict[str, Floats]) -> Floats:
    """Return the clock of a timed stage: warmth, halts, hours of the day, what drives it off."""
    if stage is None:
        return clocks.cumulative(np.zeros_like(here["temperature"]))
    rate = clocks.stay_rate(setup.organism, stage, here["temperature"])
    rate = rate * halt(setup.organism, stage, here) * here.get("fed", 1.0)
    rate = in_rhythm(setup.organism, stage, rate, here["light"])
    return clocks.cumulative(rate + here.get("driven", 0.0))


def _tables(setup: Setting) -> Floats:
    stages = [setup.parts.timed_host, *setup.parts.bottom]
    return np.stack([_table(setup.organism, stage) for stage in stages])


def _table(organism: Organism, stage: LifeStage | None) -> Floats:
    if stage is None:
        return quantile_table(Spread.GAMMA, 0.0)
    width = "cv" if stage.spread is Spread.GAMMA else "sigma"
    tail = (
        number(organism, f"{stage.key}.tail_share", 0.0),
        number(organism, f"{stage.key}.tail_factor", 1.0),
        number(organism, f"{stage.key}.tail_sigma", 1.0),
    )
    return quantile_table(
        stage.spread, number(organism, f"{stage.key}.residence_{width}", 0.0), tail
    )


def _active(
    setup: Setting, acting: tuple[Floats, Floats, NDArray[np.int64], Floats]
) -> NDArray[np.uint8]:
    """Mark the slots that anything removes, by body (by group for the fish)."""
    residue, flow, event_at, hours = acting
    slots = len(setup.parts.slots)
    bodies = len(setup.bodies)
    active = np.zeros((slots, max(bodies, len(setup.hosts))), dtype=np.uint8)
    present = (residue > 0).any(axis=2)
    for slot in range(slots):
        here = (present & (hours[:, slot] > 0)[:, np.newaxis]).any(axis=0)
        if slot == 0:
            active[0, : len(setup.hosts)] |= np.uint8(here.any())
        else:
            active[slot, :bodies] |= here.astype(np.uint8)
    active[slots - 1, :bodies] |= (flow > 0).any(axis=(0, 2)).astype(np.uint8)
    for _, slot, index, _agent in event_at:
        active[slot, index] = 1
    return active


def _flags(setup: Setting, host_removal: bool) -> NDArray[np.int64]:
    parts = setup.parts
    flags = np.zeros(len(Flag), dtype=np.int64)
    flags[Flag.STAGES] = len(parts.bottom)
    flags[Flag.TIMED_HOST] = parts.timed_host is not None
    flags[Flag.RATED_HOST] = parts.rated_host is not None
    flags[Flag.SWIMMERS] = parts.seeking is not None
    flags[Flag.FED] = hindering(setup.organism, setup.tank_hours) != ""
    flags[Flag.LAST_PULSE] = -1
    flags[Flag.DEATH_LAW] = death_law(setup.organism)
    flags[Flag.HOST_REMOVAL] = host_removal
    flags[Flag.LOOK_AT_SPOTS] = spots_show(setup.organism, parts)
    if parts.timed_host and parts.rated_host:
        flags[Flag.RIPEN] = parts.timed_host.becomes == parts.rated_host.key
    flags[Flag.PART_LEAVES_DEAD] = _part_leaves_dead(setup.organism)
    return flags


def death_law(organism: Organism) -> DeathLaw:
    """Return which law of death the claims support: damage by a load, a hazard, or none."""
    if organism.known("host.lethal_load"):
        return DeathLaw.DAMAGE
    by_hazard = organism.known("host.lethal_burden") and organism.known("host.death_per_h")
    return DeathLaw.HAZARD if by_hazard else DeathLaw.NONE


def shares_known(organism: Organism, hosts: Sequence[HostGroup]) -> bool:
    """Whether print says what share of these fish dies: a law of death, a dose for each kind."""
    return death_law(organism) > 0 and all(group.dose_known for group in hosts)


def _part_leaves_dead(organism: Organism) -> bool:
    """Whether only the older parasites leave a dead fish."""
    early = "host.dead_leave_early"
    if not death_law(organism) or not organism.known("host.dead_leave_share"):
        return False
    return not organism.known(early) or organism.claims[early].bounds()[0] < 1


def spots_show(organism: Organism, parts: Parts) -> bool:
    """Whether the stage on the fish can be seen by eye."""
    stage = parts.timed_host
    return stage is not None and organism.known(f"{stage.key}.visible_from")


def _swim_factor(setup: Setting, temperature: Floats) -> Floats:
    stage = setup.parts.seeking
    if stage is None or not setup.organism.known(f"{stage.key}.life_q10"):
        return np.ones_like(temperature)
    claims = setup.organism.claims
    q10 = claims[f"{stage.key}.life_q10"].number()
    return clocks.q10_factor(q10, claims[f"{stage.key}.life_ref_c"].number(), temperature)


def _rate_factors(setup: Setting, on_fish_c: Floats) -> Floats:
    """Return how birth, loss and laying follow temperature: linear from a start, or Q10."""
    factors = np.ones((len(RATED_FACTORS), *on_fish_c.shape))
    stage = setup.parts.rated_host
    if stage is None:
        return factors
    organism = setup.organism
    for k, quantity in enumerate(RATED_FACTORS):
        key = f"{stage.key}.{quantity}"
        if organism.known(f"{key}.t0"):
            start = organism.claims[f"{key}.t0"].number()
            reference = organism.claims[f"{key}.ref_c"].number()
            factors[k] = clocks.linear_factor(start, reference, on_fish_c)
        elif organism.known(f"{key}.q10"):
            reference = organism.claims[f"{key}.ref_c"].number()
            q10 = organism.claims[f"{key}.q10"].number()
            factors[k] = clocks.q10_factor(q10, reference, on_fish_c)
    return factors


def _immune_clock(organism: Organism, on_fish_c: Floats) -> Floats:
    """Return days of onset in the warm: slower in the cold, stopped below the frozen point."""
    if not organism.known("immunity.onset_d"):
        return clocks.cumulative(np.zeros_like(on_fish_c))
    frozen = number(organism, "immunity.frozen_c", 0.0)
    cold = number(organism, "immunity.cold_c", frozen)
    warm = number(organism, "immunity.warm_c", cold)
    slow = 1 / number(organism, "immunity.onset_cold_ratio", 1.0)
    speed = np.interp(on_fish_c, [frozen, cold, warm], [0.0, slow, 1.0])
    return clocks.cumulative(speed / HOURS_PER_DAY)


def _warmth(organism: Organism, on_fish_c: Floats) -> Floats:
    cold = number(organism, "immunity.cold_c", 0.0)
    warm = number(organism, "immunity.warm_c", cold + 1)
    return np.clip((on_fish_c - cold) / max(warm - cold, 1.0), 0.0, 1.0)
