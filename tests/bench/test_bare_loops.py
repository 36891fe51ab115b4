"""The loops that others are measured against do what they are named after."""

from __future__ import annotations

from functools import reduce
from operator import xor

import numpy as np
import pytest

from tankside.bench.bare_loops import alias_draws, draws

# First outputs of xoshiro256++ from the state (1, 2, 3, 4): test vector of the rand_xoshiro crate,
# made with the reference program of Blackman and Vigna. From memory.
VECTOR = (
    41943041,
    58720359,
    3588806011781223,
    3591011842654386,
    9228616714210784205,
    9973669472204895162,
    14011001112246962877,
    12406186145184390807,
    15849039046786891736,
    10450023813501588000,
)


@pytest.mark.parametrize("number", range(1, 11))
def test_the_bare_draw_is_xoshiro(number: int) -> None:
    assert int(draws(number)) == reduce(xor, VECTOR[:number])


def test_the_alias_draw_takes_its_own_cell_as_often_as_the_cut_says() -> None:
    # Cell k holds itself (value k) with chance 1/4 and the value 100 otherwise: mean
    # 7.5 / 4 + 75 = 76.875, standard deviation of one draw about 40.
    cut = np.full(16, 2**30, dtype=np.uint32)
    number = 1_000_000
    mean = alias_draws(number, cut, np.full(16, 100)) / number
    assert mean == pytest.approx(76.875, abs=4 * 41 / number**0.5)
