"""The chloride of a water by its last reading and by the salt that went in or out since."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.case import CaseView, Reading
from tankside.case.water_test import WaterTest
from tankside.claims import Knowledge
from tankside.course.bodies.effects import SALT
from tankside.intake.bodies_of_water import body_of_water
from tankside.intake.joined_waters import joined_waters
from tankside.quantity import Kind
from tankside.quantity.moment import Moment
from tankside.water.physical import CHLORIDE_PER_SALT


@dataclass(frozen=True, slots=True)
class ChlorideNow:
    """What is surely there.

    Args:
        mg_l: chloride [mg/L].
        read_mg_l: what the last test read [mg/L]; None without one.
        since_mg_l: what salt put in, or let out with water, since then makes of it [mg/L].
    """

    mg_l: float
    read_mg_l: float | None
    since_mg_l: float


def chloride_now(view: CaseView, facts: Knowledge, now: Moment, system: str) -> ChlorideNow:
    """Return the chloride that is surely in a water at a moment.

    ``chloride = reading + share of chloride in salt x (salt now - salt at the reading)``; without
    a reading, what the salt alone holds. Salt counts at its low edge: too little chloride protects
    too little, and more can always be put in.

    Raises:
        NotPossible: E-DOSE-20 a part of the water was never measured.
    """
    there = _salt_mg_l(view, facts, now, system)
    last = _last_reading(view, system)
    if last is None:
        return ChlorideNow(there * CHLORIDE_PER_SALT, None, there * CHLORIDE_PER_SALT)
    test, read = last
    since = (there - _salt_mg_l(view, facts, test.moment, system)) * CHLORIDE_PER_SALT
    return ChlorideNow(max(0.0, read + since), read, since)


def _salt_mg_l(view: CaseView, facts: Knowledge, at: Moment, system: str) -> float:
    water = body_of_water(view, facts, at, joined_waters(view).now(system))
    return sum(lot.low_mg_l or 0.0 for lot in water.residues if lot.agent == SALT)


def _last_reading(view: CaseView, system: str) -> tuple[WaterTest, float] | None:
    places = joined_waters(view).now(system)
    for test in reversed(view.water_tests):
        if test.system in places and test.sample == "tank":
            for line in test.readings:
                if line.what is Reading.CHLORIDE and line.amount is not None:
                    return test, line.amount.measured(Kind.CHLORIDE).number("mg/L")
    return None
