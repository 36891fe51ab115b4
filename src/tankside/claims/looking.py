"""What surrounds the tables of the differential: kinds of fish, sittings, and known look-alikes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sitting:
    """One piece of work that answers many findings together, at one cost.

    Args:
        id: identifier; findings name it.
        label: what is done.
        minutes: what the whole of it takes.
        shared: True when the work is paid whole however few answers are open (one handling, one
            body); False when each question takes its own minutes, up to the whole.
        invasiveness: 0 none, 1 touch, 2 handling, 3 tissue taken or a fish killed.
        equipment: what is needed.
        order: place in the order that manuals give.
        days: until the answer comes, when it is sent away.
        pitfalls: how it misleads.
        sources: keys of the works behind it.
    """

    id: str
    label: str
    minutes: float
    shared: bool
    invasiveness: int
    equipment: str
    order: int
    days: float
    pitfalls: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Twin:
    """A cause that looks like listed ones, with the weight it has or would have on the list.

    Args:
        id: its identifier; it may be on the list itself.
        name: what it is.
        weight: its prior on the scale of the listed causes.
        looks_like: listed causes it can be taken for.
        parted_by: what would part it from them, in words.
    """

    id: str
    name: str
    weight: float
    looks_like: tuple[str, ...]
    parted_by: str


@dataclass(frozen=True, slots=True)
class SpeciesOdds:
    """How the odds of one cause change with the kind of fish.

    ``spared``: the kind is known not to fall ill of it (strong evidence).
    """

    factor: float
    low: float
    high: float
    spared: bool = False


@dataclass(frozen=True, slots=True)
class FishKind:
    """A kind of fish for which odds per cause are recorded.

    Args:
        id: identifier, an answer of ``host_species``.
        name: name to show.
        water: ``cool``, ``warm`` or ``marine``.
        group: the answer of the coarse question on hosts, as ``finding=answer``.
        hosts: hosts of the library that belong to it.
        odds: factor per cause; a cause that is not named takes that of the group.
    """

    id: str
    name: str
    water: str
    group: str
    hosts: tuple[str, ...]
    odds: Mapping[str, SpeciesOdds]
