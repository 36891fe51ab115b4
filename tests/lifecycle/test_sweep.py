"""Where advice flips: crossings by hand, one claim held, common random numbers, last dose day."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.lifecycle.tanks import body, deathless, fish, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.lifecycle.results.endpoints import clear_at
from tankside.lifecycle.results.first_passage import NEVER
from tankside.lifecycle.results.sweep import (
    flips,
    held_at,
    last_dose_day,
    sweep_point,
    treated_until,
    tried_values,
)

SALT = "cyst.release_salt_half_g_l"
HOURS = 480


def player(draws: lifecycle.Draws, *salts: float) -> Sequence[lifecycle.Histories]:
    """Play a course of each salinity under common random numbers."""
    played = []
    for salt in salts:
        water = tank_hours(body(hours=HOURS, litres=300, salt=salt))
        compiled = lifecycle.compile(deathless(white_spot()), water, (fish(),))
        rows = len(draws.weights)
        played.append(lifecycle.run(compiled, start(8.0), draws, rows, 5, threads=1))
    return played


@pytest.fixture(scope="module")
def draws() -> lifecycle.Draws:
    return lifecycle.draw(white_spot(), 256, 5)


def test_holding_a_claim_changes_that_claim_alone(draws: lifecycle.Draws) -> None:
    held = held_at(draws, SALT, 1.25)
    place = draws.keys.index(SALT)
    assert (held.column(SALT) == 1.25).all()
    assert np.array_equal(np.delete(held.values, place, 1), np.delete(draws.values, place, 1))
    assert draws.column(SALT).std() > 0


def test_the_values_tried_are_quantiles_of_what_is_drawn(draws: lifecycle.Draws) -> None:
    tried = tried_values(draws, SALT)
    other = np.quantile(draws.column(SALT), (0.05, 0.25, 0.5, 0.75, 0.95), method="inverted_cdf")
    assert tried == tuple(other)
    assert list(tried) == sorted(tried)


def test_a_claim_held_where_it_was_drawn_is_the_same_run(draws: lifecycle.Draws) -> None:
    plain = player(draws, 1.3)[0]
    value = float(draws.column(SALT)[17])
    held = player(held_at(draws, SALT, value), 1.3)[0]
    assert np.array_equal(plain.burden[17], held.burden[17])
    assert not np.array_equal(plain.burden, held.burden)


def test_a_sweep_says_when_weaker_salt_no_longer_does_as_well(draws: lifecycle.Draws) -> None:
    values = (0.8, 1.1, 1.3, 1.6, 2.0)
    points = []
    for value in values:
        weak, strong = player(held_at(draws, SALT, value), 1.3, 1.9)
        points.append(sweep_point(value, (weak, strong), lambda run: float(run.at_h[-1])))
        other = clear_at(weak).mean() - clear_at(strong).mean()
        assert points[-1].difference == pytest.approx(other)
        assert (points[-1].value, points[-1].recheck) == (value, HOURS)
    shares = [point.clear[0].share for point in points]
    assert shares == sorted(shares, reverse=True)
    days = [point.last_dose for point in points]
    assert days == sorted(days)
    # Where both strengths stop every release they do equally well; where release still goes on
    # at 1.3 g/L and not at 1.9 g/L, the weaker one clears fewer.
    assert abs(points[0].difference) < 0.03
    assert points[3].difference < -0.3
    crossings = flips(values, [p.difference + 0.1 for p in points], [p.error for p in points])
    assert len(crossings) >= 1
    assert 0.8 <= crossings[0].value <= 1.3


def test_the_error_of_a_paired_difference_is_the_textbook_one(draws: lifecycle.Draws) -> None:
    weak, strong = player(held_at(draws, SALT, 1.3), 1.3, 1.6)
    point = sweep_point(1.3, (weak, strong), lambda _: 0.0)
    pairs = clear_at(weak).astype(float) - clear_at(strong)
    assert point.error == pytest.approx(pairs.std() / np.sqrt(256))


@pytest.mark.parametrize(
    ("margins", "errors", "expected"),
    [
        # (value, below, above, rising, sure) worked by hand; values are 1, 2, 4.
        ((-1.0, 1.0, 3.0), (0.1, 0.1, 0.1), [(1.5, 1, 2, True, True)]),
        ((3.0, 1.0, -1.0), (0.1, 0.1, 0.1), [(3.0, 2, 4, False, True)]),
        ((-1.0, 1.0, -0.1), (0.1, 0.1, 0.1), [(1.5, 1, 2, True, True),
                                              (2 + 2 / 1.1, 2, 4, False, False)]),
        ((-1.0, -1.0, np.inf), (0.0, 0.0, 0.0), [(3.0, 2, 4, True, True)]),
        ((-0.1, 1.0, 1.0), (0.1, 0.1, 0.1), [(1 + 0.1 / 1.1, 1, 2, True, False)]),
        ((1.0, 1.0, 1.0), (0.1, 0.1, 0.1), []),
    ],
)  # fmt: skip
def test_crossings_by_hand(
    margins: tuple[float, ...], errors: tuple[float, ...], expected: list[tuple[Any, ...]]
) -> None:
    crossings = [
        (f.value, f.below, f.above, f.rising, f.sure) for f in flips((1, 2, 4), margins, errors)
    ]
    assert crossings == [(pytest.approx(row[0]), *row[1:]) for row in expected]


@given(st.lists(st.floats(-5, 5).filter(lambda x: abs(x) > 1e-6), min_size=2, max_size=9))
def test_every_crossing_lies_between_its_neighbours(margins: list[float]) -> None:
    values = tuple(float(k) for k in range(len(margins)))
    crossings = flips(values, margins, [0.0] * len(margins))
    assert all(f.below <= f.value <= f.above for f in crossings)
    signs = [m > 0 for m in margins]
    assert len(crossings) == sum(a != b for a, b in pairwise(signs))


def some(clear: list[list[int]], alive: list[list[int]], weights: list[float]) -> Any:
    flags = np.asarray(clear, dtype=bool)
    return SimpleNamespace(
        clear=flags,
        alive=np.asarray(alive)[:, :, np.newaxis],
        weights=np.asarray(weights),
        at_h=np.arange(flags.shape[1]) * 24,
        days=np.arange(flags.shape[1], dtype=float),
    )


def test_the_last_dose_day_leaves_out_tanks_without_fish_and_clear_spells_that_end() -> None:
    run = some(
        [[0, 1, 1, 1], [0, 1, 0, 1], [0, 0, 0, 0]],
        [[1, 1, 1, 1], [1, 1, 1, 1], [1, 1, 0, 0]],
        [0.5, 0.25, 0.25],
    )
    # Day 2: of the runs with fish (weights 1/2, 1/4) one is clear for good: 2/3. Day 3: all.
    assert last_dose_day(run, 0.6) == 2
    assert last_dose_day(run, 0.9) == 3
    assert last_dose_day(some([[0, 0]], [[1, 1]], [1.0])) == NEVER


def test_an_agent_counts_as_there_until_it_falls_below_nine_tenths() -> None:
    assert treated_until(np.asarray([0, 1, 2, 2, 1.8, 1.79, 0])) == 4
    assert treated_until(np.zeros(5)) == 0
