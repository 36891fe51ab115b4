"""What kills which stage: agents in water, bath or feed, and the water's own salt and heat.

Every parameter is a claim of the organism. ``kill.<driver>.<stage>`` and ``feed.<agent>.<stage>``
hold ``hours`` and ``steepness`` beside the half-kill level (its name says the unit), or a
``ratio`` to the level of another stage. A driver is an agent, or one of :data:`WATER`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import inf
from types import MappingProxyType

import numpy as np

from tankside.claims import setting
from tankside.claims.organism import Organism, Place
from tankside.course.bodies.tank_hours import BodyHours, Channel, Hourly, TankHours
from tankside.lifecycle.inputs.parameters import Parts, Values, lies_loose
from tankside.lifecycle.inputs.types import Floats
from tankside.quantity.per import MG_PER_G

KILL, FEED = "kill", "feed"
FRESH = "low_salinity"
AGENT_LEVEL, FEED_LEVEL = "lc50_mg_l", "half_mg_kg_d"
FRESHEST = setting(0.1, "g/L, the salt of fresh water, so that it can stand in a denominator")


@dataclass(frozen=True, slots=True)
class FromWater:
    """A driver that is the state of the water itself.

    ``level`` names the half-kill claim; ``inverse`` says that less is worse.
    """

    level: str
    inverse: bool
    read: Callable[[BodyHours], Hourly]


WATER: Mapping[str, FromWater] = MappingProxyType(
    {
        "heat": FromWater("half_c", False, lambda body: body.temperature_c),
        FRESH: FromWater("half_g_l", True, lambda body: body.salinity_g_l),
        "sodium_chloride": FromWater(
            AGENT_LEVEL, False, lambda body: np.asarray(body.salinity_g_l * MG_PER_G)
        ),
    }
)


@dataclass(frozen=True, slots=True)
class DoseLaw:
    """How strength and contact decide whether the parameter applies.

    ``q10`` and ``ref_c``: the half-kill level falls by this factor per 10 degrees above the
    reference; outside ``from_c`` to ``to_c`` nothing is on record, and the nearer end is taken.
    ``harmless``: no effect at this strength or weaker (for less-is-worse drivers: at
    this level or above). ``contact_h``: the strength that counts is the weakest of the last so
    many hours, because a shorter contact is known to do nothing.
    """

    q10: float = 1.0
    ref_c: float = 0.0
    from_c: float = -inf
    to_c: float = inf
    harmless: float = 0.0
    contact_h: float = 0.0


@dataclass(frozen=True, slots=True)
class Reach:
    """One stage that a factor reaches: its slot, its key, and the stem of its parameters."""

    slot: int
    stage: str
    stem: str
    parameters: str


@dataclass(frozen=True, slots=True)
class MortalityFactor:
    """One thing that kills, under one law, and the stages it reaches that way."""

    kind: str
    driver: str
    law: DoseLaw
    reaches: tuple[Reach, ...]

    @property
    def level(self) -> str:
        """Return the name of the half-kill claim."""
        return level_of(self.kind, self.driver)

    @property
    def inverse(self) -> bool:
        """Whether less of the driver is worse."""
        return self.kind == KILL and self.driver in WATER and WATER[self.driver].inverse


def level_of(kind: str, driver: str) -> str:
    """Return the name of the half-kill claim of a driver."""
    if kind == FEED:
        return FEED_LEVEL
    return WATER[driver].level if driver in WATER else AGENT_LEVEL


def parameters_of(organism: Organism, kind: str, driver: str, stage: str) -> str:
    """Return the stem of the half-kill parameters of a stage: its own, or another's by a ratio.

    Returns:
        The stem, "" when no parameter applies.
    """
    level = level_of(kind, driver)
    if organism.known(f"{kind}.{driver}.{stage}.{level}"):
        return f"{kind}.{driver}.{stage}"
    if organism.known(f"{kind}.{driver}.{stage}.ratio"):
        for other in organism.stages:
            if organism.known(f"{kind}.{driver}.{other.key}.{level}"):
                return f"{kind}.{driver}.{other.key}"
    return ""


def anything_acts(organism: Organism) -> bool:
    """Whether any course can do something to it: a figure of a kill or feed, or a loose stage."""
    figures = any(
        claim.known and key.startswith((f"{KILL}.", f"{FEED}."))
        for key, claim in organism.claims.items()
    )
    return figures or any(lies_loose(organism, s) > 0 for s in organism.at(Place.BOTTOM))


def mortality_factors_of(
    organism: Organism, parts: Parts, tank_hours: TankHours
) -> tuple[MortalityFactor, ...]:
    """Return the mortality factors of this organism in these hours, by the drivers' names."""
    factors: list[MortalityFactor] = []
    for kind, driver in sorted(set(drivers(tank_hours)), key=lambda pair: pair[::-1]):
        by_law: dict[DoseLaw, list[Reach]] = {}
        for slot, keys in enumerate(parts.slots):
            for key in keys:
                parameters = parameters_of(organism, kind, driver, key)
                if parameters:
                    stem = f"{kind}.{driver}.{key}"
                    law = _law(organism, stem, parameters)
                    by_law.setdefault(law, []).append(Reach(slot, key, stem, parameters))
        factors.extend(
            MortalityFactor(kind, driver, law, tuple(reached)) for law, reached in by_law.items()
        )
    return tuple(factors)


def drivers(tank_hours: TankHours) -> Iterator[tuple[str, str]]:
    """Yield (kind, driver) of everything that is in the hours: agents, feeds, the water itself."""
    for name in WATER:
        yield KILL, name
    for event in tank_hours.events:
        if event.agent:
            yield (FEED if event.channel is Channel.FEED else KILL), event.agent
    for stratum in tank_hours.strata:
        for body in stratum.bodies:
            for agent, strength in body.residue_high_mg_l.items():
                if np.any(strength > 0):
                    yield KILL, agent


def _law(organism: Organism, stem: str, parameters: str) -> DoseLaw:
    def state(name: str, otherwise: float) -> float:
        for key in (f"{stem}.{name}", f"{parameters}.{name}"):
            if organism.known(key):
                return organism.claims[key].number()
        return otherwise

    plain = DoseLaw()
    return DoseLaw(
        state("q10", plain.q10),
        state("ref_c", plain.ref_c),
        state("from_c", plain.from_c),
        state("to_c", plain.to_c),
        state("harmless", plain.harmless),
        state("contact_h", plain.contact_h),
    )


def kill_hours(organism: Organism, factors: tuple[MortalityFactor, ...], slots: int) -> Floats:
    """Return the exposure time behind each factor's kill of each slot, 0 out of its reach."""
    hours = np.zeros((len(factors), slots))
    for a, factor in enumerate(factors):
        for reach in factor.reaches:
            hours[a, reach.slot] = organism.claims[f"{reach.parameters}.hours"].number()
    return hours


def half_kills(
    values: Values, factors: tuple[MortalityFactor, ...], slots: int
) -> tuple[Floats, Floats]:
    """Return half-kill strengths and steepness by history, factor and slot.

    Where less is worse the strength is one over the level, so the half-kill strength is too.
    """
    middle = np.zeros((values.histories, len(factors), slots))
    steepness = np.ones_like(middle)
    for a, factor in enumerate(factors):
        for reach in factor.reaches:
            half = values.of(f"{reach.parameters}.{factor.level}")
            if reach.parameters != reach.stem:
                half = half * values.of(f"{reach.stem}.ratio")
            middle[:, a, reach.slot] = 1 / half if factor.inverse else half
            steepness[:, a, reach.slot] = values.of(f"{reach.parameters}.steepness", 1.0)
    return middle, steepness
