"""Quantile tables against the distributions of a reference library."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy import stats

from tankside.claims.organism import Spread
from tankside.lifecycle.inputs.residence_time import probabilities, quantile_table

INNER = slice(64, 960)


@pytest.mark.parametrize(
    ("spread", "width", "law"),
    [
        (Spread.GAMMA, 0.15, stats.gamma(1 / 0.15**2, scale=0.15**2)),
        (Spread.GAMMA, 0.6, stats.gamma(1 / 0.6**2, scale=0.6**2)),
        (Spread.LOGNORMAL, 0.5, stats.lognorm(0.5)),
        (Spread.EXPONENTIAL, 1.0, stats.expon()),
    ],
)
def test_table_is_the_quantile_function(spread: Spread, width: float, law: Any) -> None:
    u, _ = probabilities()
    table = quantile_table(spread, width)
    assert table == pytest.approx(law.ppf(u), rel=1e-6)


def test_upper_tail_keeps_its_digits() -> None:
    _, left = probabilities()
    table = quantile_table(Spread.GAMMA, 0.15)
    law = stats.gamma(1 / 0.15**2, scale=0.15**2)
    assert table[-1] == pytest.approx(law.isf(left[-1]), rel=1e-9)


def test_long_tail_is_the_stated_mixture() -> None:
    table = quantile_table(Spread.LONG_TAIL, 0.3, (0.05, 3.0, 0.5))
    u, _ = probabilities()
    mixed = 0.95 * stats.lognorm(0.3).cdf(table) + 0.05 * stats.lognorm(0.5, scale=3.0).cdf(table)
    assert mixed == pytest.approx(u, abs=2e-5)


def test_straight_lines_between_nodes_keep_mean_and_spread() -> None:
    main, low, high = quantile_table(Spread.GAMMA, 0.35).reshape(3, 1025)
    lines = np.concatenate([low, main[1:-1], high])
    weight = np.concatenate([low_weight(), np.ones(1022), low_weight()])
    middle = np.concatenate([halves(low), halves(main)[1:-1], halves(high)])
    mean = np.average(middle, weights=weight)
    assert mean == pytest.approx(1.0, abs=5e-5)
    assert np.average((middle - mean) ** 2, weights=weight) == pytest.approx(0.35**2, abs=1e-4)
    assert np.all(np.diff(lines) >= 0)


def halves(nodes: np.ndarray) -> np.ndarray:
    middle: np.ndarray = (nodes[1:] + nodes[:-1]) / 2
    return middle


def low_weight() -> np.ndarray:
    return np.full(1024, 1 / 1024)
