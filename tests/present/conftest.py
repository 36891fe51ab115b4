"""A course to show: a tank of 173 L, salt in two steps, siphoning with put-back, counts."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from tankside import course
from tankside.course import (
    BodyKind,
    Course,
    CourseRun,
    LabelEntry,
    NewWater,
    StockGroup,
    StrengthBasis,
    System,
    Tool,
    ToolUnit,
    Volume,
)
from tankside.course.actions import (
    Air,
    Carbon,
    Count,
    Siphon,
    TakeReading,
    UltraViolet,
    salt_steps,
)
from tankside.course.actions.action import Action
from tankside.course.bodies.system import Treated
from tankside.library import data_root, read_knowledge
from tankside.present.clock import CaseClock
from tankside.present.day_card import CardHead

LONDON = ZoneInfo("Europe/London")
SALT = LabelEntry(
    "sodium_chloride",
    Decimal(1),
    StrengthBasis.PURE,
    "NaCl",
    Decimal(1),
    None,
    Tool(ToolUnit.GRAM, Decimal(1)),
)


def make_run() -> CourseRun:
    system = System(
        "main",
        "the tank",
        BodyKind.MAIN,
        Volume(173, 173, 175, "inside measure and hose"),
        water="fresh",
        temperature_c=11.0,
        new_water=NewWater(treated=Treated.CHLORINE),
    )
    stock = StockGroup("loach", None, "clown loach", 2, 9, None, "main")
    actions: tuple[Action, ...] = (
        Air(8, "main", True),
        Carbon(8, "main", False),
        UltraViolet(8, "main", False),
        *salt_steps(18, "main", 2.0, 2, 24),
        Count(32, "main", "loach"),
        TakeReading(32, "main", ("temperature", "ammonia", "nitrite")),
        Siphon(42, "main", 40),
        *(Siphon(18 + 24 * day, "main", 40) for day in (11, 12, 13, 14)),
    )
    labels = {"sodium_chloride": SALT}
    return course.run(
        [system],
        [stock],
        Course("Salt at 2 g/L", 20, actions),
        read_knowledge(data_root(), []),
        labels,
    )


@pytest.fixture(scope="session")
def run() -> CourseRun:
    return make_run()


@pytest.fixture
def clock() -> CaseClock:
    """Hour 0 is 16 March 2026; the clocks go forward on day 13, 29 March."""
    return CaseClock(datetime(2026, 3, 16, tzinfo=UTC), LONDON)


@pytest.fixture
def head() -> CardHead:
    return CardHead("Mill Race, B. Tierney", "173 L of water", "Salt at 2 g/L", 2, "Case entry 41.")


@pytest.fixture
def day_one() -> date:
    return date(2026, 3, 17)
