"""Oxygen at its lowest through the course; where nobody knows it and it matters, it is asked."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import Switch
from tankside.course.bodies.facts import find_number
from tankside.course.safety.scene import CourseScene, first_hour, last_hour
from tankside.course.water.chemistry import Chemistry
from tankside.quantity.per import HOURS_PER_DAY

OXYGEN_CARE_KEY = "practice.course.oxygen_care"
OXYGEN_FLOOR_KEY = "practice.course.oxygen_floor"


def check_oxygen(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    """Yield S-OXYGEN or S-OXYGEN-ASK for one body with animals in it."""
    if _gasping(water):
        yield _no_warming(body)
        return
    if water.oxygen.ask:
        yield from _ask_oxygen(scene, body, water)
        return
    series = water.oxygen.oxygen_mg_l[scene.harsh]
    care, floor = scene.facts.number(OXYGEN_CARE_KEY), scene.facts.number(OXYGEN_FLOOR_KEY)
    lowest = float(series.min())
    blocked = not lowest >= floor
    low = ~(series >= (floor if blocked else care))
    hour = first_hour(low)
    if hour is None:
        return
    at = int(series.argmin())
    unread = _not_told(water) if blocked else ""
    yield Caution(
        Level.BLOCKED if blocked else Level.CARE,
        "S-OXYGEN",
        f"Oxygen{scene.in_water(body)} {'falls too low' if blocked else 'gets low'}.",
        f"Down to {lowest:.2g} mg/L on day {at // HOURS_PER_DAY} at {at % HOURS_PER_DAY} h; "
        f"care below {care:g}, not offered below {floor:g}. Saturation then "
        f"{water.oxygen.saturation_mg_l[scene.harsh][at]:.2g}.{unread}",
        OXYGEN_FLOOR_KEY if blocked else OXYGEN_CARE_KEY,
        "Air stone in before this hour and through the night; measure at dawn.",
        hour=hour,
        body=body,
        until=last_hour(low),
    )


def _not_told(water: Chemistry) -> str:
    """Say what nobody told and may lift the stop: salt (the water was fuller when read), air."""
    system, lifts = water.run.system, ""
    if system.salinity_g_l is None:
        lifts = (
            " The salinity was not read and is taken as fresh: a reading above that may lift it."
        )
    if system.aeration is None:
        lifts += " Nobody said whether an air stone runs: air-stone=yes may lift it."
    return lifts


def _gasping(water: Chemistry) -> bool:
    """Whether fish gasp while the course warms the water and puts no air on."""
    run = water.run
    warms = any(ramp.to_c > run.target_c[0] for _, ramp in run.steps.ramps)
    air = any(value > 0 for _, value in run.steps.switches.get(Switch.AIR_STONE, []))
    return bool(run.system.gasping) and warms and not air


def _no_warming(body: str) -> Caution:
    return Caution(
        Level.BLOCKED,
        "S-OXYGEN",
        "Fish gasp: no warming before air is confirmed.",
        "Warm water holds less oxygen and fish need more, whatever was read.",
        OXYGEN_CARE_KEY,
        "Put an air stone in as the first step of the course, measure oxygen, then decide.",
        body=body,
    )


def _ask_oxygen(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    """Ask for the reading where the course leans on it: warming, air off, an oxygen user."""
    run = water.run
    warms = any(ramp.to_c > run.target_c[0] for _, ramp in run.steps.ramps)
    airing = run.steps.switches.get(Switch.AIR_STONE, [])
    takes = any(
        (find_number(scene.facts, f"agent.{agent}.oxygen_demand") or 0) > 0 for agent in run.agents
    )
    if warms or takes or any(not value > 0 for _, value in airing):
        yield Caution(
            Level.CARE, "S-OXYGEN-ASK",
            f"Oxygen{scene.in_water(body)} cannot be followed: measure {water.oxygen.ask}.",
            "Unknown oxygen is not taken as enough.", OXYGEN_CARE_KEY,
            "Measure by day and at dawn; air stone in meanwhile.", body=body,
        )  # fmt: skip
