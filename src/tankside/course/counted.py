"""Which days count: those through which the strength stayed in its useful range."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.course.action import Measured
from tankside.course.course import CountedDay
from tankside.course.hours import HOURS_PER_DAY
from tankside.course.ledger import AGENT_PREFIX
from tankside.course.limits import lowest_useful
from tankside.course.printing import concentration
from tankside.course.scene import Scene


def counted_days(scene: Scene) -> tuple[CountedDay, ...]:
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


def _days(scene: Scene, body: str, agent: str) -> Iterator[CountedDay]:
    lowest = lowest_useful(scene.facts, agent, "prolonged")
    if lowest is None:
        return
    low = scene.low(body, agent)
    readings = _readings(scene, body, agent)
    first = scene.doses(body, agent)[0][0] // HOURS_PER_DAY
    for day in range(first, low.size // HOURS_PER_DAY):
        hours = slice(day * HOURS_PER_DAY, (day + 1) * HOURS_PER_DAY)
        taken = [value for hour, value in readings if hour // HOURS_PER_DAY == day]
        least = min(taken) if taken else float(low[hours].min())
        counts = least >= lowest.mg_l
        how = "lowest reading" if taken else "low edge, no reading"
        yield CountedDay(
            day,
            body,
            agent,
            counts,
            least,
            f"{how} {concentration(least, '')}; needed {concentration(lowest.mg_l, '')}",
        )


def _readings(scene: Scene, body: str, agent: str) -> list[tuple[int, float]]:
    return [
        (hour, effect.values[AGENT_PREFIX + agent])
        for hour, effect in scene.schedule.effects
        if isinstance(effect, Measured)
        and effect.body == body
        and AGENT_PREFIX + agent in effect.values
    ]
