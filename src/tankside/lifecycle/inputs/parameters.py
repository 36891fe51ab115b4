"""Which parameters a forecast needs, where each history's value of a claim comes from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims.organism import NEEDED, DurationLaw, LifeStage, Organism, Place, StageKind
from tankside.errors import NotPossible
from tankside.lifecycle.inputs.types import Draws, Floats


def missing_parameters(organism: Organism) -> dict[str, str]:
    """Return the claim keys without which no forecast can be run, with the reason for each."""
    lacking = dict(organism.missing)
    if not organism.stages:
        lacking |= {k: c.unknown_because for k, c in organism.claims.items() if not c.known}
        lacking.setdefault("stages", "no stages are described with figures")
    for stage in organism.stages:
        wanted = list(NEEDED[stage.kind])
        if stage.kind is StageKind.TIMED and stage.law is DurationLaw.DEGREES:
            wanted.append("residence_t0")
        if stage.kind is StageKind.TIMED and stage.law is DurationLaw.Q10:
            wanted += ["residence_q10", "residence_ref_c"]
        for quantity in wanted:
            key = f"{stage.key}.{quantity}"
            if not organism.known(key):
                claim = organism.claims.get(key)
                lacking[key] = claim.unknown_because if claim else "no figure recorded"
    return lacking


def require_parameters(organism: Organism) -> None:
    """Refuse a forecast for an organism without parameters.

    Raises:
        NotPossible: E-FC-02, naming the missing parameters.
    """
    lacking = missing_parameters(organism)
    if lacking:
        raise NotPossible(
            "E-FC-02",
            f"No forecast for {organism.name}: {len(lacking)} figures are missing.",
            given=organism.id,
            needed="; ".join(f"{key} ({why})" for key, why in sorted(lacking.items())),
            next_step="Use the dates that print supports, and ask for a count at each check.",
        )


def number(organism: Organism, key: str, otherwise: float) -> float:
    """Return a claim's number, or the other value when it states none."""
    return organism.claims[key].number() if organism.known(key) else otherwise


def lies_loose(organism: Organism, stage: LifeStage) -> float:
    """Return the part of a bottom stage that a siphon lifts: all, unless a claim says less.

    ``<stage>.siphoned_share`` is 0 for eggs that are glued to stone and glass.
    """
    return number(organism, f"{stage.key}.siphoned_share", 1.0)


@dataclass(frozen=True, slots=True)
class Parts:
    """The stages of an organism by the part they play in the loop."""

    timed_host: LifeStage | None
    rated_host: LifeStage | None
    bottom: tuple[LifeStage, ...]
    seeking: LifeStage | None

    @property
    def slots(self) -> tuple[tuple[str, ...], ...]:
        """Stage keys by slot: on the fish, each bottom stage, in the water."""
        host = tuple(s.key for s in (self.timed_host, self.rated_host) if s)
        water = (self.seeking.key,) if self.seeking else ()
        return (host, *((s.key,) for s in self.bottom), water)


def parts_of(organism: Organism) -> Parts:
    """Sort the stages of an organism into the parts of the loop.

    Raises:
        NotPossible: the shape is not one the loop knows (E-FC-02).
    """
    timed = [s for s in organism.at(Place.HOST) if s.kind is StageKind.TIMED]
    rated = [s for s in organism.at(Place.HOST) if s.kind is StageKind.RATED]
    seeking = [s for s in organism.at(Place.WATER) if s.kind is StageKind.SEEKING]
    if len(timed) > 1 or len(rated) > 1 or len(seeking) > 1 or not timed + rated:
        raise NotPossible(
            "E-FC-02",
            f"The life cycle of {organism.name} has a shape the forecast does not know.",
            given=organism.id,
            needed="at most one timed and one rated stage on the fish, one seeking stage",
            next_step="Use the dates that print supports, and ask for a count at each check.",
        )
    return Parts(
        timed[0] if timed else None,
        rated[0] if rated else None,
        organism.at(Place.BOTTOM),
        seeking[0] if seeking else None,
    )


@dataclass(frozen=True, slots=True)
class Values:
    """Values of claims over the histories: the drawn column, or the stated number."""

    organism: Organism
    draws: Draws
    histories: int

    def known(self, key: str) -> bool:
        """Whether the claim states a number."""
        return self.organism.known(key)

    def of(self, key: str, otherwise: float | None = None) -> Floats:
        """Return the claim's value in each history, shape (R,).

        Args:
            key: short claim key.
            otherwise: value when the claim is not recorded.

        Raises:
            KeyError: the claim is not recorded and there is no other value.
        """
        if key in self.draws.keys:
            return self.draws.column(key)[: self.histories]
        if self.known(key):
            return np.full(self.histories, self.organism.claims[key].number())
        if otherwise is None:
            raise KeyError(key)
        return np.full(self.histories, otherwise)
