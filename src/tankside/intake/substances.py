"""Names of substances as typed: one agent, or a refusal that says what to type instead."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.case import Amount as CaseAmount
from tankside.case import Entry
from tankside.case.done import ActionDone
from tankside.case.entry import Correction
from tankside.case.medicine import AgentInWater, DoseAsked, LabelRead
from tankside.case.parts import PUT_IN
from tankside.claims import Agent, Knowledge
from tankside.claims.substance_names import Meaning, SubstanceName, resolve
from tankside.errors import BadInput
from tankside.library import load
from tankside.quantity import Kind

LIFT = (
    "It counts as unknown and stops what it may not be mixed with, until the entry is corrected "
    "with its active substance, taken back if it was never put in, or all the water was changed."
)


def named_agent(facts: Knowledge, name: str, field: str) -> SubstanceName:
    """Return what a name means where only one agent on file will do.

    Args:
        facts: agents and their names.
        name: as typed.
        field: box or option it was typed into.

    Raises:
        BadInput: E-PROD-02 no agent of that name, several, or only one that is near.
    """
    substance = resolve(facts, name)
    if substance.agent is None:
        raise _not_one(facts, substance, field)
    return substance


def agent_of(facts: Knowledge, name: str, field: str) -> Agent:
    """Return the one agent of a name; raises like ``named_agent``."""
    return named_agent(facts, name, field).agents[0]


def _not_one(facts: Knowledge, substance: SubstanceName, field: str) -> BadInput:
    names = " or ".join(substance.suggestions)
    message = "This substance is not known by that name."
    needed = "one of: " + ", ".join(sorted(facts.agents))
    next_step = "Type the active substance as the label names it."
    if substance.meaning is Meaning.NEAR:
        needed = f"the name in full: {names}"
        next_step = f"Did you mean {names}? Then type it so; nothing near is taken for it."
    elif substance.meaning is Meaning.SEVERAL:
        message = "This name does not say which substance is meant."
        needed = f"one by its full name, for example: {names}"
        next_step = "Read on the label which it is, and type that."
    elif substance.meaning is Meaning.NO_AGENT:
        message = "This substance is none of those on file, so no amount is worked out."
    return BadInput(
        "E-PROD-02",
        message,
        given=substance.typed,
        needed=needed,
        next_step=next_step,
        field=field,
    )


def agent_in_water(facts: Knowledge, name: str) -> str:
    """Return the id of what is in the water: an agent, something on no file, or unnamed.

    Something that is surely none of the agents keeps its name as an id; what cannot be told
    from an agent, or is only near to one, counts as unknown and is kept as told.
    """
    from tankside.course.bodies.unnamed import unnamed

    substance = resolve(facts, name)
    if substance.agent is not None:
        return substance.agent.id
    if substance.meaning is Meaning.NO_AGENT:
        return name.strip().lower().replace(" ", "_").replace("-", "_")
    return unnamed(name)


def form_factor(facts: Knowledge, name: str, amount: CaseAmount) -> float:
    """Return the factor from an amount told under a name to the agent's basis.

    A volume is one of the product as it is sold: the form that its name tells changes nothing.

    Args:
        facts: agents and their names.
        name: as typed.
        amount: what was told under it.
    """
    substance = resolve(facts, name)
    kind = amount.measured(*PUT_IN).kind
    if substance.agent is None or kind not in (Kind.MASS, Kind.MASS_CONCENTRATION):
        return 1.0
    return factor_of(substance.agent, substance.form)


def tells_form(facts: Knowledge, name: str) -> bool:
    """Whether the name of a substance tells which form of it is meant."""
    return bool(resolve(facts, name).form)


def factor_of(agent: Agent, form: str) -> float:
    """Return the mass on the agent's basis in one mass of a form; 1 where none is told."""
    factors = (
        claims[0].number()
        for short, claims in agent.claims.items()
        if short.startswith("form.") and claims[0].conditions.get("form") == form
    )
    return next(factors, 1.0)


def read_as(facts: Knowledge, name: str) -> str:
    """Say what a name was read as, where it is not simply the agent's own; "" where it is."""
    substance = resolve(facts, name)
    agent = substance.agent
    if agent is None:
        return ""
    plain = " ".join(name.lower().replace("_", " ").replace("-", " ").split())
    called = {agent.id, agent.name.lower(), agent.short_name.lower()}
    if plain in {text.replace("_", " ").replace("-", " ") for text in called}:
        return ""
    basis = f", {substance.form}" if substance.form else ""
    return f"{name.strip()}: read as {agent.name[0].lower()}{agent.name[1:]}{basis}."


def names_read(entries: Iterable[Entry]) -> list[str]:
    """Return one note for each name of a substance that is not simply the agent's own.

    Args:
        entries: entries just added.
    """
    notes = []
    for entry in entries:
        fact = entry.replacement if isinstance(entry, Correction) else entry
        if isinstance(fact, LabelRead | DoseAsked | AgentInWater | ActionDone) and fact.agent:
            facts = load()
            notes.append(read_as(facts, fact.agent))
            if isinstance(fact, AgentInWater | ActionDone):
                notes.append(_not_named(resolve(facts, fact.agent)))
    return [note for note in notes if note]


def _not_named(substance: SubstanceName) -> str:
    """Say what becomes of a name that no agent on file has; "" where one has it."""
    name, names = substance.typed.strip(), " or ".join(substance.suggestions)
    if substance.agent is not None:
        return ""
    if substance.meaning is Meaning.NO_AGENT:
        return f"{name}: kept as told; it is none of the substances on file."
    if substance.meaning is Meaning.NEAR:
        return f"{name}: kept as told, not read as {names}. {LIFT}"
    if substance.meaning is Meaning.SEVERAL:
        return f"{name}: kept as told; it may mean {names} or another. {LIFT}"
    return f"{name}: kept as told; no substance on file has that name. {LIFT}"
