"""An agent that drives a stage off the fish alive: closed form of the time to leave."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.lifecycle.tanks import adding, body, deathless, fish, play, start, tank_hours, white_spot

from tankside import lifecycle

HOURS = 240
LOOKS = tuple(range(HOURS + 1))


def half_left(strength: float, *, least: float = 0.0, **levels: Any) -> int:
    """Return the hour at which half of fresh arrivals have left; in such water none come anew."""
    organism = adding(
        deathless(white_spot()),
        leave__formalin__trophont__mg_h_l=100.0,
        leave__formalin__trophont__least_mg_l=least,
    )
    residue = {"formalin": np.full(HOURS, strength)} if strength else None
    water = tank_hours(body(hours=HOURS, litres=1e8, residue=residue, **levels))
    begin = start(200.0, age=0.0, steady_bottom=False)
    histories = play(organism, water, begin, fixed=True, record_h=LOOKS, histories=32)
    left = histories.burden.sum(axis=(0, 2))
    return int((left < left[0] / 2).argmax())


@pytest.mark.parametrize("strength", [1.0, 2.0, 5.0])
def test_natural_leaving_and_driving_add_up(strength: float) -> None:
    stay_h = 24 * 120 * 0.9 / (20 - 3.1)  # degree-days over degrees, times the strain
    pushed_h = 0.9 * 100.0 / strength
    expected = 1 / (1 / stay_h + 1 / pushed_h)
    assert half_left(0.0, warm=20.0) == pytest.approx(stay_h, rel=0.03)
    assert half_left(strength, warm=20.0) == pytest.approx(expected, abs=2)


def test_water_weaker_than_what_was_tried_drives_nothing_off() -> None:
    assert half_left(2.0, least=2.1, warm=20.0) == half_left(0.0, warm=20.0)
    assert half_left(2.0, least=2.0, warm=20.0) == half_left(2.0, warm=20.0)


def test_what_is_driven_off_is_told_and_not_called_dead() -> None:
    organism = adding(white_spot(), leave__formalin__trophont__mg_h_l=100.0)
    residue = {"formalin": np.full(HOURS, 5.0)}
    water = tank_hours(body(hours=HOURS, residue=residue))
    compiled = lifecycle.compile(organism, water, (fish(),))
    formalin = {factor.driver: factor for factor in lifecycle.active_factors(compiled)}["formalin"]
    assert any("leaves the fish early, alive" in words for words in formalin.reaches)
    assert formalin.unknown == ()
    begin = start(20.0, age=0.0, steady_bottom=False)
    histories = play(deathless(organism), water, begin, fixed=True, record_h=LOOKS)
    assert histories.bottom[:, 40].sum() > 0
