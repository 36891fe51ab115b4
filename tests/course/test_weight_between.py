"""The weight of one animal of a group whose lengths differ."""

from __future__ import annotations

import pytest

from tankside.course.bodies.stock import weight_between


def cubed(length_cm: float) -> tuple[float, float, float]:
    point = length_cm**3
    return point / 2, point, point * 2


def test_the_mean_of_weights_by_length_cubed_is_exact() -> None:
    """Mean of x^3 over 1 to 3 by calculus: (81 - 1) / 4 / 2 = 10."""
    low, point, high = weight_between(cubed, 1, 3) or (0.0, 0.0, 0.0)
    assert point == pytest.approx(10)
    assert (low, high) == (0.5, 54)


def test_one_length_is_its_own_weight_and_order_does_not_matter() -> None:
    assert weight_between(cubed, 2, None) == cubed(2)
    assert weight_between(cubed, 3, 1) == weight_between(cubed, 1, 3)
