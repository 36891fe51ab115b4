"""Narrowing where histories are drawn from must not change what is believed.

The ratio of densities is checked against quadrature, and a belief from narrowed ranges against
the exact posterior of a small problem worked out on a fine grid.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.integrate import trapezoid

from tankside.follow.proposal import Proposal, allotted, log_density, narrowed, softened
from tankside.lifecycle import Draws, InitialState
from tankside.lifecycle.results.weighted import effective

WIDE = (2.0, 30.0, 900.0)


def drawn(limits: tuple[float, float, float], count: int, seed: int) -> np.ndarray:
    """Draw from a range half below its point and half above, log-uniform in each half."""
    luck = np.random.default_rng(seed).random(count)
    low, point, high = np.log(limits)
    burdens: np.ndarray = np.exp(
        np.where(
            luck < 0.5, low + (point - low) * 2 * luck, point + (high - point) * (2 * luck - 1)
        )
    )
    return burdens


def histories(values: np.ndarray) -> Any:
    """Stand in for histories: their weights and what was drawn."""
    count = len(values)
    draws = Draws(("claim", "per_fish.a"), np.column_stack([np.zeros(count), values]),
                  np.ones(count), 1)  # fmt: skip
    return SimpleNamespace(weights=np.ones(count), draws=draws)


def proposal(limits: tuple[float, float, float] = WIDE) -> Proposal:
    start = InitialState(per_fish={"a": limits})
    claims = Draws(("claim",), np.zeros((512, 1)), np.ones(512), 1)
    return Proposal(start, start, 1.0, 1.0, claims)


def log_poisson(mean: np.ndarray, count: int) -> np.ndarray:
    log: np.ndarray = count * np.log(mean) - mean
    return log


def test_density_over_log_burden_sums_to_one() -> None:
    grid = np.linspace(np.log(2), np.log(900), 200_001)
    heights = np.exp(log_density(WIDE, np.exp(grid)))
    assert trapezoid(heights, grid) == pytest.approx(1, abs=1e-3)


def test_density_is_nothing_outside_the_range() -> None:
    assert np.all(np.isneginf(log_density(WIDE, np.asarray([1.9, 901.0]))))


def test_belief_from_a_narrowed_range_is_the_exact_posterior() -> None:
    grid = np.linspace(np.log(2), np.log(900), 20_001)
    exact_weights = np.exp(log_density(WIDE, np.exp(grid)) + log_poisson(np.exp(grid), 40) - 110)
    exact = float(np.average(np.exp(grid), weights=exact_weights))

    first = histories(drawn(WIDE, 256, 1))
    near = narrowed(proposal(), first, log_poisson(first.draws.column("per_fish.a"), 40))
    low, _, high = near.start.per_fish["a"]
    assert high / low < WIDE[2] / WIDE[0] / 5

    second = histories(drawn(near.start.per_fish["a"], 20_000, 2))
    values = second.draws.column("per_fish.a")
    log = near.offset(second) + log_poisson(values, 40)
    weights = np.exp(log - log.max())
    error = 4 * np.std(values) / np.sqrt(effective(weights))
    assert float(np.average(values, weights=weights)) == pytest.approx(exact, abs=error)
    unweighted = np.exp(log_poisson(values, 40) - log_poisson(values, 40).max())
    assert effective(weights) > 0.2 * effective(unweighted)


def test_a_lopsided_range_is_made_good_by_the_ratio_of_densities() -> None:
    lopsided = (10.0, 60.0, 70.0)
    grid = np.linspace(np.log(10), np.log(70), 20_001)
    exact_weights = np.exp(log_density(WIDE, np.exp(grid)) + log_poisson(np.exp(grid), 40) - 110)
    exact = float(np.average(np.exp(grid), weights=exact_weights))
    start = InitialState(per_fish={"a": lopsided})
    kind = Proposal(start, InitialState(per_fish={"a": WIDE}), 1.0, 1.0, proposal().claims)
    played = histories(drawn(lopsided, 40_000, 3))
    values = played.draws.column("per_fish.a")
    weights = np.exp(kind.offset(played) + log_poisson(values, 40) - 110)
    assert float(np.average(values, weights=weights)) == pytest.approx(exact, abs=0.5)


def test_softening_leaves_enough_histories_even_when_one_fits_far_better() -> None:
    log = np.concatenate([[0.0], np.full(499, -200.0)])
    assert effective(softened(log)) >= 15


def test_beginnings_without_evidence_are_dropped_and_shares_sum_to_one() -> None:
    shares = allotted({0: 1.0, 1: 0.5, 2: 1e-6}, least=0.02)
    assert set(shares) == {0, 1}
    assert sum(shares.values()) == pytest.approx(1)


def test_no_evidence_at_all_keeps_every_beginning() -> None:
    assert set(allotted({0: 0.0, 1: 0.0}, least=0.02)) == {0, 1}


def test_other_rounds_take_other_rows_of_claims() -> None:
    claims = Draws(("claim",), np.arange(512.0)[:, np.newaxis], np.ones(512), 1)
    start = InitialState(per_fish={"a": WIDE})
    kind = Proposal(start, start, 1.0, 1.0, claims)
    first, second = kind.rows(0, 128).values, kind.rows(1, 128).values
    assert not set(first.ravel()) & set(second.ravel())
