"""How fast salt, temperature and the water itself change, against the weakest animal."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.facts import find_number, find_range
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.tank_hours import Hourly
from tankside.course.safety.scene import CourseScene, first_hour
from tankside.course.water.body_run import FRESH, FRESH_KEY
from tankside.quantity.per import HOURS_PER_DAY

WARMING_KEY = "practice.course.warming_per_day"
COOLING_KEY = "practice.course.cooling_per_day"
SALT_KEY = "practice.course.salt_rise_per_day"
SALT_SHARE_KEY = "practice.course.salt_share_of_lethal"
AVOID = "avoid"
HEAT = "heat"


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-TEMPERATURE-ASK, S-SALT-RATE, -THERE and -HOST, S-HEAT-RATE, S-HEAT and S-COLD."""
    for body in scene.bodies:
        groups = [g for g in scene.stock if bool(scene.in_body(g.id, body).any())]
        if not groups:
            continue
        yield from _salt(scene, body)
        yield from _salt_there(scene, body)
        yield from _salt_hosts(scene, body, groups)
        if scene.bodies[body].system.temperature_c is None:
            yield _ask_temperature(scene, body)
            continue
        yield from _rate(scene, body)
        yield from _range(scene, body, groups)


def _ask_temperature(scene: CourseScene, body: str) -> Caution:
    return Caution(
        Level.CARE,
        "S-TEMPERATURE-ASK",
        f"The temperature of {scene.bodies[body].system.name} is not known.",
        "Every stage of a parasite, oxygen and the strength of many agents hang on it.",
        "",
        "Read the thermometer in the water, not the heater.",
        body=body,
    )


def rise_in_a_day(series: Hourly) -> Hourly:
    """Return the rise of a series over the 24 h before each hour (from its first value on)."""
    day = HOURS_PER_DAY
    padded = np.concatenate([np.full(day, series[0]), series])
    rise: Hourly = series - padded[: series.size]
    return rise


def _salt(scene: CourseScene, body: str) -> Iterator[Caution]:
    limit = find_range(scene.facts, SALT_KEY)
    if limit is None:
        return
    rise = rise_in_a_day(scene.bodies[body].salinity_g_l[scene.harsh])
    hour = first_hour(rise > limit[1])
    if hour is None:
        return
    above = bool((rise > limit[2]).any())
    yield Caution(
        Level.BLOCKED if above else Level.CARE,
        "S-SALT-RATE",
        "The salt rises fast.",
        f"Up to {rise.max():.2g} g/L in 24 h; usual at most {limit[1]:g}, never above "
        f"{limit[2]:g}.",
        SALT_KEY,
        "Split it into more steps, 12 h or more apart.",
        hour=hour,
        body=body,
    )


def _salt_there(scene: CourseScene, body: str) -> Iterator[Caution]:
    """Point to a salinity reading that the salt account does not explain."""
    system = scene.bodies[body].system
    fresh = find_range(scene.facts, FRESH_KEY)
    salt_entered = any(residue.agent == SALT for residue in system.residues)
    read = system.salinity_g_l
    if fresh is None or read is None or salt_entered or system.water != FRESH:
        return
    if scene.doses(body, SALT) and read > fresh[2]:
        yield Caution(
            Level.CARE,
            "S-SALT-THERE",
            "There may be salt in the water already.",
            f"The reading is {read:g} g/L, fresh water holds at most {fresh[2]:g}; no salt "
            "was entered, so the amounts do not count it.",
            FRESH_KEY,
            "Ask what was put in, enter it, and work the amounts out again.",
            body=body,
            agent=SALT,
        )


def _salt_hosts(scene: CourseScene, body: str, groups: list[StockGroup]) -> Iterator[Caution]:
    """Hold the highest salt each group meets to what is printed of its kind.

    A printed figure is most often the salt that kills half of them, so that a share of it is the
    most to go to; where only an upper end is printed nothing beyond it was tried.
    """
    share = find_number(scene.facts, SALT_SHARE_KEY)
    salt = scene.bodies[body].salinity_g_l[scene.harsh]
    if share is None or not scene.doses(body, SALT):
        return
    for group in groups:
        host = scene.host(group)
        claim = None if host is None else host.find("salt_tolerance")
        if claim is None:
            continue
        most_g_l = claim.bounds()[1] if claim.value is None else share * claim.number()
        met = salt[scene.in_body(group.id, body)]
        if bool((met <= most_g_l).all()):
            continue
        printed = claim.conditions.get("as_printed", "")
        highest = (
            f"up to {met.max():.2g} g/L"
            if np.isfinite(met).all()
            else "not known (no reading of the salt)"
        )
        yield Caution(
            Level.CARE,
            "S-SALT-HOST",
            f"The salt comes near what {group.name} does not tolerate.",
            f"Salt is {highest}; at most {most_g_l:.2g} g/L "
            f"({claim.bounds()[1]:g} g/L printed: {printed}, {claim.source or 'no source'}).",
            claim.key,
            "Stay below it, or move them out first.",
            body=body,
            group=group.id,
            agent=SALT,
        )


def _rate(scene: CourseScene, body: str) -> Iterator[Caution]:
    run = scene.bodies[body]
    steady = run.target_c + run.deviation_c[scene.harsh]
    rise = rise_in_a_day(steady)
    for key, change, words in ((WARMING_KEY, rise, "warms"), (COOLING_KEY, -rise, "cools")):
        limit = find_number(scene.facts, key)
        hour = None if limit is None else first_hour(change > limit + 1 / scale())
        if limit is not None and hour is not None:
            yield Caution(
                Level.CARE,
                "S-HEAT-RATE",
                f"The water {words} fast.",
                f"Up to {change.max():.2g} C in 24 h; a public-aquarium rule is {limit:g}.",
                key,
                "Slow it down, or match the new water's temperature.",
                hour=hour,
                body=body,
            )


def scale() -> int:
    """Return the digits beyond which a difference of temperature is not told."""
    return HOURS_PER_DAY * HOURS_PER_DAY


def _range(scene: CourseScene, body: str, groups: list[StockGroup]) -> Iterator[Caution]:
    run = scene.bodies[body]
    water = run.temperature_c[scene.harsh]
    warms = any(ramp.to_c > run.target_c[0] for _, ramp in run.steps.ramps)
    hot: list[str] = []
    cold: list[str] = []
    for group in groups:
        host = scene.host(group)
        bounds = None if host is None else host.temperature_range_c()
        if host is None or bounds is None:
            continue
        here = water[scene.in_body(group.id, body)]
        above = bool((here > bounds[1]).any())
        if above and warms and host.tolerance(HEAT) == AVOID:
            yield Caution(
                Level.BLOCKED, "S-HEAT", f"{group.name} must not be warmed so far.",
                f"Up to {here.max():.3g} C; kept at {bounds[0]:g} to {bounds[1]:g} C, and heat is "
                "to be avoided.",
                f"host.{group.host_id}.tolerance.heat", "Stay within its range.",
                body=body, group=group.id,
            )  # fmt: skip
        elif above:
            hot.append(f"{group.name} (kept at most at {bounds[1]:g} C)")
        if bool((here < bounds[0]).any()):
            cold.append(f"{group.name} (kept at least at {bounds[0]:g} C)")
    for names, code, words in ((hot, "S-HEAT", "Warm"), (cold, "S-COLD", "Cold")):
        if names:
            yield Caution(
                Level.CARE if warms or code == "S-COLD" else Level.NOTE, code,
                f"{words} for {', '.join(names)}.",
                f"The water goes from {water.min():.3g} to {water.max():.3g} C.", "",
                "Choose a temperature that all of them tolerate.", body=body,
            )  # fmt: skip
