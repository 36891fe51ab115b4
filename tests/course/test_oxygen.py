"""Oxygen is anchored at what was read; air, warmth and agents move it the right way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tankside.claims import Knowledge
from tankside.course import Aeration, BodyKind, Course, CourseRun, StockGroup, System, Volume, run
from tankside.course.actions import Air, Dose, ReadingTaken, Transfer, Warm
from tankside.library import load


@pytest.fixture(scope="module")
def library() -> Knowledge:
    return load()


@pytest.fixture
def fern_lane() -> System:
    """Scenario S4: 58 L planted, 24 C, oxygen 8.0 by day and 5.1 at dawn."""
    return System(
        "display", "the tank", BodyKind.MAIN, Volume(58, 58, 58, "inside measures"),
        water="fresh", temperature_c=24.0, ph=6.8, oxygen_mg_l=8.0, oxygen_dawn_mg_l=5.1,
        surface_area_m2=0.59 * 0.35, aeration=Aeration.AIR_STONE, plants=True,
    )  # fmt: skip


def day(result: CourseRun, number: int, stratum: int = 1) -> np.ndarray:
    body = result.tank_hours.strata[stratum].bodies[0]
    return body.oxygen_mg_l[number * 24 : number * 24 + 24]


def test_undisturbed_water_repeats_both_readings(fern_lane: System, library: Knowledge) -> None:
    result = run([fern_lane], [], Course("none", 3, ()), library)
    assert day(result, 2).min() == pytest.approx(5.1, abs=0.15)
    assert day(result, 2).max() == pytest.approx(8.0, abs=0.15)
    assert 6 <= int(day(result, 2).argmin()) <= 8  # lowest at the end of the dark hours


def test_s4_stopping_the_air_at_22_lowers_dawn_oxygen(
    fern_lane: System, library: Knowledge
) -> None:
    on = run([fern_lane], [], Course("none", 2, ()), library)
    off = run([fern_lane], [], Course("off", 2, (Air(22, "display", False),)), library)
    for stratum in range(3):
        assert day(off, 1, stratum).min() < day(on, 1, stratum).min() - 0.5
        np.testing.assert_array_equal(day(off, 0, stratum)[:22], day(on, 0, stratum)[:22])


def test_air_that_stops_raises_a_caution(fern_lane: System, library: Knowledge) -> None:
    otos = StockGroup("otos", "otocinclus_spp", "otocinclus", 4, 3.5, None, "display")
    off = run([fern_lane], [otos], Course("off", 2, (Air(22, "display", False),)), library)
    assert any(c.code == "S-OXYGEN" for c in off.safety)


def test_warming_lowers_oxygen(fern_lane: System, library: Knowledge) -> None:
    warm = run([fern_lane], [], Course("warm", 6, (Warm(0, "display", 28.0, 2.0),)), library)
    cool = run([fern_lane], [], Course("none", 6, ()), library)
    assert day(warm, 5).min() < day(cool, 5).min()


def test_unknown_oxygen_stays_unknown_and_is_asked_for_before_warming(
    fern_lane: System, library: Knowledge
) -> None:
    silent = replace(fern_lane, oxygen_mg_l=None, oxygen_dawn_mg_l=None)
    otos = StockGroup("otos", "otocinclus_spp", "otocinclus", 4, 3.5, None, "display")
    result = run([silent], [otos], Course("warm", 3, (Warm(0, "display", 26.0, 1.0),)), library)
    assert np.isnan(day(result, 1)).all()
    asked = [c for c in result.safety if c.code == "S-OXYGEN-ASK"]
    assert len(asked) == 1
    assert "oxygen, by day and at dawn" in asked[0].words


def test_gasping_fish_are_not_warmed_before_air(fern_lane: System, library: Knowledge) -> None:
    gasping = replace(fern_lane, oxygen_mg_l=None, oxygen_dawn_mg_l=None, gasping=True)
    otos = StockGroup("otos", "otocinclus_spp", "otocinclus", 4, 3.5, None, "display")
    result = run([gasping], [otos], Course("warm", 3, (Warm(0, "display", 26.0, 1.0),)), library)
    assert any(c.code == "S-OXYGEN" for c in result.blocked)


def test_formalin_takes_a_fifth_of_its_strength_in_oxygen(library: Knowledge) -> None:
    """25 mg/L formalin takes 5 mg/L oxygen (worked example, UF/IFAS VM-77): with almost no
    surface the fall over the hours it takes comes to that."""
    still = System(
        "t", "the tank", BodyKind.FISHLESS, Volume(1000, 1000, 1000, "x"), water="fresh",
        temperature_c=20.0, oxygen_mg_l=9.0, surface_area_m2=1e-6, filter_state=None,
    )  # fmt: skip
    result = run([still], [], Course("f", 3, (Dose(0, "t", "formalin", 25.0),)), library)
    fall = 9.0 - result.tank_hours.strata[1].bodies[0].oxygen_mg_l[40]
    assert fall == pytest.approx(5.0, abs=0.2)


def test_more_fish_use_more(fern_lane: System, library: Knowledge) -> None:
    box = System("box", "the box", BodyKind.HOSPITAL, Volume(18, 18, 18, "x"), water="fresh")
    there = StockGroup("a", None, "tetras", 10, 2.0, (0.08, 0.1, 0.12), "display")
    new = StockGroup("b", None, "newcomers", 10, 5.0, (1.0, 1.5, 2.0), "box")
    join = Course("join", 3, (Transfer(24, "box", "b", "display"),))
    alone = run([fern_lane, box], [there, new], Course("none", 3, ()), library)
    joined = run([fern_lane, box], [there, new], join, library)
    assert day(joined, 2).min() < day(alone, 2).min()


def test_a_reading_moves_the_curve(fern_lane: System, library: Knowledge) -> None:
    taken = Course("r", 2, (ReadingTaken(30, "display", {"oxygen_mg_l": 4.0}),))
    assert day(run([fern_lane], [], taken, library), 1)[6] == 4.0
