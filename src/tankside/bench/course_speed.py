"""Time the water of many different courses against copying the arrays they give.

Processor seconds of this process, so that other work on the machine does not count.
"""

from __future__ import annotations

import time
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from tankside.claims import Knowledge
from tankside.course import BodyKind, Course, FilterState, StockGroup, System, Volume, run
from tankside.course.actions import (
    Air,
    Carbon,
    Count,
    Dose,
    Siphon,
    UltraViolet,
    Warm,
    salt_steps,
)
from tankside.course.actions.action import Action
from tankside.course.bodies.tank_hours import TankHours
from tankside.quantity.per import HOURS_PER_DAY

COURSES = 500
DAYS = 60
COPIES = 5
TANK = System(
    "main", "the tank", BodyKind.MAIN, Volume(120.0, 118.0, 123.0, "invented"), water="fresh",
    temperature_c=25.0, temperature_low_c=24.5, temperature_high_c=25.6, ph=7.3,
    alkalinity_mg_l_caco3=90.0, total_ammonia_mg_l_n=0.2, nitrite_mg_l_n=0.05, oxygen_mg_l=7.4,
    surface_area_m2=0.36, carbon_in=True, uv_on=False, filter_state=FilterState.RIPE,
)  # fmt: skip
STOCK = (
    StockGroup("a", "danio_rerio", "zebra danio", 12, 3.0, None, "main"),
    StockGroup("b", "trichopodus_leerii", "pearl gourami", 3, 9.0, None, "main"),
)


def different_course(number: int) -> Course:
    """Return the ``number``-th of many courses, no two alike."""
    every, litres, salt = (
        1 + number % 3,
        12.0 + number % 40 + number / COURSES,
        1 + number % 20 / 10,
    )
    steps: list[Action] = [
        Carbon(0, "main", in_water=False),
        UltraViolet(0, "main", on=False),
        Air(0, "main", on=True),
        *salt_steps(18, "main", salt, 3, HOURS_PER_DAY),
        *(Siphon(day * HOURS_PER_DAY + 18, "main", litres) for day in range(4, DAYS, every)),
        *(Count(day * HOURS_PER_DAY + 9, "main", "a") for day in range(0, DAYS, 2)),
    ]
    if number % 2:
        steps.append(Warm(30, "main", 27.0 + number % 3, 1.0))
    if number % 5 == 0:
        doses = (
            Dose(d * HOURS_PER_DAY + 19, "main", "malachite_green", 0.05) for d in range(2, 20, 3)
        )
        steps += doses
    return Course(f"course {number}", DAYS, tuple(steps))


def arrays_of(tank_hours: TankHours) -> Iterator[NDArray[np.float64]]:
    """Yield every hourly array of a result."""
    for stratum in tank_hours.strata:
        for body in stratum.bodies:
            yield from (
                body.temperature_c, body.salinity_g_l, body.oxygen_mg_l, body.ph, body.light,
                body.total_ammonia_mg_l_n, body.nitrite_mg_l_n, body.exchange_per_h,
                body.uv_per_h, body.fine_filter_per_h,
            )  # fmt: skip
            yield from body.residue_low_mg_l.values()
            yield from body.residue_high_mg_l.values()


def measure(facts: Knowledge, courses: int = COURSES) -> dict[str, float]:
    """Run ``courses`` different courses of one tank, then copy all their arrays.

    Returns:
        Seconds of the runs (``courses_s``, amounts, words and safety checks included), best
        seconds of the copy (``copy_s``), bytes copied (``megabytes``).
    """
    different = [different_course(number) for number in range(courses)]
    run([TANK], STOCK, different[0], facts)
    arrays: list[NDArray[np.float64]] = []
    spent = 0.0
    for course in different:
        start = time.process_time()
        result = run([TANK], STOCK, course, facts)
        spent += time.process_time() - start
        arrays += arrays_of(result.tank_hours)
    copied = min(_copy(arrays) for _ in range(COPIES))
    megabytes = sum(array.nbytes for array in arrays) / 1e6
    return {"courses_s": spent, "copy_s": copied, "megabytes": megabytes}


def _copy(arrays: list[NDArray[np.float64]]) -> float:
    start = time.process_time()
    copies = [array.copy() for array in arrays]
    taken = time.process_time() - start
    del copies
    return taken
