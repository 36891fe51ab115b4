"""The animals of a case as groups: how many, how long, how heavy, and where they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import partial

from tankside.claims import Host, Knowledge, Provenance, setting
from tankside.course.bodies.facts import Range, find_number
from tankside.water.length_weight import Shape, weight_froese14, weight_power_law_g

OWN_KEY = "practice.course.weight_factor_own"
SHAPE_KEY = "practice.course.weight_factor_shape"
SHAPES = {
    "eel-like": Shape.EEL_LIKE,
    "elongated": Shape.ELONGATED,
    "fusiform": Shape.FUSIFORM,
    "short/deep": Shape.SHORT_DEEP,
}
NOT_A_FISH = "not_applicable"
PLANT = "plant"
_MIDDLE = setting(4, "Simpson's rule: the middle counts four times as much as an end")


class Living(StrEnum):
    """What lives in a tank, as far as protection tells it apart."""

    FISH = "fish"
    INVERTEBRATE = "invertebrate"
    PLANT = "plant"


@dataclass(frozen=True, slots=True)
class StockGroup:
    """Animals of one kind and size that stay together.

    Args:
        id: short name, unique in the case.
        host_id: key of the host's claims; None when the species is not known.
        name: as the keeper says it.
        count: number of animals at the start.
        length_cm: total length [cm], of the shortest where they differ; None when unknown.
        weight_g: weight of one [g] as (low, point, high); None when unknown (it then follows
            from the length, where that is known).
        body: id of the body of water it starts in.
        life_stage: "larva", "fry", "juvenile", "adult"; None when unknown.
        gill_damage: seen or suspected damage to the gills; None when not looked at.
        died: how many of the group have died so far (``count`` are alive).
        living: what the keeper says they are; the species says it where that is known.
        number_known: whether anybody counted them; where nobody did, ``count`` is 1 and the weight
            of the group is not known.
        length_to_cm: total length of the longest [cm]; None where nobody told one.
    """

    id: str
    host_id: str | None
    name: str
    count: int
    length_cm: float | None
    weight_g: Range | None
    body: str
    life_stage: str | None = None
    gill_damage: bool | None = None
    died: int = 0
    living: Living = Living.FISH
    number_known: bool = True
    length_to_cm: float | None = None


def living_of(facts: Knowledge, group: StockGroup) -> Living:
    """Return what a group is: as its species says, else as the keeper says."""
    host = None if group.host_id is None else facts.hosts.get(group.host_id)
    return group.living if host is None else living_kind(host)


def living_kind(host: Host) -> Living:
    """Return what a kind on file is: a plant, an animal without the shape of a fish, or a fish."""
    if PLANT in host.group:
        return Living.PLANT
    shape = host.find("body_shape")
    is_fish = shape is None or shape.value != NOT_A_FISH
    return Living.FISH if is_fish else Living.INVERTEBRATE


def weight_from_length(facts: Knowledge, host: Host | None, length_cm: float) -> Range | None:
    """Return (low, point, high) weight of one animal [g] from its total length.

    The species' own length-weight pair where one is recorded, else the prior of its body shape,
    else that of all fish; None for what is no fish.
    """
    shape = None if host is None else host.find("body_shape")
    if shape is not None and shape.value == NOT_A_FISH:
        return None
    if host is not None:
        by_species = _own_pair(facts, host, length_cm)
        if by_species is not None:
            return by_species
    kind = SHAPES.get(str(shape.value), Shape.ANY) if shape is not None else Shape.ANY
    weight = weight_froese14(length_cm, kind)
    return weight.low.number, weight.point.number, weight.high.number


def _own_pair(facts: Knowledge, host: Host, length_cm: float) -> Range | None:
    a, b = host.find("length_weight_a"), host.find("length_weight_b")
    if a is None or b is None:
        return None
    estimated = a.provenance is Provenance.ESTIMATE
    factor = find_number(facts, SHAPE_KEY if estimated else OWN_KEY)
    if factor is None:
        return None
    point = float(weight_power_law_g(length_cm, a.number(), b.number()))
    return point / factor, point, point * factor


def weight_between(
    weigh: Callable[[float], Range | None], shortest_cm: float, longest_cm: float | None
) -> Range | None:
    """Return the weight of one animal of a group [g] as (low, point, high).

    From the shortest as light as it may be to the longest as heavy as it may be; between them the
    mean of animals spread evenly by length (Simpson's rule, exact for weights by length cubed).

    Args:
        weigh: from the length [cm] of one animal to its weight [g].
        shortest_cm: length of the shortest [cm].
        longest_cm: length of the longest [cm]; None where all are of one length.
    """
    ends = sorted((shortest_cm, shortest_cm if longest_cm is None else longest_cm))
    first, middle, last = (weigh(length) for length in (ends[0], sum(ends) / 2, ends[1]))
    if first is None or middle is None or last is None or longest_cm is None:
        return first
    return first[0], (first[1] + _MIDDLE * middle[1] + last[1]) / (2 + _MIDDLE), last[2]


def with_weights(facts: Knowledge, stock: tuple[StockGroup, ...]) -> tuple[StockGroup, ...]:
    """Return the groups with weights filled in from lengths where they can be."""
    return tuple(_with_weight(facts, group) for group in stock)


def _with_weight(facts: Knowledge, group: StockGroup) -> StockGroup:
    if not group.number_known or group.weight_g is not None or group.length_cm is None:
        return group
    host = None if group.host_id is None else facts.hosts.get(group.host_id)
    by_length = partial(weight_from_length, facts, host)
    weight = weight_between(by_length, group.length_cm, group.length_to_cm)
    return replace(group, weight_g=weight)
