"""How many of a brood settle, against the laws of a reference library."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numba import njit
from scipy import stats
from tests.lifecycle.tanks import body, play, start, tank_hours, white_spot

from tankside.lifecycle import running
from tankside.lifecycle.kernel.broods import begin_table, settling_of_one
from tankside.lifecycle.kernel.positions import Column
from tankside.lifecycle.kernel.scratch import scratch_for
from tankside.lifecycle.kernel.starter import world_of

UNIFORM = (np.arange(4000) + 0.5) / 4000


@njit
def settling(world: Any, chance: float, uniform: np.ndarray, settled: np.ndarray) -> None:
    begin_table(world, chance)
    for k in range(uniform.size):
        settled[k] = settling_of_one(world, chance, uniform[k])


@pytest.fixture(scope="module")
def arrays() -> dict[str, np.ndarray]:
    kept: dict[str, np.ndarray] = {}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(running, "_run_rows", lambda tables, *_: kept.update(tables))
        play(white_spot(), tank_hours(body(hours=48)), start(), histories=4)
    return kept | scratch_for(kept, kept["given_values"].shape[1])


def quantiles(
    arrays: dict[str, np.ndarray], number: float, shape: float, chance: float
) -> np.ndarray:
    arrays["values"][Column.OFFSPRING] = number
    arrays["values"][Column.OFFSPRING_SHAPE] = shape
    arrays["brood_law"][0] = -1.0
    settled = np.zeros(UNIFORM.size, dtype=np.int64)
    shuffled = np.random.default_rng(1).permutation(UNIFORM.size)
    settling(world_of(arrays), chance, UNIFORM[shuffled], settled)
    return settled[np.argsort(shuffled)]


@pytest.mark.parametrize("number", [1, 7, 300])
@pytest.mark.parametrize("chance", [1e-4, 0.027, 0.4, 0.5, 0.83, 0.999, 1.0])
def test_a_fixed_brood_is_binomial(
    arrays: dict[str, np.ndarray], number: int, chance: float
) -> None:
    assert np.array_equal(
        quantiles(arrays, number, 0.0, chance), stats.binom(number, chance).ppf(UNIFORM)
    )


@pytest.mark.parametrize("shape", [0.5, 2.0, 40.0])
@pytest.mark.parametrize("chance", [1e-4, 0.027, 0.4, 1.0])
def test_a_spread_brood_is_negative_binomial(
    arrays: dict[str, np.ndarray], shape: float, chance: float
) -> None:
    mean = 240 * chance
    law = stats.nbinom(shape, shape / (shape + mean))
    assert np.array_equal(quantiles(arrays, 240.0, shape, chance), law.ppf(UNIFORM))
