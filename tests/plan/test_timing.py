"""Course length from the slow cycle, intervals from the fast one, litres in marks of a bucket."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest
from tests.plan.hand_made import STAYS

from tankside.errors import NotPossible
from tankside.plan.timing import (
    after_hatching_d,
    course_days,
    evenings,
    redose_every_d,
    round_litres,
)


@pytest.mark.parametrize(("slow", "cycles", "days"), [(7.0, 2, 14), (7.24, 2, 15), (7.24, 3, 22)])
def test_a_course_lasts_whole_slow_cycles_rounded_up(slow: float, cycles: float, days: int) -> None:
    assert course_days(replace(STAYS, cycle=(4.5, 5.75, slow)), cycles) == days


def test_a_course_lasts_at_least_the_longest_life_in_print_and_half_a_year_at_most() -> None:
    """Marine white spot: 72 days in the cyst and 7 on the fish are printed."""
    assert course_days(replace(STAYS, cycle=(4.5, 5.75, 15.4)), 2, 79.0) == 79
    assert course_days(replace(STAYS, cycle=(4.5, 5.75, 7.0)), 2, 8.0) == 14
    assert course_days(replace(STAYS, cycle=(4.5, 5.75, 7.0)), 2, 400.0) == 180


@pytest.mark.parametrize("slow", [90.1, inf])
def test_a_course_that_would_last_more_than_half_a_year_is_refused(slow: float) -> None:
    """Two cycles of 90 days are just the 180 days that are still simulated."""
    assert course_days(replace(STAYS, cycle=(60.0, 75.0, 90.0)), 2) == 180
    with pytest.raises(NotPossible) as refused:
        course_days(replace(STAYS, temperature_c=8.0, cycle=(60.0, 75.0, slow)), 2)
    assert (refused.value.code, refused.value.given) == ("E-PLAN-01", "8 C")


@pytest.mark.parametrize(
    ("choices", "kept"), [((1, 2, 3), (1, 2, 3)), ((2, 4, 5, 6), (2, 4)), ((5, 6), (5,)), ((), ())]
)
def test_no_fast_generation_passes_between_two_doses(
    choices: tuple[int, ...], kept: tuple[int, ...]
) -> None:
    """The fast cycle is 4.5 days; where every interval is longer the shortest stays."""
    assert redose_every_d(STAYS, choices) == kept


@pytest.mark.parametrize(
    ("litres", "volume_l", "marks_l"),
    [
        (37.1, 148.4, 35.0),  # 5 % are 7.4 L: marks of 5 L
        (43.25, 173.0, 40.0),  # 8.65 L: marks of 5 L
        (50.0, 200.0, 50.0),  # 10 L: marks of 10 L
        (139.0, 556.0, 120.0),  # 27.8 L: marks of 20 L
        (4.5, 18.0, 4.5),  # 0.9 L: marks of half a litre
        (1.0, 100.0, 5.0),  # less than one mark is one mark
    ],
)
def test_litres_are_told_in_marks_of_at_most_a_twentieth_of_the_water(
    litres: float, volume_l: float, marks_l: float
) -> None:
    assert round_litres(litres, volume_l) == pytest.approx(marks_l)


def test_an_interval_of_just_a_fast_cycle_is_kept() -> None:
    assert redose_every_d(replace(STAYS, cycle=(4.0, 5.0, 7.0)), (2, 4, 6)) == (2, 4)


def test_evenings_begin_with_the_first_and_end_with_the_course() -> None:
    """Five days have hours 0 to 119; the next evening after hour 114 lies outside."""
    assert evenings(18, 1, 5) == (18, 42, 66, 90, 114)
    assert evenings(18, 2, 5) == (18, 66, 114)
    assert evenings(42, 3, 5) == (42, 114)
    assert evenings(120, 1, 5) == ()


@pytest.mark.parametrize(
    ("window_d", "least_d", "days"),
    [((3.5, 5.2), 3, (4, 5)), ((3.5, 5.2), 5, (5,)), ((5.9, 8.8), 3, (6, 8)), ((4.2, 4.9), 3, ()),
     ((3.5, 5.2), 6, ()), (None, 3, ())],
)  # fmt: skip
def test_the_next_dose_is_tried_on_the_ends_of_the_time_between_hatching_and_laying(
    window_d: tuple[float, float] | None, least_d: int, days: tuple[int, ...]
) -> None:
    assert after_hatching_d(window_d, least_d) == days
