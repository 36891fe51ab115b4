"""The whole of what is known, looked up by key; immutable, no files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from tankside.claims.agent import Agent
from tankside.claims.care import CareProtocol
from tankside.claims.claim import Claim, Source
from tankside.claims.diagnosis import Condition, FindingFacts
from tankside.claims.host import Host
from tankside.claims.organism import Organism

_EMPTY: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Rivals:
    """Claims that stand side by side under one key.

    Args:
        key: the key they share.
        default: the one used unless another is asked for.
        others: the ones it stands beside.
        why: why the default is the default ("" when it stands alone).
        rejected: claims kept only to say why they are not used.
    """

    key: str
    default: Claim | None
    others: tuple[Claim, ...]
    why: str
    rejected: tuple[Claim, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Knowledge:
    """Every claim and every source, with the subjects they speak of.

    Two sets are the same only when they are one object: answers are kept by it, and comparing
    thousands of claims each time such an answer is looked up would cost more than the answer.

    Args:
        facts: claims by full key; the default first, then its rivals.
        sources: works by key.
        rejected: claims that are kept but never used, by full key.
        agents: treatment agents by id.
        hosts: animals and plants by id.
        organisms: parasites by id (``claims.organism``).
        conditions: causes of disease by id (``claims.diagnosis``).
        findings: observations by id (``claims.diagnosis``).
        care: protocols of care by id (``claims.care``).
        altered: knowledge files that are not as they were released, by their path.
        overlay: what this practice added, by full key, whether it bears on an answer or only
            stands beside.
        overlay_print: fingerprint of what this practice added; "" when there is nothing.
        labels: containers that this practice keeps, by id, as words of an entry.
    """

    facts: Mapping[str, tuple[Claim, ...]]
    sources: Mapping[str, Source] = field(default_factory=lambda: _EMPTY)
    rejected: Mapping[str, tuple[Claim, ...]] = field(default_factory=lambda: _EMPTY)
    agents: Mapping[str, Agent] = field(default_factory=lambda: _EMPTY)
    hosts: Mapping[str, Host] = field(default_factory=lambda: _EMPTY)
    organisms: Mapping[str, Organism] = field(default_factory=lambda: _EMPTY)
    conditions: Mapping[str, Condition] = field(default_factory=lambda: _EMPTY)
    findings: Mapping[str, FindingFacts] = field(default_factory=lambda: _EMPTY)
    care: Mapping[str, CareProtocol] = field(default_factory=lambda: _EMPTY)
    altered: frozenset[str] = frozenset()
    overlay: Mapping[str, tuple[Claim, ...]] = field(default_factory=lambda: _EMPTY)
    overlay_print: str = ""
    labels: Mapping[str, Mapping[str, str]] = field(default_factory=lambda: _EMPTY)

    def __repr__(self) -> str:
        """Say how much there is: written out it would fill thousands of pages."""
        return f"<Knowledge: {len(self.facts)} facts from {len(self.sources)} works>"

    def claim(self, key: str) -> Claim:
        """Return the default claim under a key (it may say that the value is unknown).

        Raises:
            KeyError: nothing is recorded under the key.
        """
        return self.facts[key][0]

    def words_under(self, begins: str) -> dict[str, str]:
        """Return what the claims below a key say, by the last part of their keys."""
        below = f"{begins}."
        return {
            key.removeprefix(below): str(claims[0].value)
            for key, claims in self.facts.items()
            if key.startswith(below)
        }

    def find(self, key: str) -> Claim | None:
        """Return the default claim when it states something, else None."""
        recorded = self.facts.get(key)
        return recorded[0] if recorded and recorded[0].known else None

    def released(self, key: str) -> Claim | None:
        """Return the default claim as released, whatever this practice added beside it."""
        recorded = (claim for claim in self.facts.get(key, ()) if not claim.overlay)
        claim = next(recorded, None)
        return claim if claim is not None and claim.known else None

    def number(self, key: str) -> float:
        """Return the number of the default claim.

        Raises:
            KeyError: nothing is recorded under the key.
            TypeError: the claim is unknown or textual.
        """
        return self.claim(key).number()

    def bounds(self, key: str) -> tuple[float, float]:
        """Return (low, high) of the default claim; raises like ``number``."""
        return self.claim(key).bounds()

    def rivals(self, key: str) -> Rivals:
        """Return all claims under a key: the default, the others, and why.

        Raises:
            KeyError: nothing is recorded under the key, not even a rejected claim.
        """
        recorded = self.facts.get(key, ())
        holding = {claim.overlay for claim in recorded}
        aside = [c for c in self.overlay.get(key, ()) if c.overlay not in holding]
        refused = self.rejected.get(key, ())
        if not recorded and not refused and not aside:
            raise KeyError(key)
        if not recorded:
            return Rivals(key, None, tuple(aside), "", refused)
        others = (*recorded[1:], *aside)
        return Rivals(key, recorded[0], others, recorded[0].why_default, refused)

    def source(self, key: str) -> Source:
        """Return a work by its key.

        Raises:
            KeyError: the work is not in the register.
        """
        return self.sources[key]

    def keys(self) -> tuple[str, ...]:
        """Return every key with at least one usable or explicitly unknown claim, sorted."""
        return tuple(sorted(self.facts))
