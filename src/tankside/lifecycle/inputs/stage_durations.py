"""How long each part of a life cycle lasts at one temperature: low, middle and high, in days."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from tankside.claims.organism import DurationLaw, LifeStage, Organism, Place, StageKind
from tankside.errors import NotPossible
from tankside.lifecycle.inputs.clocks import linear_factor, q10_factor
from tankside.lifecycle.inputs.types import Range
from tankside.quantity.per import HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class StageDurations:
    """Durations of the stages of a life cycle at one temperature, in days, as (low, middle, high).

    ``on_fish`` is the residence time on the fish, ``bottom`` that on the bottom until release,
    ``cycle`` release to release through both. Where the parasite never leaves the fish
    (``breeds_on_fish``) ``on_fish`` and ``cycle`` are the mean life there and ``bottom`` is 0.
    The high end of ``cycle`` is what "not before" adds to the day a parasite was last seen.
    Settling, free life and the lag until a spot can be seen are not in it.
    """

    temperature_c: float
    on_fish: Range
    bottom: Range
    cycle: Range
    breeds_on_fish: bool = False

    @property
    def cycle_words(self) -> str:
        """What ``cycle`` is, in plain words."""
        return (
            "one life on the fish" if self.breeds_on_fish else "one cycle from release to release"
        )

    @property
    def left_out(self) -> str:
        """What ``cycle`` leaves out, as a sentence."""
        if self.breeds_on_fish:
            return (
                "It breeds on the fish, so a few that were overlooked grow back: a clean look on "
                "that very day is the first of several."
            )
        return (
            "Settling, free life and the days until anything shows are not in it, so a clean "
            "look on that very day cannot yet see the next generation."
        )

    def rows(self) -> tuple[tuple[str, Range], ...]:
        """Return the durations with a name in plain words."""
        if self.breeds_on_fish:
            return ((self.cycle_words, self.cycle),)
        return (
            ("on the fish", self.on_fish),
            ("on the bottom until release", self.bottom),
            ("release to release", self.cycle),
        )


def stage_durations(organism: Organism, temperature_c: float) -> StageDurations:
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
        NotPossible: no stage of this organism has a residence time or life span (E-FC-02).
    """
    timed = [
        stage
        for stage in organism.stages
        if stage.kind is StageKind.TIMED and organism.known(f"{stage.key}.residence")
    ]
    rated = [s for s in organism.stages if s.kind is StageKind.RATED and s.place is Place.HOST]
    if not timed and rated and organism.known(f"{rated[0].key}.loss_per_d"):
        life = life_days(organism, rated[0], temperature_c)
        return StageDurations(temperature_c, life, (0.0, 0.0, 0.0), life, breeds_on_fish=True)
    if not timed:
        raise NotPossible(
            "E-FC-02",
            f"No figure says how long a stage of {organism.name} lasts.",
            given=organism.id,
            needed="a stay on the fish or on the bottom, with its source",
            next_step="Follow the dates in print for this organism, or ask a specialist.",
        )
    on_fish = _total(organism, [s for s in timed if s.place is Place.HOST], temperature_c)
    bottom = _total(organism, [s for s in timed if s.place is Place.BOTTOM], temperature_c)
    cycle = (on_fish[0] + bottom[0], on_fish[1] + bottom[1], on_fish[2] + bottom[2])
    return StageDurations(temperature_c, on_fish, bottom, cycle)


def residence_days(organism: Organism, stage: LifeStage, temperature_c: float) -> Range:
    """Return (low, middle, high) of the residence time in one timed stage [d].

    Degree law: time = k / (T - t0), infinite at or below t0. Q10 law: time at the reference
    temperature over q10 ** ((T - ref) / 10).
    """
    claim = organism.claims[f"{stage.key}.residence"]
    hours = claim.unit.startswith("h")
    divisor = HOURS_PER_DAY if hours else 1.0
    if stage.law is DurationLaw.DEGREES:
        warmth = temperature_c - organism.claims[f"{stage.key}.residence_t0"].number()
        if warmth <= 0:
            return (inf, inf, inf)
        divisor *= warmth
    if stage.law is DurationLaw.Q10:
        q10 = organism.claims[f"{stage.key}.residence_q10"].number()
        reference = organism.claims[f"{stage.key}.residence_ref_c"].number()
        divisor *= float(q10_factor(q10, reference, np.asarray(temperature_c)))
    low, high = claim.bounds()
    return (low / divisor, claim.number() / divisor, high / divisor)


def life_days(organism: Organism, stage: LifeStage, temperature_c: float) -> Range:
    """Return (low, middle, high) of the mean life of a stage that lives by rates [d].

    Mean life = 1 / loss, loss following temperature in a line from a start or by Q10, as in the
    histories; infinite where nothing is lost.
    """
    key = f"{stage.key}.loss_per_d"
    here = np.asarray(temperature_c)
    speed = 1.0
    if organism.known(f"{key}.ref_c"):
        reference = organism.claims[f"{key}.ref_c"].number()
        if organism.known(f"{key}.t0"):
            start = organism.claims[f"{key}.t0"].number()
            speed = float(linear_factor(start, reference, here))
        elif organism.known(f"{key}.q10"):
            speed = float(q10_factor(organism.claims[f"{key}.q10"].number(), reference, here))
    claim = organism.claims[key]
    low, high = claim.bounds()
    fast, middle, slow = (rate * speed for rate in (high, claim.number(), low))
    return (_over(fast), _over(middle), _over(slow))


def free_life_days(organism: Organism, stage: LifeStage, temperature_c: float) -> Range | None:
    """Return (low, middle, high) of the life of a stage that seeks a fish and meets none [d].

    Median life, over q10 ** ((T - ref) / 10) where that is in print, as in the histories.

    Args:
        organism: the parasite with its claims.
        stage: a seeking stage.
        temperature_c: measured water temperature [C].

    Returns:
        None where no figure says how long it lives.
    """
    key = f"{stage.key}.life"
    if not organism.known(key):
        return None
    claim, divisor = organism.claims[key], 1.0
    if claim.unit.startswith("h"):
        divisor = HOURS_PER_DAY
    if organism.known(f"{key}_q10"):
        q10 = organism.claims[f"{key}_q10"].number()
        reference = organism.claims[f"{key}_ref_c"].number()
        divisor *= float(q10_factor(q10, reference, np.asarray(temperature_c)))
    low, high = claim.bounds()
    return (low / divisor, claim.number() / divisor, high / divisor)


def _over(rate: float) -> float:
    return 1 / rate if rate > 0 else inf


def _total(organism: Organism, stages: list[LifeStage], temperature_c: float) -> Range:
    low = middle = high = 0.0
    for stage in stages:
        if not stage.in_cycle:
            continue
        residence = residence_days(organism, stage, temperature_c)
        low, middle, high = low + residence[0], middle + residence[1], high + residence[2]
    return (low, middle, high)
