"""Which days count: those through which the strength stayed in its useful range."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.course.amounts.limits import lowest_useful
from tankside.course.bodies.effects import AGENT_PREFIX, ReadingEntered
from tankside.course.safety.counted_day import CountedDay
from tankside.course.safety.scene import CourseScene
from tankside.quantity.per import HOURS_PER_DAY


def counted_days(scene: CourseScene) -> tuple[CountedDay, ...]:
    """Return, for every prolonged dose, which days count from the day of the first dose.

    A day with readings counts when all of them are at or above the lowest useful strength; a
    day without counts when the low edge stays there for all its hours.
    """
    return tuple(
        day
        for body, agent in scene.treated()
        if scene.doses(body, agent) and scene.route(body, agent) == "prolonged"
        for day in _days(scene, body, agent)
    )


def _days(scene: CourseScene, body: str, agent: str) -> Iterator[CountedDay]:
    water = scene.bodies[body].system.water
    lowest = lowest_useful(scene.facts, agent, "prolonged", water)
    if lowest is None:
        return
    low = scene.low(body, agent)
    read: dict[int, float] = {}
    for hour, value in _readings(scene, body, agent):
        day = hour // HOURS_PER_DAY
        read[day] = min(value, read.get(day, value))
    first = scene.doses(body, agent)[0][0] // HOURS_PER_DAY
    lows = low.reshape(-1, HOURS_PER_DAY).min(axis=1).tolist()
    for day in range(first, len(lows)):
        least = read.get(day, lows[day])
        yield CountedDay(day, body, agent, least, lowest.mg_l, day in read)


def _readings(scene: CourseScene, body: str, agent: str) -> list[tuple[int, float]]:
    return [
        (hour, effect.values[AGENT_PREFIX + agent])
        for hour, effect in scene.schedule.effects
        if isinstance(effect, ReadingEntered)
        and effect.body == body
        and AGENT_PREFIX + agent in effect.values
    ]
