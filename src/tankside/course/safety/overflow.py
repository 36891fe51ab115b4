"""An amount in water that runs away: the inflow is measured and counted, or nothing is weighed."""

from __future__ import annotations

from collections.abc import Iterator
from math import log

from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.words import show
from tankside.course.safety.scene import CourseScene

MEASURE = (
    "Measure it with a bucket and a clock and enter it (inflow=...), or shut it for good and enter "
    "overflow=no."
)
HOW_LONG = (
    "Ask how long it may be shut without harm (inflow-off=...): then the card says when to shut it."
)
OPEN_AGAIN = "Shut it when the card says so and open it again in time."


def check(scene: CourseScene) -> Iterator[Caution]:
    """Yield S-OVERFLOW for what is put into water that new water runs through."""
    for body, agent in scene.treated():
        system, doses = scene.bodies[body].system, scene.doses(body, agent)
        inflow = system.inflow
        if inflow is None or not doses:
            continue
        name, runs = scene.agent_name(agent), inflow.litres_per_h
        if runs is None:
            yield Caution(
                Level.BLOCKED,
                "S-OVERFLOW",
                f"How much new water runs through {system.name} is not known.",
                f"The {name} runs away over the overflow, nobody knows how fast.",
                "",
                MEASURE,
                hour=doses[0][0],
                body=body,
                agent=agent,
            )
        elif runs > 0:
            half_h = log(2) * system.volume.point_l / runs
            yield Caution(
                Level.CARE,
                "S-OVERFLOW",
                f"New water runs through {system.name} while {name} is in it.",
                f"At {show(runs, 'L/h')} half of it has run away after {show(half_h, 'h')}; this "
                "is counted. What runs away needs the same care as water taken out.",
                "",
                OPEN_AGAIN if inflow.off_for_h else HOW_LONG,
                hour=doses[0][0],
                body=body,
                agent=agent,
            )
