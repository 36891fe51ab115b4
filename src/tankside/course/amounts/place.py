"""Agents for one kind of water alone (sea water, fresh water), or for grown fish alone: no fry."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tankside.claims import Claim, Knowledge
from tankside.course.amounts.active_forms import find_need
from tankside.course.amounts.young import is_young, what_tells_age
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.system import System

MARINE = "marine"
FRESH = "fresh"
ONE_WATER = {MARINE: "sea", FRESH: "fresh"}
"""The kinds of water an agent may be for alone, and how they are called."""


@dataclass(frozen=True, slots=True)
class Apart:
    """An agent is for one kind of water alone, and this is another.

    Args:
        claim: what says so.
        fits: the water it is for, as it is called.
    """

    claim: Claim
    fits: str


def unfit_water(facts: Knowledge, agent: str, water: str | None) -> Apart | None:
    """Return what says that an agent is not for this kind of water; None when nothing does.

    Args:
        facts: what is known.
        agent: agent id.
        water: "fresh", "brackish" or "marine"; None when nobody said.
    """
    for name, called in ONE_WATER.items():
        claim = find_need(facts, agent, name)
        if claim is not None and water is not None and water != name:
            return Apart(claim, called)
    return None


def unfit_place(
    facts: Knowledge,
    agent: str,
    agent_name: str,
    system: System,
    groups: Sequence[StockGroup],
    hour: int,
) -> Iterator[Caution]:
    """Yield E-DOSE-20 (not known) or E-DOSE-25 (known and unfit) for kind of water and fry."""

    def stands(code: str, words: str, claim: Claim, instead: str) -> Caution:
        said = (claim.note or "unknown is not taken as safe").rstrip(".")
        stated = claim.source or claim.provenance.value.replace("_", " ")
        why = f"{said[:1].upper()}{said[1:]} ({stated})."
        return Caution(
            Level.BLOCKED, code, words, why, claim.key, instead,
            hour=hour, body=system.id, agent=agent,
        )  # fmt: skip

    sea, apart = find_need(facts, agent, "marine"), unfit_water(facts, agent, system.water)
    if sea is not None and system.water is None:
        words = f"{agent_name} is for sea water only; which water is this?"
        lifts = "Say which water it is: water=marine lifts this stop, fresh or brackish does not."
        yield stands("E-DOSE-20", words, sea, lifts)
    elif apart is not None:
        words = f"{agent_name} is for {apart.fits} water only; this is {system.water} water."
        yield stands("E-DOSE-25", words, apart.claim, "Choose another way, or ask a veterinarian.")
    grown = find_need(facts, agent, "no_fry")
    if grown is None:
        return
    young = [group.name for group in groups if is_young(facts, group)]
    unknown = [group.name for group in groups if is_young(facts, group) is None]
    if young:
        words = f"{agent_name} is not for fry: {', '.join(young)}."
        yield stands("E-DOSE-25", words, grown, "Move the young ones out first.")
    elif unknown:
        words = f"{agent_name} is not for fry; how old are these: {', '.join(unknown)}?"
        yield stands("E-DOSE-20", words, grown, f"{what_tells_age(facts, groups)}.")
