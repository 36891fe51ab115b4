"""Limits of an agent by route and circumstances: where they stand, and why.

Every comparison asks whether a value is inside, so that a value that is no number never passes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tankside.claims import Claim, Knowledge, setting

YOUNG = ("embryo", "larva", "fry")


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit of strength [mg/L on the agent's basis] and the claim it rests on."""

    mg_l: float
    claim_key: str
    source: str

    @property
    def cited(self) -> str:
        """The source in brackets after a blank, "" where none is named."""
        return f" ({self.source})" if self.source else ""


@dataclass(frozen=True, slots=True)
class Around:
    """What a limit may depend on at one body of water; None when not known."""

    temperature_c: float | None
    alkalinity_mg_l_caco3: float | None
    young: bool | None


_SLACK = setting(1e-12, "a dose exactly at the limit passes whatever the last binary digit")
UNKNOWN = Around(None, None, None)


def is_inside(mg_l: float, limit: Limit) -> bool:
    """Whether a strength is inside a limit; never when it is no number."""
    return mg_l <= limit.mg_l * (1 + _SLACK)


def hard_limit(facts: Knowledge, agent: str, route: str, around: Around = UNKNOWN) -> Limit | None:
    """Return the strength that may never be passed by this route; None when none is known.

    It is the strictest of: the stated hard limit (or, where none is stated, the upper end of
    the usual range), the one for warm water unless the water is known to be cooler, the one for
    young fish unless they are known to be older, and the one set by alkalinity.
    """
    stated = facts.find(f"agent.{agent}.hard_max.{route}") or facts.find(
        f"agent.{agent}.dose.{route}"
    )
    if stated is None:
        return None
    limits = [_limit(stated), *_special(facts, agent, route, around)]
    return min(limits, key=lambda limit: limit.mg_l)


def soft_limit(facts: Knowledge, agent: str, route: str) -> Limit | None:
    """Return the strength above which a reason is asked for; None when none is known."""
    for short in (f"soft_max.{route}", f"dose.{route}"):
        claim = facts.find(f"agent.{agent}.{short}")
        if claim is not None:
            return _limit(claim)
    return None


def reason_limit(facts: Knowledge, agent: str, route: str) -> Limit | None:
    """Return the stated soft limit, passed only with a typed reason; None when none is stated.

    Where only a usual range is printed its upper end asks for care (:func:`soft_limit`).
    """
    claim = facts.find(f"agent.{agent}.soft_max.{route}")
    return None if claim is None else _limit(claim)


def lowest_useful(facts: Knowledge, agent: str, route: str) -> Limit | None:
    """Return the lower end of the usual range: below it a day does not count."""
    claim = facts.find(f"agent.{agent}.dose.{route}")
    return None if claim is None else Limit(claim.bounds()[0], claim.key, claim.source)


def _limit(claim: Claim) -> Limit:
    return Limit(claim.bounds()[1], claim.key, claim.source)


def _special(facts: Knowledge, agent: str, route: str, around: Around) -> Iterator[Limit]:
    warm = facts.find(f"agent.{agent}.hard_max_warm.{route}")
    above = facts.find(f"agent.{agent}.warm_above.{route}")
    if warm is not None:
        cool = (
            above is not None
            and around.temperature_c is not None
            and around.temperature_c <= above.number()
        )
        if not cool:
            yield _limit(warm)
    young = facts.find(f"agent.{agent}.hard_max_young.{route}")
    if young is not None and around.young is not False:
        yield _limit(young)
    per_alkalinity = facts.find(f"agent.{agent}.dose_per_alkalinity")
    if per_alkalinity is not None and around.alkalinity_mg_l_caco3 is not None:
        yield Limit(
            per_alkalinity.number() * around.alkalinity_mg_l_caco3,
            per_alkalinity.key,
            per_alkalinity.source,
        )
