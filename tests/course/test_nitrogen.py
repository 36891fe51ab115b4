"""Ammonia and nitrite: steady at the readings, worse when the filter is hurt, asked if unknown."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tankside.claims import Knowledge
from tankside.course import (
    BodyKind,
    Course,
    CourseRun,
    FilterState,
    StockGroup,
    System,
    Volume,
    run,
)
from tankside.course.actions import Dose, Fast, Transfer, WaterChange
from tankside.library import load


@pytest.fixture(scope="module")
def library() -> Knowledge:
    return load()


@pytest.fixture
def tank() -> System:
    return System(
        "main", "the tank", BodyKind.MAIN, Volume(162, 162, 162, "inside measures"),
        water="fresh", temperature_c=19.0, ph=7.8, total_ammonia_mg_l_n=0.3, nitrite_mg_l_n=0.1,
        filter_state=FilterState.RIPE,
    )  # fmt: skip


@pytest.fixture
def goldfish() -> StockGroup:
    return StockGroup("g", "carassius_auratus", "oranda", 2, 14.0, (40.0, 60.0, 90.0), "main")


def ammonia(result: CourseRun, stratum: int = 1) -> np.ndarray:
    return result.tank_hours.strata[stratum].bodies[0].total_ammonia_mg_l_n


def nitrite(result: CourseRun, stratum: int = 1) -> np.ndarray:
    return result.tank_hours.strata[stratum].bodies[0].nitrite_mg_l_n


def test_a_ripe_filter_holds_the_readings(
    tank: System, goldfish: StockGroup, library: Knowledge
) -> None:
    result = run([tank], [goldfish], Course("none", 5, ()), library)
    for stratum in range(3):
        np.testing.assert_allclose(ammonia(result, stratum), 0.3, rtol=0.02)
        np.testing.assert_allclose(nitrite(result, stratum), 0.1, rtol=0.05)


def test_unripe_filter_piles_up_what_the_food_makes(
    tank: System, goldfish: StockGroup, library: Knowledge
) -> None:
    """92 g of ammonia nitrogen per kg protein fed (Timmons & Ebeling, from memory): 120 g of
    fish at 1 % a day of 40 % protein food make 44 mg a day, 0.27 mg/L in 162 L."""
    unripe = replace(tank, filter_state=FilterState.UNRIPE)
    result = run([unripe], [goldfish], Course("none", 3, ()), library)
    per_day = ammonia(result)[48] - ammonia(result)[24]
    assert per_day == pytest.approx(120 * 0.01 * 0.4 * 0.092 * 1000 / 162, rel=1e-9)


def test_fasting_makes_less(tank: System, goldfish: StockGroup, library: Knowledge) -> None:
    unripe = replace(tank, filter_state=FilterState.UNRIPE)
    fed = run([unripe], [goldfish], Course("none", 3, ()), library)
    fast = run([unripe], [goldfish], Course("fast", 3, (Fast(0, "main"),)), library)
    assert ammonia(fast)[-1] < ammonia(fed)[-1]


def test_a_lost_filter_is_lost_in_every_stratum_and_one_at_risk_in_the_harsh_one(
    tank: System, goldfish: StockGroup, library: Knowledge
) -> None:
    lost = run(
        [tank], [goldfish], Course("m", 5, (Dose(0, "main", "methylene_blue", 1.0),)), library
    )
    risk = run([tank], [goldfish], Course("m", 5, (Dose(0, "main", "formalin", 15.0),)), library)
    none = run([tank], [goldfish], Course("n", 5, ()), library)
    assert all(ammonia(lost, s)[-1] > 1.5 * ammonia(none, s)[-1] for s in range(3))
    assert ammonia(risk, 0)[-1] > ammonia(risk, 1)[-1] > ammonia(risk, 2)[-1] - 1e-12
    np.testing.assert_allclose(ammonia(risk, 2), ammonia(none, 2))


@pytest.mark.parametrize(
    ("change", "asks"),
    [
        ({"filter_state": None}, "whether the filter is ripe"),
        ({"total_ammonia_mg_l_n": None}, "ammonia"),
    ],
)
def test_unknown_is_asked_not_assumed(
    tank: System, goldfish: StockGroup, library: Knowledge, change: dict[str, Any], asks: str
) -> None:
    silent = replace(tank, **change)
    steps = (WaterChange(10, "main", 20),)
    result = run([silent], [goldfish], Course("c", 2, steps), library)
    assert np.isnan(ammonia(result)).all()
    assert any(c.code == "S-AMMONIA-ASK" and asks in c.words for c in result.safety)


def test_unknown_weight_is_asked(tank: System, library: Knowledge) -> None:
    fish = StockGroup("g", None, "something", 3, None, None, "main")
    result = run([tank], [fish], Course("c", 2, (WaterChange(10, "main", 20),)), library)
    assert np.isnan(ammonia(result)).all()
    assert any("length or weight of something" in c.words for c in result.safety)


def test_half_a_change_halves_ammonia_at_once(
    tank: System, goldfish: StockGroup, library: Knowledge
) -> None:
    result = run([tank], [goldfish], Course("c", 2, (WaterChange(10, "main", 81),)), library)
    assert ammonia(result)[10] == pytest.approx(0.15, rel=1e-6)


def test_s2_toxic_part_is_0_027(goldfish: StockGroup, library: Knowledge) -> None:
    """S2: 1.2 mg/L N at 19.0 C and pH 7.8 is 0.027 toxic N (expert line, Emerson 1975)."""
    from tankside.course.bodies.strata import THREE_STRATA
    from tankside.course.safety.gases import toxic_ammonia
    from tankside.course.water.body_run import BodyEffects, BodyRun
    from tankside.course.water.chemistry import chemistry

    s2 = System(
        "main", "the tank", BodyKind.MAIN, Volume(162, 162, 162, "x"), water="fresh",
        temperature_c=19.0, ph=7.8, total_ammonia_mg_l_n=1.2, nitrite_mg_l_n=0.8,
        filter_state=FilterState.UNRIPE,
    )  # fmt: skip
    body = BodyRun(s2, BodyEffects(), THREE_STRATA, 24, library)
    water = chemistry([body], [goldfish], {"g": np.zeros(24, dtype=np.int16)})[0]
    toxic = toxic_ammonia(water, 1)
    assert toxic is not None
    assert toxic[0] == pytest.approx(0.027, abs=0.0005)


def test_s4_ammonia_of_the_unripe_box_lies_inside_the_bracket(library: Knowledge) -> None:
    """S4: 10 ember tetras 2 cm and 4 otocinclus 3.5 cm moved to 18 L; 0.2, 0.5 and 0.9 mg/L N
    were read on days 1 to 3 with nothing changed."""
    display = System(
        "display", "the tank", BodyKind.MAIN, Volume(58, 58, 58, "x"), water="fresh",
        temperature_c=24.0, ph=6.8,
    )  # fmt: skip
    box = System(
        "box", "the box", BodyKind.HOSPITAL, Volume(18, 18, 18, "x"), water="fresh",
        temperature_c=24.0, ph=6.8, total_ammonia_mg_l_n=0.0, nitrite_mg_l_n=0.0,
        filter_state=FilterState.UNRIPE,
    )  # fmt: skip
    stock = [
        StockGroup("ember", None, "ember tetras", 10, 2.0, None, "display"),
        StockGroup("oto", "otocinclus_spp", "otocinclus", 4, 3.5, None, "display"),
    ]
    moves = tuple(Transfer(0, "display", group.id, "box") for group in stock)
    result = run([display, box], stock, Course("box", 4, moves), library)
    harsh, _, mild = (s.bodies[1].total_ammonia_mg_l_n for s in result.tank_hours.strata)
    for day, read in ((1, 0.2), (2, 0.5), (3, 0.9)):
        assert mild[day * 24] < read < harsh[day * 24]
