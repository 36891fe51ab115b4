"""Salts of one ion are the same once dissolved: what is there counts as the form that is put in.

A test for free copper reads what crystals brought as well as what a solution of copper did.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from tankside.claims import Knowledge
from tankside.course.amounts.active_forms import same_active
from tankside.course.bodies.effects import AGENT_PREFIX, AgentAdded, Effect, ReadingEntered
from tankside.course.bodies.facts import find_text
from tankside.course.bodies.system import InWater, System


def as_put_in(facts: Knowledge, system: System, agents: Collection[str]) -> System:
    """Return a water whose residues are told as the agents that a course puts in.

    Args:
        facts: what is known.
        system: the water.
        agents: ids of the agents that are put in.
    """
    if not system.residues or not agents:
        return system
    residues = tuple(_times(lot, *_form(facts, lot.agent, agents)) for lot in system.residues)
    return replace(system, residues=residues)


def logged_as_put_in(facts: Knowledge, effect: Effect, agents: Collection[str]) -> Effect:
    """Return what was logged or read beside a course, told as the agents that it puts in.

    Args:
        facts: what is known.
        effect: what was logged.
        agents: ids of the agents that are put in.
    """
    if isinstance(effect, AgentAdded):
        agent, factor = _form(facts, effect.agent, agents)
        least = None if effect.least_mg is None else effect.least_mg * factor
        return replace(effect, agent=agent, mg=effect.mg * factor, least_mg=least)
    if isinstance(effect, ReadingEntered):
        values = {}
        for name, value in effect.values.items():
            bare = name.removeprefix(AGENT_PREFIX)
            agent, factor = (bare, 1.0) if bare == name else _form(facts, bare, agents)
            values[name.replace(bare, agent)] = value * factor
        return replace(effect, values=values)
    return effect


def _form(facts: Knowledge, there: str, agents: Collection[str]) -> tuple[str, float]:
    """Return as which agent something counts, and what one mass of it is worth then."""
    reads = find_text(facts, f"agent.{there}.titrate.reads")
    if reads is None or there in agents:
        return there, 1.0
    for agent in agents:
        if find_text(facts, f"agent.{agent}.titrate.reads") != reads:
            continue
        for other in same_active(facts, agent):
            if other.agent.id == there and other.per_unit is not None:
                return agent, other.per_unit
    return there, 1.0


def _times(lot: InWater, agent: str, factor: float) -> InWater:
    by_volume = lot.by_volume
    return replace(
        lot,
        agent=agent,
        low_mg_l=None if lot.low_mg_l is None else lot.low_mg_l * factor,
        high_mg_l=None if lot.high_mg_l is None else lot.high_mg_l * factor,
        by_volume=None
        if by_volume is None
        else tuple((low * factor, high * factor) for low, high in by_volume),
    )
