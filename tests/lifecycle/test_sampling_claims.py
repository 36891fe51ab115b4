"""Claim values per history: ranges, rivals by weight, the same stream for any number."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.tanks import white_spot

from tankside import lifecycle


def test_every_value_lies_in_the_range_of_its_claim() -> None:
    organism = white_spot()
    draws = lifecycle.draw(organism, 512, 3)
    for key in draws.keys:
        if key in organism.claims and key not in organism.rivals:
            low, high = organism.claims[key].bounds()
            column = draws.column(key)
            varied = low < high
            assert low <= column.min() <= column.max() <= high, key
            assert bool(column.min() < column.max()) is varied, key


def test_rivals_are_chosen_by_their_weights() -> None:
    # Heat limit of the cyst: 28, 30 and 33 C with weights .4, .4 and .2.
    tops = lifecycle.draw(white_spot(), 1024, 3).column("cyst.hatch_top_c")
    shares = [np.mean(tops == t) for t in (28.0, 30.0, 33.0)]
    assert shares == pytest.approx([0.4, 0.4, 0.2], abs=0.01)


def test_a_logarithmic_claim_has_its_geometric_middle() -> None:
    column = lifecycle.draw(white_spot(), 1024, 3).column("swimmer.search_l_per_h")
    assert np.median(column) == pytest.approx((0.1 * 2.0) ** 0.5, rel=0.02)


def test_more_histories_begin_with_the_same_ones() -> None:
    few, many = (lifecycle.draw(white_spot(), n, 3).values for n in (100, 128))
    assert np.array_equal(few, many[:100])


def test_fixed_gives_every_history_the_defaults() -> None:
    draws = lifecycle.draw(white_spot(), 4, 3, fixed=True)
    assert set(draws.column("trophont.residence")) == {120.0}
    assert set(draws.column("swimmer.establish")) == {0.05}
