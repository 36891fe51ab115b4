"""Agents that bring the same active into the water, and what one is worth in the basis of another.

What is printed of one form or salt of an active is held for its other forms, and what is printed
of a single active for the mixtures that hold it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from tankside.claims import Agent, Claim, Knowledge, whole_setting
from tankside.course.amounts.choice import SUBSTANCE, forms_of, plain_form


@dataclass(frozen=True, slots=True)
class SameActive:
    """Another agent whose actives are all in the one that is asked about.

    Args:
        agent: the other agent.
        per_unit: mass on the basis of the agent asked about that brings as much of the active as
            one mass on the basis of the other; None where no form factor says it.
    """

    agent: Agent
    per_unit: float | None


@lru_cache(maxsize=whole_setting(1024, "agents of a few sets of knowledge"))
def same_active(facts: Knowledge, agent: str) -> tuple[SameActive, ...]:
    """Return the other agents whose actives are all among those of ``agent``."""
    asked = facts.agents.get(agent)
    if asked is None:
        return ()
    return tuple(
        SameActive(other, _per_unit(asked, other))
        for other in facts.agents.values()
        if other.id != agent
        and other.kind == SUBSTANCE
        and other.actives
        and set(other.actives) <= set(asked.actives)
    )


def needs_of(facts: Knowledge, agent: str, name: str) -> list[Claim]:
    """Return what ``needs.<name>`` says of an agent and of every other form of its active."""
    agents = (agent, *(other.agent.id for other in same_active(facts, agent)))
    claims = (facts.find(f"agent.{form}.needs.{name}") for form in agents)
    return [claim for claim in claims if claim is not None]


def find_need(facts: Knowledge, agent: str, name: str) -> Claim | None:
    """Return the first of those claims, the agent's own before those of other forms."""
    return next(iter(needs_of(facts, agent, name)), None)


@lru_cache(maxsize=whole_setting(1024, "agents by the bases that claims are told on"))
def on_basis(facts: Knowledge, agent: str, basis: str) -> float | None:
    """Return how much on the basis of ``agent`` answers one mass told on another basis.

    Args:
        facts: what is known.
        agent: agent id.
        basis: the basis as a claim tells it; "" for that of the agent itself.

    Returns:
        The factor; None where no form factor says it.
    """
    asked = facts.agents.get(agent)
    if asked is None:
        return None
    wanted = plain_form(basis or asked.basis)
    factor = forms_of(asked).get(wanted)
    if factor is not None:
        return float(factor)
    for other in same_active(facts, agent):
        theirs = forms_of(other.agent).get(wanted)
        if theirs is not None and other.per_unit is not None:
            return float(theirs) * other.per_unit
    return None


def _per_unit(asked: Agent, other: Agent) -> float | None:
    factor = forms_of(asked).get(plain_form(other.basis))
    if factor is not None:
        return float(factor)
    part = asked.find(f"holds.{other.id}")
    return None if part is None else 1 / part.number()
