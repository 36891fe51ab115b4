"""Weighted summaries against numpy's own weighted quantiles and against counting by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.lifecycle.results.weighted import effective, quantiles, share

LEVELS = (0.05, 0.25, 0.5, 0.75, 0.95)
# Weights are eighths, so that no sum of them is rounded and ties fall the same way everywhere.
rows = st.lists(st.tuples(st.integers(0, 40), st.integers(1, 16)), min_size=1, max_size=60)


@given(rows)
def test_quantiles_agree_with_numpy(pairs: list[tuple[int, int]]) -> None:
    values = np.asarray([float(v) for v, _ in pairs])
    weights = np.asarray([w / 8 for _, w in pairs])
    other = np.quantile(values, LEVELS, method="inverted_cdf", weights=weights)
    assert quantiles(values, weights, LEVELS) == tuple(other)


@given(rows)
def test_quantiles_rise_with_their_level(pairs: list[tuple[int, int]]) -> None:
    rising = quantiles(
        np.asarray([v for v, _ in pairs]), np.asarray([float(w) for _, w in pairs]), LEVELS
    )
    assert list(rising) == sorted(rising)


def test_what_never_happens_is_the_highest_value() -> None:
    days = np.asarray([3.0, np.inf, 5.0, np.inf])
    assert quantiles(days, np.ones(4), (0.25, 0.5, 0.75)) == (3.0, 5.0, np.inf)


def test_equal_weights_are_worth_their_number_and_one_heavy_history_is_worth_one() -> None:
    assert effective(np.full(128, 1 / 128)) == pytest.approx(128)
    assert effective(np.asarray([1.0, 1e-9, 1e-9])) == pytest.approx(1, abs=1e-6)
    assert effective(np.zeros(3)) == 0


@pytest.mark.parametrize("small", [1e-160, 1e-200, 1e-300, 5e-324])
def test_weights_whose_squares_are_nothing_count_like_others(small: float) -> None:
    assert effective(np.full(3, small)) == pytest.approx(3)
    assert share(np.asarray([True, True, False]), np.full(3, small)).share == pytest.approx(2.5 / 4)


def test_a_share_of_flags_is_counted_and_a_share_of_chances_is_their_mean() -> None:
    flags = np.asarray([True, True, True, False])
    chance = share(flags, np.full(4, 1 / 4))
    # (3 + 1/2) / (4 + 1): the middle of a Jeffreys prior (Brown, Cai & DasGupta 2001).
    assert chance.share == pytest.approx(3.5 / 5)
    chances = share(np.asarray([0.5, 1.0, 0.0, 0.5]), np.full(4, 1 / 4))
    assert chances.share == pytest.approx(2.5 / 5)


def test_without_weight_nothing_is_known() -> None:
    assert share(np.asarray([True]), np.zeros(1)).share == pytest.approx(0.5)
