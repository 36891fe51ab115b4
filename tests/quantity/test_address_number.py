"""A number in an address is plain digits of a length that a case can have."""

from __future__ import annotations

import pytest

from tankside.quantity.address_number import address_number


@pytest.mark.parametrize(("typed", "number"), [("0", 0), ("7", 7), ("123456789", 123456789)])
def test_plain_digits_are_a_number(typed: str, number: int) -> None:
    assert address_number(typed) == number


@pytest.mark.parametrize(
    "typed", ["", "-1", "+1", " 1", "1.0", "1e3", "\u00b2", "\u0663", "1" * 10, "9" * 5000, "x"]
)
def test_anything_else_is_none(typed: str) -> None:
    assert address_number(typed) is None
