"""A strength as typed, brought to the basis of its agent: mass, volume of a product, directions."""

from __future__ import annotations

import re
from decimal import Decimal

from tankside.claims import Agent
from tankside.course import LabelEntry, ToolUnit
from tankside.course.amounts.choice import PRODUCT, find_form, forms_of, plain_form
from tankside.course.amounts.weighing import product_per_active
from tankside.errors import BadInput
from tankside.quantity import DOSE, Kind, parse_quantity
from tankside.quantity.per import MG_PER_G

_DIRECTIONS = re.compile(
    r"(?P<put>[0-9][0-9.,]* ?[^\s0-9/]+) ?(?:for|per|to|into|in|/) ?(?P<into>[0-9][0-9.,]* ?\S.*)"
)
_UNIT_OF = {Kind.MASS: ("mg", ToolUnit.MILLIGRAM), Kind.VOLUME: ("mL", ToolUnit.MILLILITRE)}
_ML_PER_UL = 1 / Decimal(MG_PER_G)


def read_strength(
    agent: Agent, text: str, form: str = "", label: LabelEntry | None = None
) -> float:
    """Read a strength [mg/L] and bring it to the agent's basis.

    A mass in a volume of water is one of the agent. A volume in a volume is one of the product as
    it stands in the container, except where the agent itself is told by volume; so are directions
    ("5 mL for 100 L").

    Args:
        agent: the agent.
        text: as typed, with its form or without.
        form: the form that the name typed for the agent tells; it holds for a mass.
        label: the container at hand; None when there is none.

    Raises:
        BadInput: E-UNIT-03 no form, where containers of this agent come in several; E-PROD-01 a
            dose of a product whose strength is not known; E-NUM-.., E-UNIT-.. what is no strength.
    """
    directions = _DIRECTIONS.fullmatch(text.strip())
    if directions is not None:
        return _as_directed(agent, directions, text, label)
    bare, _, typed = text.partition(" as ")
    read = parse_quantity(bare, DOSE, field="strength")
    if read.kind is Kind.VOLUME_CONCENTRATION and PRODUCT not in agent.basis:
        if typed:
            raise _volume_of_a_form(text)
        microlitres = read.canonical()
        return _of_product(agent, microlitres * _ML_PER_UL, ToolUnit.MILLILITRE, text, label)
    named = form if read.kind is Kind.MASS_CONCENTRATION else ""
    factor = form_factor_as_typed(agent, typed.strip() or plain_form(named), text)
    return float(read.canonical()) * factor


def _as_directed(
    agent: Agent, directions: re.Match[str], text: str, label: LabelEntry | None
) -> float:
    """Read "5 mL for 100 L": so much of the container for so much water."""
    put = parse_quantity(directions["put"], tuple(_UNIT_OF), field="strength")
    into = parse_quantity(directions["into"], Kind.VOLUME, field="strength")
    symbol, unit = _UNIT_OF[put.kind]
    return _of_product(agent, put.to(symbol) / into.to("L"), unit, text, label)


def _of_product(
    agent: Agent, per_l: Decimal, unit: ToolUnit, text: str, label: LabelEntry | None
) -> float:
    """Return what a dose of the product brings [mg/L]; ``per_l`` is mL or mg of it in a litre."""
    if label is None:
        raise BadInput(
            "E-PROD-01",
            "This is a dose of a product: how strong it is must be known.",
            given=text,
            needed=f"the strength of the container of {agent.name} (label), or mg/L of the active",
            next_step="Enter what the label says is in it, or type the strength in mg/L.",
            field="strength",
        )
    return float(per_l / product_per_active(label, unit))


def _volume_of_a_form(text: str) -> BadInput:
    return BadInput(
        "E-UNIT-03",
        "A volume per volume is a dose of the product, not of a substance in it.",
        given=text,
        needed="mg/L with what the mass is of, or mL/L of the product without it",
        next_step="Type the one or the other.",
        field="strength",
    )


def form_factor_as_typed(agent: Agent, form: str, typed: str) -> float:
    """Return the factor from a mass told in a form to the agent's basis.

    Args:
        agent: the agent.
        form: the form told; "" for none.
        typed: the whole strength, for a refusal.

    Raises:
        BadInput: E-UNIT-03 no form, or one that is not on file, where containers differ.
    """
    several = len(set(forms_of(agent, in_containers=True).values())) > 1
    asks = (several or "copper" in agent.actives) and PRODUCT not in agent.basis
    if not form and not asks:
        return 1.0
    factor = find_form(agent, form) if form else None
    if factor is None:
        raise _no_basis(agent, typed)
    return float(factor)


def _no_basis(agent: Agent, typed: str) -> BadInput:
    names = form_names(agent)
    return BadInput(
        "E-UNIT-03",
        "Say what the mass is of.",
        given=typed,
        needed=", ".join(f"mg/L {name}" for name in names),
        next_step=f"Write the basis after the unit, for example 0.18 mg/L {names[0]}.",
        field="strength",
    )


def form_names(agent: Agent) -> tuple[str, ...]:
    """Return the forms that a mass of an agent may be told in, as they are typed; one at least."""
    named = (
        claims[0].conditions.get("form", "")
        for short, claims in agent.claims.items()
        if short.startswith("form.") and claims[0].known
    )
    return tuple(dict.fromkeys(name for name in named if name)) or (agent.basis.split(",")[0],)
