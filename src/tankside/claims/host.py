"""A kind of animal or plant kept in the tank, and every claim about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.claims.claim import Claim

NOT_KNOWN = "not_known"


@dataclass(frozen=True, slots=True)
class Host:
    """A species or group with its claims.

    Args:
        id: Latin name in snake case, or a group name; full keys start with ``host.<id>.``.
        name: common name in the trade.
        latin: scientific name ("" for a group).
        group: kind of animal or plant in trade terms ("tetra", "shrimp", "plant").
        water: fresh, brackish or marine.
        claims: claims by short key, default first.
        also: other names keepers use for it, breeds included.
    """

    id: str
    name: str
    latin: str
    group: str
    water: str
    claims: Mapping[str, tuple[Claim, ...]]
    also: tuple[str, ...] = ()

    def __hash__(self) -> int:
        """Return the same number for equal hosts, so that answers can be kept by them."""
        return hash(self.id)

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

    def tolerance(self, host_class: str) -> str:
        """Return how it bears the ordinary dose of an agent class.

        Returns:
            tolerant, care, avoid or not_known. Not known is never safe: treat it as care.
        """
        claim = self.find(f"tolerance.{host_class}")
        return NOT_KNOWN if claim is None else str(claim.value)

    def temperature_range_c(self) -> tuple[float, float] | None:
        """Return the husbandry temperature range [deg C]; None when an edge is not known."""
        low, high = self.find("temperature_low"), self.find("temperature_high")
        return None if low is None or high is None else (low.number(), high.number())
