"""One amount asked for, as typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from tankside.intake.labels import AtHand

__all__ = ["AtHand", "DoseRequest"]
PROLONGED = "prolonged"
FEED = "feed"
EQUIPMENT = "equipment"


@dataclass(frozen=True, slots=True)
class DoseRequest:
    """One amount asked for, as typed.

    ``animals`` are kinds by name; empty means nobody was named (then nothing is weighed out)
    unless ``fishless``; ``stage`` and ``gill_damage`` are told of all of them. ``in_water`` are
    substances already there, "agent=amount" each. ``changed`` asks for the amount to put back
    with that much new water; ``reason`` is what is typed for passing a soft limit. ``system``
    None is the water of the sick fish. ``ration``, ``days`` and ``fish_weight`` belong to food that
    carries the agent, ``vessel`` to equipment that is disinfected. What a case tells (water,
    animals, container) is None here.
    """

    agent: str
    strength: str
    volume: str | None = None
    label: str | None = None
    second_volume: str | None = None
    density: str | None = None
    scale: str | None = None
    syringe: str | None = None
    at_hand: AtHand = field(default_factory=AtHand)
    changed: str | None = None
    in_water: Sequence[str] = ()
    route: str = PROLONGED
    minutes: str | None = None
    reason: str = ""
    animals: Sequence[str] = ()
    stage: str | None = None
    gill_damage: str | None = None
    fishless: bool = False
    ration: str | None = None
    days: str | None = None
    fish_weight: str | None = None
    vessel: str | None = None
    country: str | None = None
    system: str | None = None
    readings: Mapping[str, str | None] = field(default_factory=dict)
    choices: Mapping[str, str | None] = field(default_factory=dict)
