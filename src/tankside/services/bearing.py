"""What each group of a case bears of the agents that courses are made of."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.case import CaseView
from tankside.course.amounts.tolerance import host_classes
from tankside.course.safety.animals import bears
from tankside.intake.stock import stock
from tankside.library import load

AGENTS = (
    "sodium_chloride", "copper_sulphate", "formalin", "malachite_green",
    "potassium_permanganate", "praziquantel",
)  # fmt: skip
"""Agents that are asked about first; what bears them is looked up for any other at its dose."""


@dataclass(frozen=True, slots=True)
class GroupBearing:
    """A group and its verdict for each of the agents: tolerant, care, avoid, or not known."""

    group: str
    verdicts: tuple[str, ...]


def agents_asked() -> tuple[str, ...]:
    """Return the names of the agents, in the order of the verdicts."""
    agents = load().agents
    return tuple(agents[agent].name for agent in AGENTS)


def bearing(view: CaseView) -> tuple[GroupBearing, ...]:
    """Return what each group of a case bears, in the order of its stock.

    Args:
        view: the case; a group that may live in several waters is told of once.
    """
    facts = load()
    records = [facts.agents[agent] for agent in AGENTS]
    return tuple(
        GroupBearing(
            group.id,
            tuple(bears(facts, group, record, host_classes(facts, record)) for record in records),
        )
        for group in stock(view, facts, lambda group: (group.system,))
    )
