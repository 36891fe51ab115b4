"""Scrambled Sobol points against the reference library, number for number."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import qmc

from tankside.lifecycle.inputs.sobol import sobol


@pytest.mark.parametrize("dimensions", [1, 2, 3, 57, 128, 200])
@pytest.mark.parametrize("rows", [1, 2, 100, 1024])
def test_points_are_those_of_the_reference_library(dimensions: int, rows: int) -> None:
    for seed in (0, 1, 2**63):
        power = int(np.ceil(np.log2(rows)))
        expected = qmc.Sobol(dimensions, scramble=True, seed=seed).random_base2(power)[:rows]
        points = sobol(dimensions, rows, seed)
        assert np.array_equal(points, np.clip(expected, np.finfo(float).eps, None))


def test_points_lie_strictly_inside_the_cube() -> None:
    points = sobol(57, 4096, 3)
    assert 0 < points.min() < points.max() < 1
