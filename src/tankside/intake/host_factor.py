"""How readily a parasite settles on each kind of fish, and what the kind bears of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tankside.claims import Claim, Knowledge
from tankside.claims.organism import Organism

if TYPE_CHECKING:
    from tankside.lifecycle import HostGroup

DOSE = "dose"
"""Condition of a claim: print holds deaths by dose in this kind of fish."""
SETTLING, BEARING = "susceptibility", "bearing"
UNKNOWN_BEARING = "practice.forecast.bearing"
EXACTLY = (1.0, 1.0, 1.0)


def host_claim(facts: Knowledge, host_id: str, what: str, organism: Organism) -> Claim | None:
    """Return the claim of a kind of fish on one parasite; None without one.

    Args:
        facts: what is known.
        host_id: the kind.
        what: "susceptibility" (share that settles) or "bearing" (lethal load), as factors.
        organism: the parasite.
    """
    host = facts.hosts.get(host_id)
    claim = None if host is None else host.find(f"{what}.{organism.id}")
    return claim if claim is not None and claim.known else None


def meeting(
    hosts: tuple[HostGroup, ...], organism: Organism, facts: Knowledge
) -> tuple[HostGroup, ...]:
    """Return the fish as they meet one parasite: factors where print has them, else wide ones.

    A kind with a printed dose has its factor on the share that settles and bears what the fish of
    the lethal load bear; of any other kind the share that dies is unknown.

    Args:
        hosts: the fish, with the range of settling for kinds on which no figure stands.
        organism: the parasite.
        facts: what is known of each kind.
    """
    met = []
    for group in hosts:
        settling = host_claim(facts, group.host_id, SETTLING, organism)
        printed = settling is not None and settling.conditions.get(DOSE) == "yes"
        bearing = host_claim(facts, group.host_id, BEARING, organism)
        bears = _range(bearing or facts.claim(UNKNOWN_BEARING))
        met.append(
            replace(
                group,
                susceptibility=group.susceptibility if settling is None else _range(settling),
                bearing=EXACTLY if printed else bears,
                dose_known=printed,
            )
        )
    return tuple(met)


def _range(claim: Claim) -> tuple[float, float, float]:
    low, high = claim.bounds()
    return (low, claim.number(), high)
