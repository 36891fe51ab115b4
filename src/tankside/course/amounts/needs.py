"""What must be known, fresh and inside its range before an agent may be weighed out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from tankside.claims import Claim, Knowledge
from tankside.course.amounts.limits import YOUNG, Around
from tankside.course.amounts.place import unfit_place
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.system import System

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


def around(readings: Readings, groups: Sequence[StockGroup]) -> Around:
    """Return what limits may depend on; ``young`` is None while any life stage is unknown."""
    young: bool | None = False
    for group in groups:
        if group.life_stage in YOUNG:
            young = True
            break
        if group.life_stage is None:
            young = None
    values = readings.values
    return Around(values.get("temperature_c"), values.get("alkalinity_mg_l_caco3"), young)


def unmet(
    facts: Knowledge,
    agent: str,
    agent_name: str,
    readings: Readings,
    groups: Sequence[StockGroup],
    hour: int,
) -> Iterator[Caution]:
    """Yield what stands against weighing out ``agent`` now.

    A prerequisite that is unknown, or was stale when the course was made, blocks (E-DOSE-20); a
    known one outside its range blocks (E-DOSE-25).
    """
    body = readings.system.id
    volume_age_h = find_number(facts, VOLUME_AGE_KEY)
    measured_at_h = readings.system.read_at_h.get(VOLUME)
    if (
        volume_age_h is not None
        and measured_at_h is not None
        and not -measured_at_h <= volume_age_h
    ):
        yield _measure_first(
            "water volume", agent, agent_name, body, VOLUME_AGE_KEY, hour, stale=True
        )
    for need in NEEDS:
        claim = facts.find(f"agent.{agent}.{need.short}")
        if claim is not None:
            yield from _check(facts, need, claim, agent, agent_name, readings, hour)
    if facts.find(f"agent.{agent}.needs.alkalinity_measured") and (
        "alkalinity_mg_l_caco3" not in readings.values
    ):
        yield _measure_first(NEEDS[0].words, agent, agent_name, body, "", hour)
    gill = facts.find(f"agent.{agent}.needs.no_gill_damage")
    if gill is not None:
        yield from _gills(gill, agent, agent_name, groups, body, hour)
    yield from unfit_place(facts, agent, agent_name, readings.system, groups, hour)


def _check(
    facts: Knowledge,
    need: Need,
    claim: Claim,
    agent: str,
    agent_name: str,
    readings: Readings,
    hour: int,
) -> Iterator[Caution]:
    body = readings.system.id
    value = readings.values.get(need.field)
    if value is None:
        yield _measure_first(need.words, agent, agent_name, body, claim.key, hour)
        return
    age_limit_h = find_number(facts, AGE_KEY)
    read_at_h = readings.read_at_h[need.field]
    if age_limit_h is not None and not -read_at_h <= age_limit_h:
        yield _measure_first(need.words, agent, agent_name, body, claim.key, hour, stale=True)
    limit = claim.number()
    inside = value >= limit if need.at_least else value <= limit
    if not inside:
        side = "at least" if need.at_least else "at most"
        stated = claim.source or claim.provenance.value.replace("_", " ")
        yield Caution(
            Level.BLOCKED,
            "E-DOSE-25",
            f"{agent_name} is not for this water: {need.words} is {value:g} {need.unit}.",
            f"Needed: {side} {limit:g} {need.unit} ({stated}).",
            claim.key,
            "Choose another way, or change the water first and measure again.",
            hour=hour,
            body=body,
            agent=agent,
        )


def _measure_first(
    what: str,
    agent: str,
    agent_name: str,
    body: str,
    claim_key: str,
    hour: int,
    stale: bool = False,
) -> Caution:
    state = "too old" if stale else "not known"
    return Caution(
        Level.BLOCKED,
        "E-DOSE-20",
        f"{agent_name} needs the {what}, which is {state}.",
        "Unknown is not taken as safe.",
        claim_key,
        f"Measure the {what} today.",
        hour=hour,
        body=body,
        agent=agent,
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
            "Clip a gill tip, or count breaths, before dosing.",
            hour=hour,
            body=body,
            agent=agent,
        )
