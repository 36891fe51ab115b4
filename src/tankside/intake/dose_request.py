"""One amount asked for, as typed, and the reading of its substance and strength."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from tankside.claims import Agent
from tankside.course.amounts.choice import forms_of
from tankside.errors import BadInput
from tankside.intake.labels import AtHand
from tankside.quantity import DOSE, Kind, parse_quantity

__all__ = ["AtHand", "DoseRequest", "read_strength"]
PROLONGED = "prolonged"
PRODUCT = "product"


@dataclass(frozen=True, slots=True)
class DoseRequest:
    """One amount asked for, as typed.

    ``animals`` are kinds by name; empty means nobody was named (then nothing is weighed out)
    unless ``fishless``; ``stage`` and ``gill_damage`` are told of all of them. ``in_water`` are
    substances already there, "agent=amount" each. ``changed`` asks for the amount to put back
    with that much new water; ``reason`` is what is typed for passing a soft limit. ``system``
    None is the water of the sick fish. What a case tells (water, animals, container) is None here.
    """

    agent: str
    strength: str
    volume: str | None = None
    label: str | None = None
    second_volume: str | None = None
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
    country: str | None = None
    system: str | None = None
    readings: Mapping[str, str | None] = field(default_factory=dict)
    choices: Mapping[str, str | None] = field(default_factory=dict)


def read_strength(agent: Agent, text: str, form: str = "") -> float:
    """Read a strength [mg/L] and bring it to the agent's basis.

    Args:
        agent: the agent.
        text: as typed, with its form or without.
        form: the form that the name typed for the agent tells; it holds for a mass.

    Raises:
        BadInput: E-UNIT-03 no form, where containers of this agent come in several; E-NUM-..,
            E-UNIT-.. what is no strength.
    """
    bare, _, typed = text.partition(" as ")
    read = parse_quantity(bare, DOSE, field="strength")
    named = form if read.kind is Kind.MASS_CONCENTRATION else ""
    factor = _form_factor(agent, f"as {typed.strip()}" if typed else named or None, text)
    return float(read.canonical()) * factor


def _form_factor(agent: Agent, form: str | None, typed: str) -> float:
    factors = {
        claims[0].conditions.get("form", ""): claims[0].number()
        for short, claims in agent.claims.items()
        if short.startswith("form.") and claims[0].known
    }
    several = len(set(forms_of(agent, in_containers=True).values())) > 1
    if form is None and (several or "copper" in agent.actives) and PRODUCT not in agent.basis:
        raise _no_basis(typed, factors)
    if form is None or form == agent.basis:
        return 1.0
    for name, factor in factors.items():
        if name.lower() == form.lower():
            return factor
    raise _no_basis(typed, factors)


def _no_basis(typed: str, forms: Iterable[str]) -> BadInput:
    return BadInput(
        "E-UNIT-03",
        "Say what the mass is of.",
        given=typed,
        needed="mg/L " + ", mg/L ".join(forms),
        next_step="Write the basis after the unit, for example 0.18 mg/L as Cu.",
        field="strength",
    )
