"""Spread the initial state and the traits of the fish over the histories."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.claims.organism import Organism
from tankside.lifecycle.inputs.parameters import Parts, Values
from tankside.lifecycle.inputs.sobol import sobol
from tankside.lifecycle.inputs.stage_durations import residence_days
from tankside.lifecycle.inputs.types import Draws, Floats, HostGroup, InitialState, Range

TWO_THIRDS = setting(2 / 3, "skin area goes with weight to the power 2/3")
START_SEED = setting(1, "keeps the stream of the initial state apart from that of the claims")
EVEN = -1.0
BLOCK = whole_setting(128, "dimensions are taken in blocks, so that a stream keeps its place")


@dataclass(frozen=True, slots=True)
class InitialValues:
    """What differs between histories besides the claims; ``draws`` holds it by name."""

    area: Floats
    susceptibility: Floats
    lethal: Floats
    start: Floats
    start_bottom: Floats
    start_swimmers: Floats
    immune: Floats
    arrivals: dict[str, Floats]
    draws: Draws


def initial_values(
    values: Values,
    parts: Parts,
    hosts: tuple[HostGroup, ...],
    bodies: tuple[str, ...],
    start: InitialState,
    seed: int,
) -> InitialValues:
    """Return the per-history arrays of the fish and the initial state."""
    drawn = _drawn(values, hosts, bodies, start, seed)
    weight = np.column_stack([drawn[f"weight_g.{g.id}"] for g in hosts])
    bearing = np.column_stack([drawn[f"bearing.{g.id}"] for g in hosts])
    reference = _reference(values, parts, "search_reference_g")
    lethal = _lethal(values)[:, np.newaxis]
    lethal_g = values.of("host.lethal_reference_g", 1.0)[:, np.newaxis]
    age = np.full(values.histories, EVEN if start.age is None else start.age)
    on_fish = [
        np.column_stack([drawn[f"per_fish.{g.id}"], drawn[f"carriers.{g.id}"], age]) for g in hosts
    ]
    steady = _steady(values, parts, start)
    below = [np.column_stack([drawn[f"bottom.{b}"], steady]) for b in bodies]
    named = Draws(
        (*values.draws.keys, *drawn),
        np.column_stack([values.draws.values[: values.histories], *drawn.values()]),
        values.draws.weights[: values.histories],
        values.draws.seed,
    )
    return InitialValues(
        area=(weight / reference) ** TWO_THIRDS,
        susceptibility=np.column_stack([drawn[f"susceptibility.{g.id}"] for g in hosts]),
        lethal=lethal * (weight / lethal_g) ** TWO_THIRDS * bearing,
        start=np.stack(on_fish, axis=1),
        start_bottom=np.stack(below, axis=1),
        start_swimmers=np.column_stack([drawn[f"swimmers.{b}"] for b in bodies]),
        immune=np.column_stack([drawn[f"immune.{g.id}"] for g in hosts]),
        arrivals={name: uniform for name, uniform in drawn.items() if name.startswith("arrival.")},
        draws=named,
    )


def _drawn(
    values: Values,
    hosts: tuple[HostGroup, ...],
    bodies: tuple[str, ...],
    start: InitialState,
    seed: int,
) -> dict[str, Floats]:
    """Spread each range over the histories; one more body does not move the others' streams."""
    limits_of = ranges(hosts, bodies, start)
    dimensions = BLOCK * (len(limits_of) // BLOCK + 1)
    uniform = sobol(dimensions, values.histories, seed + int(START_SEED))
    return {
        name: within(limits, uniform[:, j], logarithmic=is_logarithmic(name))
        for j, (name, limits) in enumerate(limits_of.items())
    }


def is_logarithmic(name: str) -> bool:
    """Return whether a range of the initial state is spread by ratio."""
    return name.startswith(("per_fish", "weight", "bearing"))


def ranges(
    hosts: tuple[HostGroup, ...], bodies: tuple[str, ...], start: InitialState
) -> dict[str, Range]:
    """Return what differs between histories at hour 0, by name: low, point and high.

    Args:
        hosts: the fish.
        bodies: bodies of water.
        start: the initial state.
    """
    none: Range = (0.0, 0.0, 0.0)
    every: Range = (1.0, 1.0, 1.0)
    by_key: dict[str, Range] = {}
    for group in hosts:
        by_key[f"weight_g.{group.id}"] = group.weight_g
        by_key[f"susceptibility.{group.id}"] = group.susceptibility
        by_key[f"per_fish.{group.id}"] = start.per_fish.get(group.id, none)
        by_key[f"carriers.{group.id}"] = start.carriers.get(group.id, every)
    for body in bodies:
        by_key[f"bottom.{body}"] = start.bottom.get(body, none)
        by_key[f"swimmers.{body}"] = start.swimmers.get(body, none)
    for group in hosts:
        by_key[f"immune.{group.id}"] = start.immune.get(group.id, none)
    for group in hosts:
        by_key[f"bearing.{group.id}"] = group.bearing
    for number, arrival in enumerate(start.later):
        by_key[arrival_key(number)] = arrival.swimmers
    return by_key


def arrival_key(number: int) -> str:
    """Return the drawn name of the mean number that arrives later."""
    return f"arrival.{number}"


def within(limits: Range, uniform: Floats, *, logarithmic: bool) -> Floats:
    """Spread uniform numbers over low, point and high: half below the point, half above."""
    low, point, high = limits
    below = np.minimum(uniform * 2, 1.0)
    above = np.maximum(uniform * 2 - 1, 0.0)
    if logarithmic and low > 0:
        return np.asarray(low * (point / low) ** below * (high / point) ** above)
    return low + (point - low) * below + (high - point) * above


def _lethal(values: Values) -> Floats:
    """Return the lethal load, or the burden of half the greatest hazard, of the reference fish."""
    by_damage = values.known("host.lethal_load")
    return values.of("host.lethal_load" if by_damage else "host.lethal_burden", float("inf"))


def _reference(values: Values, parts: Parts, quantity: str) -> Floats:
    key = f"{parts.seeking.key}.{quantity}" if parts.seeking else "host.reference_g"
    return values.of(key, 1.0)[:, np.newaxis]


def _steady(values: Values, parts: Parts, start: InitialState) -> Floats:
    """Bottom stages per parasite on the fish after steady release: ratio of residence times."""
    none = np.zeros(values.histories)
    if not start.steady_bottom or not parts.bottom or parts.timed_host is None:
        return none
    organism: Organism = values.organism
    reference = max(
        [
            organism.claims[f"{s.key}.residence_t0"].number()
            for s in (parts.timed_host, parts.bottom[-1])
            if organism.known(f"{s.key}.residence_t0")
        ],
        default=0.0,
    )
    warm = reference + WARMTH
    on_fish = residence_days(organism, parts.timed_host, warm)[1]
    below = residence_days(organism, parts.bottom[-1], warm)[1]
    return none + below / on_fish


WARMTH = setting(20.0, "degrees above the start at which the two residence times are compared")
