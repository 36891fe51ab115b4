"""What a reading of copper says by the form of the kit; rock and sand in the account."""

from __future__ import annotations

from math import exp

import pytest

from tankside import library
from tankside.course import Volume
from tankside.course.amounts.water_account import WaterAccount
from tankside.intake.account import Movement
from tankside.intake.joined_account import PartOfWater, balance
from tankside.intake.strength_readings import FREE, TOTAL, CopperReading, kit_reading
from tankside.quantity.moment import Moment

FACTS = library.load()
WATER = Volume(100.0, 100.0, 100.0, "two ways")
COPPER = "copper_ionic"
AT = Moment("2026-03-02T08:00+00:00")
# Common practice, no source: a kit for free copper reads bound copper wrongly, one for total
# copper reads all of it.
SAID = [
    (None, False, (0.18, 0.18), None),
    ("free", False, (0.18, 0.18), None),
    ("total", False, (0.0, 0.18), None),
    (None, True, None, None),
    ("free", True, (0.18, 0.18), None),
    ("total", True, (0.0, 0.18), (0.18, 0.18)),
]


@pytest.mark.parametrize(("form", "bound", "free", "total"), SAID)
def test_a_reading_says_what_its_kit_can_read(
    form: str | None,
    bound: bool,
    free: tuple[float, float] | None,
    total: tuple[float, float] | None,
) -> None:
    reading = CopperReading(1, "main", AT, 0.18, form, bound)
    assert (reading.of(FREE), reading.of(TOTAL)) == (free, total)


@pytest.mark.parametrize(
    ("agent", "read"),
    [
        (COPPER, (FREE, 1.0)),
        # 249.68 / 63.546 (IUPAC masses, from memory)
        ("copper_sulphate", (FREE, pytest.approx(3.929, rel=1e-3))),
        ("copper_chelated", (TOTAL, 1.0)),
        ("copper_citrated", (TOTAL, 1.0)),
        ("formalin", None),
    ],
)
def test_which_copper_is_read_how(agent: str, read: tuple[str, float] | None) -> None:
    assert kit_reading(FACTS.agents[agent]) == read


def put_in(account: WaterAccount) -> None:
    account.put_in(COPPER, 18.0, 18.0)


def test_rock_and_sand_lower_the_low_edge_of_the_account_alone() -> None:
    """The loss on file: at most 0.0624 an hour, at least nothing."""
    after = {
        substrate: balance(
            FACTS,
            {"main": PartOfWater(WATER, ((-1.0, False),), substrate=substrate)},
            [Movement(0.0, 1, "main", put_in)],
            [],
            "main",
            24.0,
        )[0]
        for substrate in (True, None, False)
    }
    low = {substrate: lot.low_mg_l or 0.0 for substrate, lot in after.items()}
    assert low[True] == low[None] == pytest.approx(low[False] * exp(-0.0624 * 24))
    assert {lot.high_mg_l for lot in after.values()} == {0.18}
