"""Hard limits of an agent by route: where they stand, and whether a strength is inside.

Every comparison asks whether a value is inside, so that a value that is no number never passes.
"""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims import Knowledge


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit of strength [mg/L on the agent's basis] and the claim it rests on."""

    mg_l: float
    claim_key: str
    source: str


def hard_limit(facts: Knowledge, agent: str, route: str) -> Limit | None:
    """Return the strength that may never be passed by this route; None when none is known.

    The claim ``agent.<id>.hard_max.<route>`` where it exists, else the upper end of the usual
    range ``agent.<id>.dose.<route>``: what nobody has published is not offered.
    """
    for short in (f"hard_max.{route}", f"dose.{route}"):
        key = f"agent.{agent}.{short}"
        found = facts.find(key)
        if found is not None:
            return Limit(found.bounds()[1], key, found.source)
    return None


def soft_limit(facts: Knowledge, agent: str, route: str) -> Limit | None:
    """Return the upper end of the usual range by this route; None when none is known."""
    key = f"agent.{agent}.dose.{route}"
    found = facts.find(key)
    return None if found is None else Limit(found.bounds()[1], key, found.source)
