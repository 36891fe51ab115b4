"""How fast the temperature changes and how far it goes, against the weakest animal."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.stock import StockGroup
from tankside.course.safety.rate_of_change import rise_in_a_day
from tankside.course.safety.scene import CourseScene, first_hour
from tankside.quantity.per import HOURS_PER_DAY

WARMING_KEY = "practice.course.warming_per_day"
COOLING_KEY = "practice.course.cooling_per_day"
AVOID = "avoid"
HEAT = "heat"


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-TEMPERATURE-ASK, S-HEAT-RATE, S-HEAT and S-COLD."""
    for body in scene.bodies:
        groups = [g for g in scene.stock if bool(scene.in_body(g.id, body).any())]
        if not groups:
            continue
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


def _rate(scene: CourseScene, body: str) -> Iterator[Caution]:
    run = scene.bodies[body]
    read_c = run.system.temperature_c
    assert read_c is not None
    rise = rise_in_a_day(run.target_c + run.deviation_c[scene.harsh], read_c)
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
