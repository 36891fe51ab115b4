"""Salts of one ion are the same once dissolved: what is there counts as the form that is put in.

A test for free copper reads what crystals brought as well as what a solution of copper did.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from tankside.claims import Knowledge
from tankside.course.amounts.active_forms import same_active
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
    residues = tuple(_as_given(facts, lot, agents) for lot in system.residues)
    return replace(system, residues=residues)


def _as_given(facts: Knowledge, lot: InWater, agents: Collection[str]) -> InWater:
    reads = find_text(facts, f"agent.{lot.agent}.titrate.reads")
    if reads is None or lot.agent in agents:
        return lot
    for agent in agents:
        if find_text(facts, f"agent.{agent}.titrate.reads") != reads:
            continue
        for other in same_active(facts, agent):
            if other.agent.id == lot.agent and other.per_unit is not None:
                return _times(lot, agent, other.per_unit)
    return lot


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
