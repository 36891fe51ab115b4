"""What must be known, fresh and inside its range before an agent may be weighed out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from tankside.claims import Claim, Knowledge
from tankside.course.amounts.active_forms import find_need, needs_of
from tankside.course.amounts.limits import Around
from tankside.course.amounts.place import unfit_place
from tankside.course.amounts.young import any_young
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.stock import Living, StockGroup, living_of
from tankside.course.bodies.system import System
from tankside.quantity.per import HOURS_PER_DAY

AGE_KEY = "practice.course.age_limit_water_test"
VOLUME_AGE_KEY = "practice.course.age_limit_volume"
VOLUME = "volume"


@dataclass(frozen=True, slots=True)
class Need:
    """One reading an agent depends on: the claim's short key, the field, and which side."""

    short: str
    field: str
    words: str
    unit: str
    at_least: bool


NEEDS = (
    Need("needs.alkalinity_min", "alkalinity_mg_l_caco3", "alkalinity", "mg/L as CaCO3", True),
    Need("needs.oxygen_min", "oxygen_mg_l", "oxygen", "mg/L", True),
    Need("needs.temperature_max", "temperature_c", "temperature", "C", False),
    Need("needs.ph_min", "ph", "pH", "pH", True),
    Need("needs.ph_max", "ph", "pH", "pH", False),
)


@dataclass(slots=True)
class Readings:
    """The readings of one body as they stand at some hour of the course."""

    system: System
    values: dict[str, float]
    read_at_h: dict[str, float]

    @classmethod
    def at_start(cls, system: System) -> Readings:
        """Return what is known at hour 0; a reading without a time counts as taken then."""
        names = {need.field for need in NEEDS}
        readings = {n: getattr(system, n) for n in names if getattr(system, n) is not None}
        return cls(system, readings, {n: system.read_at_h.get(n, 0.0) for n in readings})

    def take(self, hour: int, values: Mapping[str, float]) -> None:
        """Enter readings taken during the course."""
        for name, value in values.items():
            self.values[name] = value
            self.read_at_h[name] = float(hour)


def around(facts: Knowledge, readings: Readings, groups: Sequence[StockGroup]) -> Around:
    """Return what limits may depend on; ``young`` is None while the age of any is unknown."""
    return Around(
        readings.values.get("temperature_c"),
        readings.values.get("alkalinity_mg_l_caco3"),
        any_young(facts, groups),
        readings.system.water,
        tuple(groups),
    )


def unmet(
    facts: Knowledge,
    agent: str,
    agent_name: str,
    readings: Readings,
    groups: Sequence[StockGroup],
    hour: int,
) -> Iterator[Caution]:
    """Yield what stands against weighing out ``agent`` now.

    What any form of its active needs counts, the strictest where several say it. A prerequisite
    that is unknown, or was stale when the course was made, blocks (E-DOSE-20); a known one outside
    its range blocks (E-DOSE-25).
    """
    measure = Measure(agent, agent_name, readings.system, hour)
    yield from _volume_too_old(facts, measure)
    for need in NEEDS:
        claim = _strictest(facts, agent, need)
        if claim is not None:
            yield from _check(facts, need, claim, readings, measure)
    alkalinity = NEEDS[0]
    read = alkalinity.field in readings.values
    measured = find_need(facts, agent, "alkalinity_measured")
    if measured is not None and not read and _strictest(facts, agent, alkalinity) is None:
        yield measure.asked(alkalinity.words, measured.key, "a reading")
    gill = find_need(facts, agent, "no_gill_damage")
    if gill is not None:
        fish = [group for group in groups if living_of(facts, group) is Living.FISH]
        yield from _gills(gill, agent, agent_name, fish, readings.system.id, hour)
    yield from unfit_place(facts, agent, agent_name, readings.system, groups, hour)


@dataclass(frozen=True, slots=True)
class Measure:
    """Asks for what must be measured before an agent is weighed out into a water."""

    agent: str
    agent_name: str
    system: System
    hour: int

    def asked(self, what: str, claim_key: str, needed: str, *, stale: bool = False) -> Caution:
        """Return the stop that asks for a reading which is not known, or too old."""
        return Caution(
            Level.BLOCKED,
            "E-DOSE-20",
            f"{self.agent_name} needs the {what}, which is {'too old' if stale else 'not known'}.",
            f"Needed: {needed}; unknown is not taken as safe.",
            claim_key,
            f"Measure the {what} of {self.system.name} today.",
            hour=self.hour,
            body=self.system.id,
            agent=self.agent,
        )


def _volume_too_old(facts: Knowledge, measure: Measure) -> Iterator[Caution]:
    age_h = find_number(facts, VOLUME_AGE_KEY)
    measured_at_h = measure.system.read_at_h.get(VOLUME)
    if age_h is not None and measured_at_h is not None and not -measured_at_h <= age_h:
        needed = f"measured within {age_h / HOURS_PER_DAY:g} days"
        yield measure.asked("water volume", VOLUME_AGE_KEY, needed, stale=True)


def _strictest(facts: Knowledge, agent: str, need: Need) -> Claim | None:
    """Return the strictest claim under one need of all forms of an agent's active."""
    claims = needs_of(facts, agent, need.short.removeprefix("needs."))
    pick = max if need.at_least else min
    return pick(claims, key=lambda claim: claim.number(), default=None)


def _check(
    facts: Knowledge, need: Need, claim: Claim, readings: Readings, measure: Measure
) -> Iterator[Caution]:
    value = readings.values.get(need.field)
    side = "at least" if need.at_least else "at most"
    stated = claim.source or claim.provenance.value.replace("_", " ")
    needed = f"{side} {claim.number():g} {need.unit} ({stated})"
    if value is None:
        yield measure.asked(need.words, claim.key, needed)
        return
    age_limit_h = find_number(facts, AGE_KEY)
    read_at_h = readings.read_at_h[need.field]
    if age_limit_h is not None and not -read_at_h <= age_limit_h:
        yield measure.asked(need.words, claim.key, needed, stale=True)
    inside = value >= claim.number() if need.at_least else value <= claim.number()
    if not inside:
        yield Caution(
            Level.BLOCKED,
            "E-DOSE-25",
            f"{measure.agent_name} is not for this water: {need.words} is {value:g} {need.unit}.",
            f"Needed: {needed}.",
            claim.key,
            "Choose another way, or change the water first and measure again.",
            hour=measure.hour,
            body=readings.system.id,
            agent=measure.agent,
        )


def _gills(
    claim: Claim,
    agent: str,
    agent_name: str,
    groups: Sequence[StockGroup],
    body: str,
    hour: int,
) -> Iterator[Caution]:
    hurt = [group.name for group in groups if group.gill_damage]
    not_looked = [group.name for group in groups if group.gill_damage is None]
    if hurt:
        yield Caution(
            Level.BLOCKED,
            "E-DOSE-25",
            f"{agent_name} is not for fish with hurt gills: {', '.join(hurt)}.",
            f"Stated by {claim.source or claim.evidence or 'the agent file'}.",
            claim.key,
            "Choose another way.",
            hour=hour,
            body=body,
            agent=agent,
        )
    elif not_looked:
        yield Caution(
            Level.CARE,
            "E-DOSE-20",
            f"Gills were not looked at: {', '.join(not_looked)}.",
            f"{agent_name} is not for fish with hurt gills.",
            claim.key,
            "Look first (a clipped gill tip, or count breaths); then say gill-damage=no or =yes.",
            hour=hour,
            body=body,
            agent=agent,
        )
