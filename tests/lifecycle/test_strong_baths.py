"""Short strong baths: times to all dead in a dish, and how little of that reaches a fish."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from tests.lifecycle.tanks import body, play, start, stating, tank_hours

from tankside import library
from tankside.course.bodies.tank_hours import Channel, TimedEvent

FLUKE = "dactylogyrus_vastator"


def left_alive(mg_l: float, minutes: float, *, dish: bool, each: float = 400.0) -> np.ndarray:
    """Return the share of adult flukes that one bath leaves on the fish, in each history."""
    fluke = library.load().organisms[FLUKE]
    if dish:
        fluke = stating(fluke, kill__formalin__adult__transfer=1.0)
    bath = TimedEvent(
        1, "main", Channel.BATH, group="fish", agent="formalin", amount=mg_l, minutes=minutes
    )
    counts = []
    for events in ((), (bath,)):
        water = tank_hours(body(hours=6, warm=24.0), events=events)
        result = play(
            fluke, water, start(each, exact=True), histories=96, record_h=(3,), fixed=dish
        )
        counts.append(result.burden[:, 0, 0])
    return np.asarray(counts[1] / np.maximum(counts[0], 1))


@pytest.mark.parametrize(("mg_l", "minutes"), [(200.0, 16.0), (100.0, 47.0)])
def test_both_printed_times_in_a_dish_leave_one_of_a_hundred(mg_l: float, minutes: float) -> None:
    # Tancredo et al. 2018: all dead in 16 min at 200 mg/L, in 47 min at 100 mg/L (calibration).
    # The bath acts on the adults; those that still grow on the gill share the figure.
    assert left_alive(mg_l, minutes, dish=True).mean() == pytest.approx(0.01, abs=0.01)


def test_a_bath_of_minutes_does_not_act_by_the_logarithm_of_its_strength() -> None:
    # The curve of long baths alone would leave exp(-0.97 x 16 / 60) = 77 of 100.
    assert left_alive(200.0, 16.0, dish=True).mean() < 0.1


def test_fish_in_a_tank_keep_more_of_them_than_a_dish() -> None:
    # Forwood et al. 2013: over 90 % in a dish in 100 min at 100 mg/L, no effect on silver perch.
    on_fish, in_dish = (left_alive(100.0, 100.0, dish=dish) for dish in (False, True))
    assert in_dish.mean() < 0.1
    low, high = np.quantile(on_fish, (0.05, 0.95))
    assert low < 0.1
    assert high > 0.3


def test_strength_far_below_what_was_tried_acts_as_a_long_bath() -> None:
    # 49 mg/L is under half of the weakest tried, 100 mg/L: ln(1 + (49 / 150)^1.7) an hour.
    wanted = np.exp(-np.log1p((49 / 150) ** 1.7))
    assert left_alive(49.0, 60.0, dish=True).mean() == pytest.approx(wanted, abs=0.02)


def test_stronger_never_kills_less() -> None:
    left = [left_alive(mg_l, 10.0, dish=True).mean() for mg_l in (20, 49, 51, 100, 400, 4000)]
    assert all(later <= before + 0.005 for before, later in pairwise(left))
