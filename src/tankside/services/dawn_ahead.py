"""Oxygen at the dawn to come, as the water is and after warming: the lowest of the next day.

The night's use follows from a reading by day and one at dawn (``course.water.oxygen``); with one
alone nothing is said of the night, since plants may have hidden what is used.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np

from tankside.case import CaseView, SystemView
from tankside.case.parts import Reading
from tankside.claims import Knowledge
from tankside.course import Course, run
from tankside.course.actions import Warm
from tankside.course.bodies.strata import THREE_STRATA
from tankside.errors import Mistake
from tankside.intake import clock
from tankside.intake.assemble import Assembled, assemble, midnight
from tankside.library import load
from tankside.plan import read_levers
from tankside.quantity.moment import Moment, find_zone
from tankside.quantity.per import HOURS_PER_DAY

MIDDLE = [spec.place for spec in THREE_STRATA].index(0)


@dataclass(frozen=True, slots=True)
class DawnOxygen:
    """The lowest oxygen of a day [mg/L]: the least that fits, the likely, the most."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class DawnAhead:
    """What the coming nights bring.

    Args:
        next: the dawn to come, nothing done.
        warmed: the dawn after the water was warmed as far as it may be; None where it may not.
        per_day_c: usual speed of warming [C/d].
        days: days that it takes [d].
    """

    next: DawnOxygen
    warmed: DawnOxygen | None
    per_day_c: float
    days: int


def dawn_ahead(view: CaseView, system: SystemView, warmest_c: float | None) -> DawnAhead | None:
    """Return oxygen at the dawn to come; None where a reading, or what it rests on, is missing.

    Args:
        view: the case.
        system: one of its waters.
        warmest_c: what it may be warmed to for the animal that bears least [C]; None for no limit.
    """
    read = system.series.get(Reading.OXYGEN, ())
    facts = load()
    if len({reading.dawn for reading in read}) == 1 or not read:
        return None
    day = clock.now().astimezone(find_zone(view.opened.zone)).date()
    present = Moment(clock.now().isoformat(timespec="minutes"))
    try:
        case = assemble(view, facts, midnight(view, day), at_start=False, placed=present,
                        counted_to=present)  # fmt: skip
    except Mistake:
        return None
    if system.id not in {body.id for body in case.systems}:
        return None
    tomorrow = _lowest(facts, case, system.id, (), 1)
    per_day_c = read_levers(facts).warm_per_day_c
    there = case.main.temperature_c
    if tomorrow is None or warmest_c is None or there is None or not warmest_c > there:
        return None if tomorrow is None else DawnAhead(tomorrow, None, per_day_c, 0)
    days = ceil((warmest_c - there) / per_day_c)
    step = Warm(0, system.id, warmest_c, per_day_c)
    return DawnAhead(tomorrow, _lowest(facts, case, system.id, (step,), days), per_day_c, days)


def _lowest(
    facts: Knowledge, case: Assembled, body: str, steps: tuple[Warm, ...], day: int
) -> DawnOxygen | None:
    """Return the lowest oxygen of a day of a course, nothing else done."""
    made = run(case.systems, case.stock, Course("as-it-is", day + 1, steps), facts, {})
    place = made.tank_hours.body_ids.index(body)
    first = day * HOURS_PER_DAY
    lowest = [
        float(np.min(stratum.bodies[place].oxygen_mg_l[first : first + HOURS_PER_DAY]))
        for stratum in made.tank_hours.strata
    ]
    if not np.isfinite(lowest).all():
        return None
    return DawnOxygen(min(lowest), lowest[MIDDLE], max(lowest))
