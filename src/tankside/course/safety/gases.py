"""Oxygen at its lowest, ammonia, nitrite and pH through the course; what is unknown is asked."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tankside.claims import unit_factor
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import Switch
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.system import BodyKind
from tankside.course.bodies.tank_hours import Hourly
from tankside.course.safety.scene import CourseScene, first_hour
from tankside.course.water.body_run import FRESH
from tankside.course.water.chemistry import Chemistry
from tankside.quantity.per import HOURS_PER_DAY
from tankside.water.ammonia_fresh import unionised_fraction_emerson75
from tankside.water.ammonia_saline import unionised_fraction_clegg_whitfield95
from tankside.water.ph_scale import PhScale

OXYGEN_CARE_KEY = "practice.course.oxygen_care"
OXYGEN_FLOOR_KEY = "practice.course.oxygen_floor"
AMMONIA_CARE_KEY = "water.ammonia.guideline_fresh.trade_body"
AMMONIA_HARM_KEY = "water.ammonia.gill_damage"
N_PER_NH3 = unit_factor(14.007 / 17.031, "nitrogen in ammonia, atomic weights of IUPAC 2021")
NITRITE_CARE_KEY = "practice.course.nitrite_care"
PH_JUMP_KEY = "practice.course.ph_jump_care"


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-OXYGEN, S-AMMONIA, S-NITRITE, S-PH and S-CO2 for every body with animals in it."""
    for body, water in scene.waters.items():
        if water.run.system.kind is BodyKind.BATH:
            continue
        if not any(bool(scene.in_body(group.id, body).any()) for group in scene.stock):
            continue
        yield from _oxygen(scene, body, water)
        yield from _ammonia(scene, body, water)
        yield from _nitrite(scene, body, water)
        yield from _ph(scene, body, water)
        yield from _co2(scene, body, water)


def _oxygen(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    if water.oxygen.ask:
        yield from _ask_oxygen(scene, body, water)
        return
    series = water.oxygen.oxygen_mg_l[scene.harsh]
    care, floor = scene.facts.number(OXYGEN_CARE_KEY), scene.facts.number(OXYGEN_FLOOR_KEY)
    lowest = float(series.min())
    hour = first_hour(~(series >= floor)) if not lowest >= floor else first_hour(~(series >= care))
    if hour is None:
        return
    blocked = not lowest >= floor
    at = int(series.argmin())
    yield Caution(
        Level.BLOCKED if blocked else Level.CARE,
        "S-OXYGEN",
        "Oxygen falls too low." if blocked else "Oxygen gets low.",
        f"Down to {lowest:.2g} mg/L on day {at // HOURS_PER_DAY} at {at % HOURS_PER_DAY} h; "
        f"care below {care:g}, not offered below {floor:g}. Saturation then "
        f"{water.oxygen.saturation_mg_l[scene.harsh][at]:.2g}.",
        OXYGEN_FLOOR_KEY if blocked else OXYGEN_CARE_KEY,
        "Air stone in before this hour and through the night; measure at dawn.",
        hour=hour,
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
    leans = warms or takes or any(not value > 0 for _, value in airing)
    gasping = bool(run.system.gasping) and warms and not any(value > 0 for _, value in airing)
    if gasping:
        yield Caution(
            Level.BLOCKED, "S-OXYGEN", "Fish gasp: no warming before air is confirmed.",
            "Warm water holds less oxygen and fish need more.", OXYGEN_CARE_KEY,
            "Air stone in, measure oxygen, then decide.", body=body,
        )  # fmt: skip
    elif leans:
        yield Caution(
            Level.CARE, "S-OXYGEN-ASK", f"Oxygen cannot be followed: measure {water.oxygen.ask}.",
            "Unknown oxygen is not taken as enough.", OXYGEN_CARE_KEY,
            "Measure by day and at dawn; air stone in meanwhile.", body=body,
        )  # fmt: skip


def toxic_ammonia(water: Chemistry, at: int) -> Hourly | None:
    """Return un-ionised ammonia [mg/L N] in stratum ``at``; None while pH is not known."""
    run = water.run
    ph = water.acidity.ph[at]
    if not np.isfinite(ph).all() or not np.isfinite(water.nitrogen.ammonia_mg_l_n[at]).all():
        return None
    if not np.isfinite(run.temperature_c[at]).all():
        return None
    if run.system.water == FRESH:
        share = unionised_fraction_emerson75(run.temperature_c[at], ph).values
    else:
        salinity = run.salinity_g_l[at]
        if not np.isfinite(salinity).all():
            return None
        share = unionised_fraction_clegg_whitfield95(
            run.temperature_c[at], ph, salinity, scale=PhScale.NBS
        ).values
    toxic: Hourly = water.nitrogen.ammonia_mg_l_n[at] * share
    return toxic


def _ammonia(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    toxic = toxic_ammonia(water, scene.harsh)
    if water.run.system.ammonia_bound and water.run.system.total_ammonia_mg_l_n is not None:
        yield Caution(
            Level.CARE, "S-AMMONIA-BOUND",
            "The ammonia reading may count what the conditioner holds bound.",
            "Many tests give bound and free ammonia as one, or a false colour; what is worked out "
            "from the reading is then the worst case.", AMMONIA_CARE_KEY,
            "Ask which test it was; use one that shows free ammonia, and test the new water too.",
            body=body,
        )  # fmt: skip
    if toxic is None:
        if scene.schedule.effects:
            what = water.nitrogen.ask or "pH"
            yield Caution(
                Level.NOTE, "S-AMMONIA-ASK", f"Ammonia cannot be followed: needed {what}.",
                "Unknown is not taken as none.", AMMONIA_CARE_KEY,
                "Measure ammonia and pH; note the food.", body=body,
            )  # fmt: skip
        return
    care = scene.facts.number(AMMONIA_CARE_KEY) * N_PER_NH3
    harm = scene.facts.number(AMMONIA_HARM_KEY)
    highest = float(toxic.max())
    if highest <= care:
        return
    hour = first_hour(~(toxic <= care))
    at = int(toxic.argmax())
    yield Caution(
        Level.CARE,
        "S-AMMONIA",
        "Toxic ammonia may hurt gills." if highest > harm else "Toxic ammonia above the guideline.",
        f"Up to {highest:.2g} mg/L as N on day {at // HOURS_PER_DAY} if the filter does worst; "
        f"guideline {care:.2g}, first gill damage {harm:.2g}.",
        AMMONIA_HARM_KEY if highest > harm else AMMONIA_CARE_KEY,
        "Test every day; less food, more water changes; do not let pH rise fast.",
        hour=hour,
        body=body,
    )


def _nitrite(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    care = scene.facts.number(NITRITE_CARE_KEY)
    series = water.nitrogen.nitrite_mg_l_n[scene.harsh]
    if not np.isfinite(series).all() or bool((series <= care).all()):
        return
    yield Caution(
        Level.CARE,
        "S-NITRITE",
        "Nitrite may rise.",
        f"Up to {series.max():.2g} mg/L as N if the filter does worst; care above {care:g}.",
        NITRITE_CARE_KEY,
        "Test every day; change water; salt helps most fish against it, not all.",
        hour=first_hour(~(series <= care)),
        body=body,
    )


def _ph(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    care = scene.facts.number(PH_JUMP_KEY)
    series = water.acidity.ph[scene.harsh]
    if not np.isfinite(series).all():
        return
    jump = np.abs(np.diff(series, prepend=series[:1]))
    hour = first_hour(jump > care)
    if hour is not None:
        yield Caution(
            Level.CARE,
            "S-PH",
            "The pH jumps.",
            f"By {jump.max():.2g} within an hour; care above {care:g}."
            + _where_ph_goes(scene, water, hour),
            PH_JUMP_KEY,
            "Change less at a time, or match the new water first.",
            hour=hour,
            body=body,
        )


def _where_ph_goes(scene: CourseScene, water: Chemistry, hour: int) -> str:
    """Say pH before, at once, at the end and settled, and what that makes of the ammonia."""
    at = scene.harsh
    series, settled = water.acidity.ph[at], water.acidity.settled_ph
    before, after, last = (float(series[h]) for h in (hour - 1, hour, -1))
    said = f" From {before:.1f} to {after:.1f} at once, {last:.1f} at the end of the course"
    if settled is not None:
        said += f", {float(settled[at]):.1f} once the gases have settled"
    if not max(after, last) > before or water.run.system.water != FRESH:
        return f"{said}."
    highest = max(after, last, before if settled is None else float(settled[at]))
    warm = float(water.run.temperature_c[at][hour])
    shares = unionised_fraction_emerson75(warm, np.array([before, after, highest])).values
    return (
        f"{said}. The toxic share of the ammonia rises {shares[1] / shares[0]:.2g} times at once "
        f"and {shares[2] / shares[0]:.2g} times in the end."
    )


def _co2(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    """Point to air that drives out the carbon dioxide which is led in for plants."""
    airing = water.run.steps.switches.get(Switch.AIR_STONE, [])
    hour = next((at for at, value in airing if value > 0), None)
    if water.run.system.co2_added and hour is not None:
        yield Caution(
            Level.CARE, "S-CO2", "Extra air drives out the carbon dioxide that is added.",
            "The pH rises with it, and swings between day and night.", "",
            "Turn the carbon dioxide off while the air runs; air matters more. Read pH and oxygen "
            "at dawn.", hour=hour, body=body,
        )  # fmt: skip
