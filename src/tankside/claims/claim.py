"""One cited fact, and the words that say how far to trust it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

_NOTHING: Mapping[str, str] = MappingProxyType({})


THIS_PRACTICE = "this practice's own"
"""Source and mark of what a practice added to what was released."""


class Provenance(StrEnum):
    """Where a number comes from."""

    FOUND = "found"
    MEMORY = "memory"
    COMMON_PRACTICE = "common_practice"
    ESTIMATE = "estimate"


class Confidence(StrEnum):
    """How faithfully the number reflects a direct source."""

    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"


@dataclass(frozen=True, slots=True)
class Source:
    """A published work, registered once and referred to by key."""

    key: str
    citation: str
    doi: str = ""
    where: str = ""
    status: Provenance = Provenance.FOUND
    note: str = ""


@dataclass(frozen=True, slots=True)
class Claim:
    """A cited fact: what is said, for which conditions, by whom, and how surely.

    ``value`` is None when the source prints only a range, or when nothing is known;
    ``unknown_because`` then says why. ``low`` and ``high`` bound what may be sampled; they
    equal ``value`` when absent. A claim with ``rejected_because`` is kept so that nobody
    takes it in again; lookup never returns it. ``further`` names more works that
    say the same as ``source``. ``overlay`` is the file of this practice's own folder that holds it,
    "" for what was released; ``beside`` says in words what stands beside it from the other.
    """

    key: str
    value: float | str | None
    unit: str
    provenance: Provenance
    confidence: Confidence
    low: float | None = None
    high: float | None = None
    source: str = ""
    further: tuple[str, ...] = ()
    place: str = ""
    evidence: str = ""
    study_size: str = ""
    basis: str = ""
    conditions: Mapping[str, str] = field(default_factory=lambda: _NOTHING)
    default: bool = False
    why_default: str = ""
    unknown_because: str = ""
    rejected_because: str = ""
    note: str = ""
    overlay: str = ""
    beside: str = ""

    @property
    def known(self) -> bool:
        """Whether a value or at least one edge of a range is stated."""
        return self.value is not None or self.low is not None or self.high is not None

    def number(self) -> float:
        """Return the value as a number; where only a range is printed, its middle.

        Raises:
            TypeError: the claim is unknown or textual, which is a fault of the caller.
        """
        if self.value is None:
            edges = [edge for edge in (self.low, self.high) if edge is not None]
            if edges:
                return sum(edges) / len(edges)
        if isinstance(self.value, bool) or not isinstance(self.value, int | float):
            raise TypeError(f"claim {self.key} holds no number: {self.value!r}")
        return float(self.value)

    def bounds(self) -> tuple[float, float]:
        """Return (low, high), each falling back to the value."""
        middle = self.number()
        return (
            middle if self.low is None else self.low,
            middle if self.high is None else self.high,
        )
