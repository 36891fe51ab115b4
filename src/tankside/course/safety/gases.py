"""Ammonia, nitrite and pH through the course, with oxygen; what is unknown is asked."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tankside.claims import setting, unit_factor
from tankside.course.amounts.tolerance import class_effect
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import Switch
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.system import BodyKind, FilterState
from tankside.course.bodies.tank_hours import Hourly
from tankside.course.safety.oxygen import check_oxygen
from tankside.course.safety.scene import CourseScene, Flags, first_hour, last_hour
from tankside.course.water.body_run import FRESH
from tankside.course.water.chemistry import Chemistry
from tankside.course.water.nitrogen import DETECTION_KEY, SPARED, filter_class
from tankside.quantity.per import HOURS_PER_DAY
from tankside.water.ammonia_fresh import unionised_fraction_emerson75
from tankside.water.ammonia_saline import unionised_fraction_clegg_whitfield95
from tankside.water.ph_scale import PhScale

AMMONIA_CARE_KEY = "water.ammonia.guideline_fresh.trade_body"
AMMONIA_HARM_KEY = "water.ammonia.gill_damage"
N_PER_NH3 = unit_factor(14.007 / 17.031, "nitrogen in ammonia, atomic weights of IUPAC 2021")
NITRITE_CARE_KEY = "practice.course.nitrite_care"
PH_JUMP_KEY = "practice.course.ph_jump_care"
_SLACK = setting(1e-6, "a filter that just holds what a test does not show stays there")


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-OXYGEN, S-AMMONIA, S-NITRITE, S-PH and S-CO2 for every body with animals in it."""
    for body, water in scene.waters.items():
        if water.run.system.kind is BodyKind.BATH:
            continue
        if not any(bool(scene.in_body(group.id, body).any()) for group in scene.stock):
            continue
        yield from check_oxygen(scene, body, water)
        yield from _ammonia(scene, body, water)
        yield from _nitrite(scene, body, water)
        yield from _ph(scene, body, water)
        yield from _co2(scene, body, water)


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
            f"The ammonia reading{scene.in_water(body)} may count what conditioner holds bound.",
            "Many tests give bound and free ammonia as one, or a false colour; what is worked out "
            "from the reading is then the worst case.", AMMONIA_CARE_KEY,
            "Ask which test it was; use one that shows free ammonia, and test the new water too.",
            body=body,
        )  # fmt: skip
    if toxic is None:
        yield from _ammonia_unknown(scene, body, water)
        return
    care = scene.facts.number(AMMONIA_CARE_KEY) * N_PER_NH3
    harm = scene.facts.number(AMMONIA_HARM_KEY)
    shows = _more_than_a_test_shows(scene, water) & _concerned(scene, water)
    if toxic[shows].size == 0 or bool((toxic[shows] <= care).all()):
        return
    above = ~(toxic <= care) & shows
    at = int(np.where(shows, toxic, 0.0).argmax())
    highest = float(toxic[at])
    if (highest <= harm or _none_read(water)) and _filter_is_told_of(scene, water):
        return
    yield Caution(
        Level.CARE,
        "S-AMMONIA",
        f"Toxic ammonia{scene.in_water(body)} "
        + ("may hurt gills." if highest > harm else "above the guideline."),
        f"Up to {highest:.2g} mg/L as N on day {at // HOURS_PER_DAY} if the filter does worst; "
        f"guideline {care:.2g}, first gill damage {harm:.2g}.",
        AMMONIA_HARM_KEY if highest > harm else AMMONIA_CARE_KEY,
        "Test every day; less food, more water changes; do not let pH rise fast.",
        hour=first_hour(above),
        body=body,
        until=last_hour(above),
    )


def _ammonia_unknown(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    if scene.schedule.effects:
        what = water.nitrogen.ask or "pH"
        yield Caution(
            Level.NOTE, "S-AMMONIA-ASK",
            f"Ammonia{scene.in_water(body)} cannot be followed: needed {what}.",
            "Unknown is not taken as none.", AMMONIA_CARE_KEY,
            "Measure ammonia and pH; note the food.", body=body,
        )  # fmt: skip


def _none_read(water: Chemistry) -> bool:
    """Whether a test showed no ammonia: what a filter may come to is no finding of it."""
    return water.run.system.total_ammonia_mg_l_n == 0


def _more_than_a_test_shows(scene: CourseScene, water: Chemistry) -> Flags:
    """Return the hours in which there is more ammonia than a reading of zero leaves open.

    A filter that is taken to hold just what a test does not show is no finding of ammonia.
    """
    detected = find_number(scene.facts, DETECTION_KEY) or 0.0
    flags: Flags = ~(water.nitrogen.ammonia_mg_l_n[scene.harsh] <= detected * (1 + _SLACK))
    return flags


def _concerned(scene: CourseScene, water: Chemistry) -> Flags:
    """Return the hours that a course is about: of one amount for a bath, only what was read."""
    flags = np.ones(water.nitrogen.nitrite_mg_l_n.shape[1], dtype=np.bool_)
    if not scene.schedule.effects and scene.schedule.events and flags.size <= HOURS_PER_DAY:
        flags[1:] = False
    return flags


def _filter_is_told_of(scene: CourseScene, water: Chemistry) -> bool:
    """Whether another caution asks for daily tests already, since an agent may stop the filter."""
    body = water.run.system.id
    return water.run.system.filter_state is not FilterState.UNRIPE and any(
        filter_class(None if claim is None else claim.value) != SPARED
        for agent in water.run.agents
        if scene.doses(body, agent)
        for claim in [class_effect(scene.facts, agent, "filter")]
    )


def _nitrite(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    care = scene.facts.number(NITRITE_CARE_KEY)
    series = water.nitrogen.nitrite_mg_l_n[scene.harsh]
    flags = ~(series <= care) & _concerned(scene, water)
    if not np.isfinite(series).all() or not bool(flags.any()):
        return
    yield Caution(
        Level.CARE,
        "S-NITRITE",
        f"Nitrite{scene.in_water(body)} may rise.",
        f"Up to {series.max():.2g} mg/L as N if the filter does worst; care above {care:g}.",
        NITRITE_CARE_KEY,
        "Test every day; change water; salt helps most fish against it, not all.",
        hour=first_hour(flags),
        body=body,
        until=last_hour(flags),
    )


def _ph(scene: CourseScene, body: str, water: Chemistry) -> Iterator[Caution]:
    care = scene.facts.number(PH_JUMP_KEY)
    series = water.acidity.ph[scene.harsh]
    if not np.isfinite(series).all():
        return
    jump = np.abs(np.diff(series, prepend=_before(water)))
    hour = first_hour(jump > care)
    if hour is not None:
        yield Caution(
            Level.CARE,
            "S-PH",
            f"The pH{scene.in_water(body)} jumps.",
            f"By {jump.max():.2g} within an hour; care above {care:g}."
            + _where_ph_goes(scene, water, hour),
            PH_JUMP_KEY,
            "Change less at a time, or match the new water first.",
            hour=hour,
            body=body,
        )


def _before(water: Chemistry) -> float:
    """Return the pH that was read before hour 0."""
    read = water.run.system.ph
    assert read is not None
    return read


def _where_ph_goes(scene: CourseScene, water: Chemistry, hour: int) -> str:
    """Say pH before, at once, at the end and settled, and what that makes of the ammonia."""
    at = scene.harsh
    series, settled = water.acidity.ph[at], water.acidity.settled_ph
    before = float(series[hour - 1]) if hour else _before(water)
    after, last = float(series[hour]), float(series[-1])
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
