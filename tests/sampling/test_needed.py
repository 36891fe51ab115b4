"""How many animals to examine: closed forms, a published approximation, and definition."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.sampling import needed_in_large_stock, needed_in_stock
from tankside.sampling.chance import chance_at_most


@pytest.mark.parametrize(("share", "animals"), [(0.02, 149), (0.05, 59), (0.10, 29)])
def test_large_stock_needs_the_textbook_number(share: float, animals: int) -> None:
    """149, 59 and 29 animals for 2, 5 and 10 % at 95 %: Cannon & Roe 1982 (from memory)."""
    assert needed_in_large_stock(share) == animals


@settings(max_examples=80, deadline=None)
@given(population=st.integers(10, 400), data=st.data())
def test_stock_agrees_with_the_published_approximation(
    population: int, data: st.DataObject
) -> None:
    """Cannon & Roe 1982: n = (1 - a^(1/D)) (N - (D - 1)/2), good to about one animal in small D."""
    carriers = data.draw(st.integers(1, max(1, population // 4)))
    approximate = (1 - 0.05 ** (1 / carriers)) * (population - (carriers - 1) / 2)
    exact = needed_in_stock(carriers, population)
    assert exact is not None
    assert abs(exact - approximate) <= 1.5


@settings(max_examples=80, deadline=None)
@given(population=st.integers(1, 80), data=st.data())
def test_needed_is_the_fewest(population: int, data: st.DataObject) -> None:
    carriers = data.draw(st.integers(1, population))
    sensitivity = data.draw(st.sampled_from([1.0, 0.8, 0.4]))
    needed = needed_in_stock(carriers, population, sensitivity=sensitivity)
    if needed is None:
        assert chance_at_most(0, population, carriers, population, sensitivity) > 0.05
        return
    assert chance_at_most(0, needed, carriers, population, sensitivity) <= 0.05 + 1e-8
    if needed > 1:
        assert chance_at_most(0, needed - 1, carriers, population, sensitivity) > 0.05


def test_unsure_looks_can_make_it_impossible() -> None:
    assert needed_in_stock(1, 5, sensitivity=0.8) is None


def test_a_certain_carrier_needs_one_look() -> None:
    assert needed_in_large_stock(1.0) == 1
    assert needed_in_stock(5, 5) == 1
