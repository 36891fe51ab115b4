"""What each kind of animal or plant bears of an agent: the worst of kind, relatives and class.

Nothing that is told of a kind lifts what is printed of its class, and what nobody knows of it is
read from its relatives, toward caution only.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from tankside.claims import Agent, Claim, Host, Knowledge, whole_setting
from tankside.course.amounts.active_forms import on_basis, same_active
from tankside.course.bodies.stock import Living, StockGroup, living_kind
from tankside.quantity.per import MG_PER_G

AVOID, CARE, TOLERANT, NOT_KNOWN = "avoid", "care", "tolerant", "not_known"
WORST_FIRST = (AVOID, NOT_KNOWN, CARE, TOLERANT)
SPARED = "spared"
EFFECTS_WORST_FIRST = ("lost", "harmed", "at_risk", SPARED)
HURT = ("lost", "harmed")
CLASS_OF = {Living.INVERTEBRATE: "invertebrates", Living.PLANT: "plants"}
SALINITY_UNIT = "g/L"
BATHS = ("bath", "dip")
BETWEEN = "brackish"
"""Water that both sides may live in."""
_KEPT = whole_setting(4096, "answers kept: hosts of a case by agents and classes")


@lru_cache(maxsize=_KEPT)
def host_classes(facts: Knowledge, agent: Agent) -> tuple[str, ...]:
    """Return the classes a host is judged by: the agent's own and those of each active in it."""
    classes = {agent.host_class: None} if agent.host_class else {}
    for other in same_active(facts, agent.id):
        if other.agent.host_class:
            classes[other.agent.host_class] = None
    return tuple(classes)


def class_effect(facts: Knowledge, agent: str, what: str) -> Claim | None:
    """Return the worst that is known of an agent, or of an active in it, on a class of life.

    Args:
        facts: what is known.
        agent: agent id.
        what: the class as ``effect.<class>`` names it: invertebrates, plants or filter.
    """
    agents = (agent, *(other.agent.id for other in same_active(facts, agent)))
    effects = [c for a in agents if (c := facts.find(f"agent.{a}.effect.{what}")) is not None]
    return min(effects, key=lambda c: EFFECTS_WORST_FIRST.index(str(c.value)), default=None)


@lru_cache(maxsize=_KEPT)
def told_of(facts: Knowledge, host: Host, name: str) -> Claim | None:
    """Return the claim a host is judged by in one class: its own, else the worst of relatives.

    A relative counts only where it is to be kept from the agent: nothing is called borne because
    a relative bears it.
    """
    of_kind = host.find(f"tolerance.{name}")
    if of_kind is not None:
        return of_kind
    read_across = (relative.find(f"tolerance.{name}") for relative in _relatives(facts, host))
    return next(
        (claim for claim in read_across if claim is not None and claim.value == AVOID), None
    )


def tolerance(facts: Knowledge, host: Host, classes: tuple[str, ...]) -> str:
    """Return the worst verdict over the classes; not known where there is none."""
    claims = [told_of(facts, host, name) for name in classes]
    verdicts = [NOT_KNOWN if claim is None else str(claim.value) for claim in claims]
    return min(verdicts or [NOT_KNOWN], key=WORST_FIRST.index)


def unnamed_tolerance(facts: Knowledge, agent: Agent, living: Living, water: str | None) -> str:
    """Return what a class of life bears that is told of without its kinds.

    Args:
        facts: what is known.
        agent: the agent.
        living: invertebrates or plants.
        water: fresh, brackish or marine; None when not known.
    """
    claim = class_effect(facts, agent.id, CLASS_OF[living])
    effect = None if claim is None else str(claim.value)
    if effect in HURT:
        return AVOID
    classes = host_classes(facts, agent)
    kinds = [
        host
        for host in facts.hosts.values()
        if living_kind(host) is living and water in (None, BETWEEN, host.water)
    ]
    if kinds and all(tolerance(facts, host, classes) == AVOID for host in kinds):
        return AVOID
    return NOT_KNOWN if effect is None else TOLERANT if effect == SPARED else CARE


def spares_animals(agent: Agent) -> bool:
    """Whether the agent's own file says that it harms no animal it could be given to."""
    claim = agent.find("effect.hosts")
    return claim is not None and str(claim.value) == SPARED


def most_borne(
    facts: Knowledge, agent: Agent, route: str, group: StockGroup, usual_mg_l: float | None
) -> Iterator[tuple[float, Claim]]:
    """Yield (strength [mg/L on the agent's basis], claim) that is printed as the most for a group.

    Args:
        facts: what is known.
        agent: the agent.
        route: prolonged, bath, dip or feed.
        group: the animals.
        usual_mg_l: the upper end of what is usual by this route [mg/L]; None when not known.
    """
    host = None if group.host_id is None else facts.hosts.get(group.host_id)
    if host is None:
        return
    for name in host_classes(facts, agent):
        share = _told_or_read(facts, host, name, f"dose_share.{name}")
        if share is not None and usual_mg_l is not None:
            yield share.number() * usual_mg_l, share
        bath = host.find(f"most_bath.{name}") if route in BATHS else None
        most = bath or _told_or_read(facts, host, name, f"most.{name}")
        factor = None if most is None else on_basis(facts, agent.id, most.basis)
        if most is not None and factor is not None:
            scale = MG_PER_G if most.unit == SALINITY_UNIT else 1
            yield most.bounds()[1] * scale * factor, most


@lru_cache(maxsize=_KEPT)
def _told_or_read(facts: Knowledge, host: Host, name: str, short: str) -> Claim | None:
    """Return a host's own claim; where nothing is known of it in this class, the relatives' least.

    "Nothing" means neither the claim nor a tolerance: who has one of its own was judged by itself.
    """
    of_kind = host.find(short)
    if of_kind is not None or host.find(f"tolerance.{name}") is not None:
        return of_kind
    read_across = [
        c for relative in _relatives(facts, host) if (c := relative.find(short)) is not None
    ]
    return min(read_across, key=lambda claim: claim.bounds()[1], default=None)


def _relatives(facts: Knowledge, host: Host) -> Iterator[Host]:
    """Yield the other hosts of the same kind in trade terms."""
    for other in facts.hosts.values():
        if other.id != host.id and other.group == host.group:
            yield other
