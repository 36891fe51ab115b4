"""What readings of salinity and chloride say of the salt in a water.

In fresh water salinity is the salt that was put in, so a reading stands in place of what was
reckoned. A chloride reading bounds it: salt is not more than chloride divided by the share of
chloride in salt, 35.45 / (35.45 + 22.990), since other chlorides may be there.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

from tankside.case import CaseView, Reading
from tankside.case.water_test import WaterTest
from tankside.course.amounts.water_account import WaterAccount
from tankside.course.bodies.effects import SALT
from tankside.quantity import Kind
from tankside.quantity.per import MG_PER_G
from tankside.water.physical import CHLORIDE_PER_SALT

FRESH = "fresh"
Enter = Callable[[WaterAccount], None]


def salt_read(view: CaseView, systems: Collection[str]) -> Iterator[tuple[WaterTest, Enter]]:
    """Yield each reading of salinity or chloride in some waters and what it does to the account."""
    for test in view.water_tests:
        if test.system in systems and test.sample == "tank":
            for enter in _readings(view, test.system, test):
                yield test, enter


def _readings(view: CaseView, system: str, test: WaterTest) -> Iterator[Enter]:
    for line in test.readings:
        if line.amount is None:
            continue
        if line.what is Reading.CHLORIDE:
            chloride = line.amount.measured(Kind.CHLORIDE).number("mg/L")
            yield _at_most(chloride / CHLORIDE_PER_SALT)
        if line.what is Reading.SALINITY and _is_fresh(view, system):
            value = line.amount.measured(Kind.SALINITY, Kind.PRACTICAL_SALINITY)
            unit = "psu" if value.kind is Kind.PRACTICAL_SALINITY else "g/L"
            yield _stands(value.number(unit) * MG_PER_G)


def _is_fresh(view: CaseView, system: str) -> bool:
    place = view.systems.get(system)
    described = None if place is None else place.description.water
    return (described or view.opened.water) == FRESH


def _at_most(mg_l: float) -> Enter:
    return lambda account: account.at_most(SALT, mg_l)


def _stands(mg_l: float) -> Enter:
    return lambda account: account.read(SALT, mg_l, mg_l)
