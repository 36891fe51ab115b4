"""What the hourly grid costs: the loop against itself on grids of a half and a quarter hour."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.agreement import Difference, difference, loop
from tests.lifecycle.step_halving import finer

from tankside.bench.kernel_models import model

ALLOWED = 0.01
DAYS = (3, 5, 8, 10, 15, 20, 30)


def on_grids(name: str, parts: int, histories: int) -> Difference:
    """Return the hourly grid less a grid of ``parts`` to the hour."""
    days = tuple(day * parts for day in DAYS)
    fine = loop(finer(name, parts), histories, seed=900, days=days)
    return difference(loop(model(name), histories, days=DAYS), fine)


@pytest.mark.parametrize("name", ["A", "B"])
def test_one_part_to_the_hour_is_the_frozen_model(name: str) -> None:
    frozen, same = model(name), finer(name, 1)
    assert same.organism.claims == frozen.organism.claims
    for before, after in zip(frozen.tank_hours.strata, same.tank_hours.strata, strict=True):
        whole, other = before.bodies[0], after.bodies[0]
        assert np.array_equal(whole.temperature_c, other.temperature_c)
        assert other.exchange_per_h == pytest.approx(whole.exchange_per_h, rel=1e-4, abs=1e-12)


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("name", ["A", "B"])
def test_the_hourly_grid_costs_less_than_a_hundredth_of_any_mean(name: str) -> None:
    # The error falls in proportion to the step, so a quarter hour shows three parts in four of it.
    apart = on_grids(name, 4, 60_000)
    bias = apart.parts(ALLOWED)
    assert bias.size >= 10
    assert np.abs(bias).max() * 4 / 3 < ALLOWED
    assert np.abs(apart.in_errors).max() < 4, apart.worst()
