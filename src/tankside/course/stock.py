"""The animals of a case as groups: how many, how long, how heavy, and where they are."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StockGroup:
    """Fish of one kind and size that stay together.

    Args:
        id: short name, unique in the case.
        host_id: key of the host's claims; None when the species is not known.
        name: as the keeper says it.
        count: number of animals at the start.
        length_cm: total length [cm]; None when unknown.
        weight_g: weight of one [g] as (low, point, high); None when unknown.
        body: id of the body of water it starts in.
        life_stage: "larva", "fry", "juvenile", "adult"; None when unknown.
        gill_damage: seen or suspected damage to the gills; None when not looked at.
    """

    id: str
    host_id: str | None
    name: str
    count: int
    length_cm: float | None
    weight_g: tuple[float, float, float] | None
    body: str
    life_stage: str | None = None
    gill_damage: bool | None = None
