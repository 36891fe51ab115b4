"""The look that narrows the losses most, against what is known of made-up histories."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.lifecycle.tanks import body, play, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.lifecycle.results.next_look import next_look

RUNS = 400


@pytest.fixture(scope="module")
def plain() -> lifecycle.Histories:
    water = tank_hours(body(hours=96))
    return play(white_spot(), water, start(5.0), histories=RUNS)


def with_losses(
    histories: lifecycle.Histories, early: np.ndarray, late: np.ndarray
) -> lifecycle.Histories:
    """Return histories in which so many of ten fish are dead by day 2, and by day 4."""
    alive = np.full_like(histories.alive, 10)
    alive[:, 2:, 0] = 10 - early[:, np.newaxis]
    alive[:, 4:, 0] = 10 - late[:, np.newaxis]
    nothing = np.zeros_like(histories.fish_visible)
    return replace(histories, alive=alive, fish_visible=nothing)


def test_the_dead_tell_all_where_nobody_dies_later(plain: lifecycle.Histories) -> None:
    early = np.random.default_rng(1).integers(0, 4, RUNS)
    look = next_look(with_losses(plain, early, early), "fish", "spots", 5)
    assert look is not None
    assert (look.how, look.day) == ("deaths", 2)
    assert look.narrows == pytest.approx(1.0, abs=0.05)


def test_half_of_the_spread_is_left_where_as_much_comes_later(plain: lifecycle.Histories) -> None:
    # Losses are the sum of two equal independent parts: sqrt(1/2) of the spread is left.
    chance = np.random.default_rng(2)
    early, more = chance.integers(0, 5, RUNS), chance.integers(0, 5, RUNS)
    look = next_look(with_losses(plain, early, early + more), "fish", "spots", 5)
    assert look is not None
    assert look.narrows == pytest.approx(1 - np.sqrt(1 / 2), abs=0.06)


def test_no_look_is_named_that_tells_nothing(plain: lifecycle.Histories) -> None:
    late = np.random.default_rng(3).integers(0, 8, RUNS)
    assert next_look(with_losses(plain, np.zeros_like(late), late), "fish", "spots", 5) is None
