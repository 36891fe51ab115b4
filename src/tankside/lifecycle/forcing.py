"""Turn one stratum of hourly water into the arrays the kernel reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tankside.claims import unit_factor, whole_setting
from tankside.claims.organism import Organism, Spread, Stage
from tankside.course.tank_hours import BodyHours, Channel, Stratum, TankHours, TimedEvent
from tankside.lifecycle import clocks
from tankside.lifecycle.figures import Parts
from tankside.lifecycle.kernel.layout import FLAGS, Flag
from tankside.lifecycle.stays import quantile_table
from tankside.lifecycle.types import HOURS_PER_DAY, Floats, HostGroup

GUIDE = whole_setting(2, "guide cells per hour")
MINUTES = unit_factor(60, "minutes in an hour")
WATCHED = whole_setting(12, "fish of each group that are followed one by one")
BY_HAZARD, BY_THRESHOLD = 1, 2
Arrays = dict[str, NDArray[Any]]
RATED_FACTORS = ("birth_per_d", "loss_per_d", "lay_per_d")


@dataclass(frozen=True, slots=True)
class Setting:
    """What every stratum of one forecast shares."""

    organism: Organism
    parts: Parts
    tank_hours: TankHours
    hosts: tuple[HostGroup, ...]
    agents: tuple[str, ...]
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
    event_at, event_share = _events(setup, where)
    hours = kill_hours(setup)
    active = _active(setup, (water["residue_high"], water["flow"], event_at, hours))
    own: Arrays = {
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
    on_fish_c = _follow(water["temperature"], where)
    return own | water | _clocks(setup, water["temperature"], on_fish_c) | _fish(setup, where)


def _water(setup: Setting, bodies: Sequence[BodyHours]) -> Arrays:
    low, high = _residues(setup, bodies)
    flows = [
        _stack(setup, [b.exchange_per_h for b in bodies]),
        _stack(setup, [b.uv_per_h for b in bodies]),
        _stack(setup, [b.fine_filter_per_h for b in bodies]),
    ]
    return {
        "temperature": _stack(setup, [b.temperature_c for b in bodies]),
        "salinity": _stack(setup, [b.salinity_g_l for b in bodies]),
        "volume": np.asarray([b.volume_l for b in bodies], dtype=np.float64),
        "residue_low": low,
        "residue_high": high,
        "flow": np.stack(flows),
    }


def _clocks(setup: Setting, temperature: Floats, on_fish_c: Floats) -> Arrays:
    cells = GUIDE * temperature.shape[1]
    host_clock = _host_clock(setup, on_fish_c)
    bottom_clock = _bottom_clocks(setup, temperature)
    host_inverse, host_per = clocks.guide(host_clock, cells)
    low_inverse, low_per = clocks.guide(bottom_clock, cells)
    return {
        "host_clock": host_clock,
        "host_inverse": host_inverse,
        "host_per": host_per,
        "low_clock": bottom_clock,
        "low_inverse": low_inverse,
        "low_per": low_per,
        "rate_factor": _rate_factors(setup, on_fish_c),
        "immune_clock": _immune_clock(setup.organism, on_fish_c),
        "warmth": _warmth(setup.organism, on_fish_c),
        "death_clock": clocks.cumulative(np.full_like(on_fish_c, 1 / HOURS_PER_DAY)),
    }


def _fish(setup: Setting, where: NDArray[np.int64]) -> Arrays:
    counts = [group.count for group in setup.hosts]
    first = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    watched = [first[g] + np.arange(min(n, WATCHED)) for g, n in enumerate(counts)]
    return {
        "where": where,
        "first": first,
        "group_of": np.repeat(np.arange(len(counts)), counts).astype(np.int64),
        "watch": np.concatenate(watched).astype(np.int64),
    }


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


def _bottom_clocks(setup: Setting, temperature: Floats) -> Floats:
    shape = (0, temperature.shape[0], temperature.shape[1] + 1)
    rows = [clocks.stay_clock(setup.organism, s, temperature) for s in setup.parts.bottom]
    return np.stack(rows) if rows else np.zeros(shape)


def _host_clock(setup: Setting, on_fish_c: Floats) -> Floats:
    if setup.parts.timed_host is None:
        return clocks.cumulative(np.zeros_like(on_fish_c))
    return clocks.stay_clock(setup.organism, setup.parts.timed_host, on_fish_c)


def _tables(setup: Setting) -> Floats:
    stages = [setup.parts.timed_host, *setup.parts.bottom]
    return np.stack([_table(setup.organism, stage) for stage in stages])


def _table(organism: Organism, stage: Stage | None) -> Floats:
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


def number(organism: Organism, key: str, otherwise: float) -> float:
    """Return a claim's number, or the other value when it states none."""
    return organism.claims[key].number() if organism.known(key) else otherwise


def _residues(setup: Setting, bodies: Sequence[BodyHours]) -> tuple[Floats, Floats]:
    hours = setup.last_hour
    low = np.zeros((len(setup.agents), len(bodies), hours))
    high = np.zeros_like(low)
    for a, agent in enumerate(setup.agents):
        for b, body in enumerate(bodies):
            if agent in body.residue_low_mg_l:
                low[a, b] = body.residue_low_mg_l[agent][:hours]
                high[a, b] = body.residue_high_mg_l[agent][:hours]
    return low, high


def kill_hours(setup: Setting) -> Floats:
    """Return the exposure time behind each agent's kill of each slot, 0 without a figure."""
    slots = setup.parts.slots
    hours = np.zeros((len(setup.agents), len(slots)))
    for a, agent in enumerate(setup.agents):
        for s, keys in enumerate(slots):
            for key in keys:
                stage = kill_source(setup.organism, agent, key)
                if stage:
                    hours[a, s] = setup.organism.claims[f"kill.{agent}.{stage}.hours"].number()
    return hours


def kill_source(organism: Organism, agent: str, stage: str) -> str:
    """Return the stage whose half-kill figure applies: its own, or the seeker's by a ratio."""
    if organism.known(f"kill.{agent}.{stage}.lc50_mg_l"):
        return stage
    if organism.known(f"kill.{agent}.{stage}.ratio"):
        for other in organism.stages:
            if organism.known(f"kill.{agent}.{other.key}.lc50_mg_l"):
                return other.key
    return ""


def _events(setup: Setting, where: NDArray[np.int64]) -> tuple[NDArray[np.int64], Floats]:
    rows: list[tuple[tuple[int, int, int, int], tuple[float, float, float, float]]] = []
    for event in setup.tank_hours.events:
        if event.hour < setup.last_hour:
            rows.extend(_event_rows(setup, event, where))
    at = np.asarray([row[0] for row in rows], dtype=np.int64).reshape(-1, FOUR)
    share = np.asarray([row[1] for row in rows], dtype=np.float64).reshape(-1, FOUR)
    return at, share


FOUR = whole_setting(4, "columns of an event")
Row = tuple[tuple[int, int, int, int], tuple[float, float, float, float]]


def _event_rows(setup: Setting, event: TimedEvent, where: NDArray[np.int64]) -> list[Row]:
    shares = (event.share_low, event.share, event.share_high, 0.0)
    water = 1 + len(setup.parts.bottom)
    if event.channel is Channel.BATH:
        if event.agent not in setup.agents:
            return []
        agent = setup.agents.index(event.agent)
        bath = (0.0, event.amount, 0.0, event.minutes / MINUTES)
        groups = [
            g
            for g, group in enumerate(setup.hosts)
            if event.group in (group.id, "") and where[g, event.hour] >= 0
        ]
        return [((event.hour, 0, g, agent), bath) for g in groups]
    if event.body not in setup.bodies:
        return []
    body = setup.bodies.index(event.body)
    if event.channel is Channel.WATER_REMOVED:
        return [((event.hour, water, body, -1), shares)]
    if event.channel is Channel.BOTTOM_REMOVED:
        return [((event.hour, slot, body, -1), shares) for slot in range(1, water)]
    return []


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
    flags = np.zeros(FLAGS, dtype=np.int64)
    flags[Flag.STAGES] = len(parts.bottom)
    flags[Flag.TIMED_HOST] = parts.timed_host is not None
    flags[Flag.RATED_HOST] = parts.rated_host is not None
    flags[Flag.SWIMMERS] = parts.seeking is not None
    flags[Flag.DEATH_LAW] = death_law(setup.organism)
    flags[Flag.HOST_REMOVAL] = host_removal
    flags[Flag.LOOK_AT_SPOTS] = spots_show(setup.organism, parts)
    if parts.timed_host and parts.rated_host:
        flags[Flag.RIPEN] = parts.timed_host.becomes == parts.rated_host.key
    flags[Flag.PART_LEAVES_DEAD] = _part_leaves_dead(setup.organism)
    return flags


def death_law(organism: Organism) -> int:
    """Return which law of death the claims support: 0 none, 1 hazard, 2 burden and delay."""
    if not organism.known("host.lethal_burden"):
        return 0
    if organism.known("host.death_delay_d"):
        return BY_THRESHOLD
    return BY_HAZARD if organism.known("host.death_per_h") else 0


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
