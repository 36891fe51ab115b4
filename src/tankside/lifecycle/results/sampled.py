"""What a forecast samples: every claim with its range or its weighted rivals, and its source."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims import Claim
from tankside.claims.organism import Organism
from tankside.lifecycle.inputs.claim_sampling import choices_of, is_logarithmic, varies
from tankside.lifecycle.results.sensitivity import in_use


@dataclass(frozen=True, slots=True)
class Among:
    """One of the rival claims a history may use.

    Args:
        claim: with its range and source.
        weight: part of the histories that use it.
    """

    claim: Claim
    weight: float


@dataclass(frozen=True, slots=True)
class Sampled:
    """One dimension of what is sampled.

    Args:
        key: of the claim.
        low: lowest value any history may use.
        high: highest value any history may use.
        unit: of both.
        logarithmic: whether it is spread evenly by ratio and not by difference.
        among: the claims it is taken from, the default first; one unless rivals have weights.
        in_use: whether it can move the parasite in this course.
    """

    key: str
    low: float
    high: float
    unit: str
    logarithmic: bool
    among: tuple[Among, ...]
    in_use: bool

    @property
    def claim(self) -> Claim:
        """The default claim."""
        return self.among[0].claim


def sampled_claims(
    organism: Organism, factors: tuple[str, ...], idle: tuple[str, ...] = ()
) -> tuple[Sampled, ...]:
    """Return every claim of an organism that is sampled, by key.

    Args:
        organism: the parasite with its claims.
        factors: what kills or feeds in the course, from :func:`.sensitivity.acting`.
        idle: what nothing calls upon, from :func:`.sensitivity.idle`.
    """
    rows = []
    for key in sorted(organism.claims):
        claims = choices_of(organism, key)
        if not claims or not varies(claims):
            continue
        stated = [float(claim.conditions.get("weight", "1")) for claim in claims]
        among = tuple(Among(c, w / sum(stated)) for c, w in zip(claims, stated, strict=True))
        ends = [claim.bounds() for claim in claims]
        rows.append(
            Sampled(
                key=key,
                low=min(low for low, _ in ends),
                high=max(high for _, high in ends),
                unit=claims[0].unit,
                logarithmic=is_logarithmic(claims[0]),
                among=among,
                in_use=in_use(key, factors, idle),
            )
        )
    return tuple(rows)
