"""A new filter in a body with fish: bounds, changes by hand, acid, what is not worked out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tankside.claims import Knowledge
from tankside.course import BodyKind, Course, FilterState, StockGroup, System, Volume, run
from tankside.course.actions import WaterChange
from tankside.course.bodies.strata import THREE_STRATA
from tankside.course.water.filter_growth import DailyChange, FilterGrowth, filter_growth
from tankside.library import load

WEEKS_6 = 6 * 7 * 24


@pytest.fixture(scope="module")
def library() -> Knowledge:
    return load()


@pytest.fixture
def tank() -> System:
    return System(
        "main", "the tank", BodyKind.MAIN, Volume(162, 162, 162, "inside measures"),
        water="fresh", temperature_c=24.0, ph=7.6, total_ammonia_mg_l_n=2.0, nitrite_mg_l_n=0.0,
        filter_state=FilterState.UNRIPE,
    )  # fmt: skip


def growth(
    tank: System, facts: Knowledge, course: Course | None = None, change: DailyChange | None = None
) -> FilterGrowth | None:
    fish = StockGroup("g", "carassius_auratus", "oranda", 2, 6.0, (4.0, 5.0, 6.0), "main")
    made = run([tank], [fish], course or Course("none", 5, ()), facts)
    bodies = [stratum.bodies[0] for stratum in made.tank_hours.strata]
    nitrogen = made.nitrogen["main"]
    return filter_growth(tank, nitrogen, bodies, THREE_STRATA, facts, WEEKS_6, change)


def known(answer: FilterGrowth | None) -> FilterGrowth:
    assert answer is not None
    return answer


def test_it_begins_at_the_readings_and_ends_grown(tank: System, library: Knowledge) -> None:
    ahead = known(growth(tank, library))
    np.testing.assert_allclose(ahead.ammonia_mg_l_n[:, 0], 2.0)
    np.testing.assert_allclose(ahead.nitrite_mg_l_n[:, 0], 0.0)
    likely = ahead.ammonia_mg_l_n[ahead.middle]
    assert likely.max() > 2.0
    assert likely[-1] < 0.05
    assert ahead.ammonia_mg_l_n.max(axis=0)[-1] > likely[-1]


def test_a_change_takes_its_share_at_once(tank: System, library: Knowledge) -> None:
    """By hand: 54 of 162 L leave two thirds of what was there at that hour."""
    kept = known(growth(tank, library))
    course = Course("change", 5, (WaterChange(10, "main", 54.0),))
    changed = known(growth(tank, library, course))
    np.testing.assert_allclose(
        changed.ammonia_mg_l_n[:, 10], kept.ammonia_mg_l_n[:, 10] * 2 / 3, rtol=1e-9
    )


def test_daily_changes_hold_the_peak_down(tank: System, library: Knowledge) -> None:
    """A third a day of what is made: at most three days' worth stands, plus what was there."""
    alone = known(growth(tank, library))
    changed = known(growth(tank, library, change=DailyChange(1 / 3, 24)))
    assert (changed.ammonia_mg_l_n.max(axis=1) <= alone.ammonia_mg_l_n.max(axis=1) + 1e-9).all()
    np.testing.assert_allclose(
        changed.ammonia_mg_l_n[:, 24], alone.ammonia_mg_l_n[:, 24] * 2 / 3, rtol=1e-9
    )


def test_nitrite_that_stands_is_not_foretold_to_vanish(tank: System, library: Knowledge) -> None:
    """The many nitrite oxidisers of the diaries would take it in a day: it stands, so they lag."""
    ahead = known(growth(replace(tank, nitrite_mg_l_n=1.5), library))
    assert ahead.nitrite_mg_l_n[:, 3 * 24].min() > 1.0


def test_acid_water_stops_it(tank: System, library: Knowledge) -> None:
    ahead = known(growth(replace(tank, ph=5.9), library))
    assert (np.diff(ahead.ammonia_mg_l_n, axis=1) > 0).all()
    np.testing.assert_allclose(ahead.nitrite_mg_l_n, 0.0)


def test_alkalinity_that_is_read_is_used_up(tank: System, library: Knowledge) -> None:
    free = known(growth(tank, library))
    bound = known(growth(replace(tank, alkalinity_mg_l_caco3=10.0), library))
    assert bound.alkalinity_is_read
    assert not free.alkalinity_is_read
    assert bound.ammonia_mg_l_n[bound.middle, -1] > free.ammonia_mg_l_n[free.middle, -1] + 1


@pytest.mark.parametrize(
    "other",
    [{"filter_state": FilterState.RIPE}, {"filter_state": None}, {"water": "marine"},
     {"ph": None}, {"temperature_c": None}, {"nitrite_mg_l_n": None},
     {"total_ammonia_mg_l_n": None}],
    ids=lambda other: next(iter(other)),
)  # fmt: skip
def test_what_is_not_read_or_not_new_is_not_worked_out(
    tank: System, library: Knowledge, other: dict[str, object]
) -> None:
    assert growth(replace(tank, **other), library) is None  # type: ignore[arg-type]
