"""A treatment agent: a substance or physical method, and every claim about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.claims.claim import Claim

_ROUTE_PREFIX = "dose."


@dataclass(frozen=True, slots=True)
class AgentName:
    """Another name of an agent; products have none here.

    Args:
        name: as it is written.
        kind: generic, common, systematic, formula or cas (number of the substance).
        form: the form that the name tells ("as CuSO4.5H2O"); "" when it leaves the form open.
        language: two letters where it is not English.
        provenance: where the name comes from.
        source: key of a work; "" when it is recalled or common practice.
    """

    name: str
    kind: str
    form: str = ""
    language: str = ""
    provenance: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Agent:
    """A substance or physical method with its claims.

    Args:
        id: generic substance name in snake case; the claims' full keys start with
            ``agent.<id>.``.
        name: name to show.
        kind: substance, physical, equipment or evidence_only (described, never offered).
        basis: how its concentration is told everywhere in the program ("as CuSO4.5H2O").
        actives: active substances it brings into the water; overlap is judged on these.
        host_class: which ``tolerance.<class>`` of a host applies; an agent for which hosts hold
            no class names itself, which reads as not known; "" only where no host can be harmed.
        claims: claims by short key (without the ``agent.<id>.`` prefix), default first.
        also: other names of it.
    """

    id: str
    name: str
    kind: str
    basis: str
    actives: tuple[str, ...]
    host_class: str
    claims: Mapping[str, tuple[Claim, ...]]
    also: tuple[AgentName, ...] = ()

    def __hash__(self) -> int:
        """Return the same number for equal agents, so that answers can be kept by them."""
        return hash(self.id)

    @property
    def short_name(self) -> str:
        """The name without what stands in brackets."""
        return self.name.split(" (")[0]

    def claim(self, short: str) -> Claim:
        """Return the default claim for a short key.

        Raises:
            KeyError: nothing is recorded under it.
        """
        return self.claims[short][0]

    def find(self, short: str) -> Claim | None:
        """Return the default claim for a short key when it states something, else None."""
        recorded = self.claims.get(short)
        return recorded[0] if recorded and recorded[0].known else None

    @property
    def offered(self) -> bool:
        """Whether it may be proposed: a substance or method, and nothing says ``not_offered``."""
        described_only = self.kind in ("evidence_only", "equipment")
        return not described_only and self.find("not_offered") is None

    @property
    def routes(self) -> tuple[str, ...]:
        """Routes with a stated dose: prolonged, bath, dip, feed, ... in order of their keys."""
        return tuple(
            short.removeprefix(_ROUTE_PREFIX)
            for short, claims in self.claims.items()
            if short.startswith(_ROUTE_PREFIX) and claims[0].known
        )

    def missing(self, shorts: tuple[str, ...]) -> tuple[str, ...]:
        """Return those short keys under which nothing is stated."""
        return tuple(short for short in shorts if self.find(short) is None)
