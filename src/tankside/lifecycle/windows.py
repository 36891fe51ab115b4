"""How long each part of a life cycle lasts at one temperature: low, middle and high, in days."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from tankside.claims.organism import Kind, Law, Organism, Place, Stage
from tankside.errors import NotPossible
from tankside.lifecycle.clocks import q10_factor
from tankside.lifecycle.types import HOURS_PER_DAY, Range


@dataclass(frozen=True, slots=True)
class Windows:
    """Time windows of a life cycle at one temperature, in days, as (low, middle, high).

    ``on_fish`` is the stay on the fish, ``bottom`` the stay on the bottom until release,
    ``cycle`` release to release through both. The high end of ``cycle`` is what "not before"
    adds to the day a parasite was last seen. Settling, free life and the lag until a spot can
    be seen are not in it.
    """

    temperature_c: float
    on_fish: Range
    bottom: Range
    cycle: Range

    def rows(self) -> tuple[tuple[str, Range], ...]:
        """Return the windows with a name in plain words."""
        return (
            ("on the fish", self.on_fish),
            ("on the bottom until release", self.bottom),
            ("release to release", self.cycle),
        )


def windows(organism: Organism, temperature_c: float) -> Windows:
    """Return how long the stages of this organism last at a constant temperature.

    The ends are the low and high of the residence claims (the slow end of white spot is
    K = 140 degree-days on the fish and +30 % in the cyst), not a combination of every
    uncertainty.

    Args:
        organism: the parasite with its claims.
        temperature_c: measured water temperature [C].

    Returns:
        Windows in days; infinite where the stage does not develop at this temperature.

    Raises:
        NotPossible: no stage of this organism has a stay with a printed figure (E-FC-02).
    """
    timed = [
        stage
        for stage in organism.stages
        if stage.kind is Kind.TIMED and organism.known(f"{stage.key}.residence")
    ]
    if not timed:
        raise NotPossible(
            "E-FC-02",
            f"No figure says how long a stage of {organism.name} lasts.",
            needed="a stay on the fish or on the bottom, with its source",
            next_step="Follow the dates in print for this organism, or ask a specialist.",
        )
    on_fish = _total(organism, [s for s in timed if s.place is Place.HOST], temperature_c)
    bottom = _total(organism, [s for s in timed if s.place is Place.BOTTOM], temperature_c)
    cycle = (on_fish[0] + bottom[0], on_fish[1] + bottom[1], on_fish[2] + bottom[2])
    return Windows(temperature_c, on_fish, bottom, cycle)


def stay_days(organism: Organism, stage: Stage, temperature_c: float) -> Range:
    """Return (low, middle, high) of the stay in one timed stage [d].

    Degree law: stay = k / (T - t0), infinite at or below t0. Q10 law: stay at the reference
    temperature over q10 ** ((T - ref) / 10).
    """
    claim = organism.claims[f"{stage.key}.residence"]
    hours = claim.unit.startswith("h")
    divisor = HOURS_PER_DAY if hours else 1.0
    if stage.law is Law.DEGREES:
        warmth = temperature_c - organism.claims[f"{stage.key}.residence_t0"].number()
        if warmth <= 0:
            return (inf, inf, inf)
        divisor *= warmth
    if stage.law is Law.Q10:
        q10 = organism.claims[f"{stage.key}.residence_q10"].number()
        reference = organism.claims[f"{stage.key}.residence_ref_c"].number()
        divisor *= float(q10_factor(q10, reference, np.asarray(temperature_c)))
    low, high = claim.bounds()
    return (low / divisor, claim.number() / divisor, high / divisor)


def _total(organism: Organism, stages: list[Stage], temperature_c: float) -> Range:
    low = middle = high = 0.0
    for stage in stages:
        if not stage.in_cycle:
            continue
        stay = stay_days(organism, stage, temperature_c)
        low, middle, high = low + stay[0], middle + stay[1], high + stay[2]
    return (low, middle, high)
