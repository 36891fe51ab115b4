"""A volume is written one way, fit to print."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.display_rules import display_faults

from tankside.quantity.show import COMPARED_DIGITS, volume_words


@pytest.mark.parametrize(
    ("litres", "shown"),
    [
        (172.844, "173 L"), (148.408, "148 L"), (9.96, "9.96 L"), (0.5, "0.5 L"),
        (1234.5, "1230 L"), (Decimal("162.0"), "162 L"),
    ],
)  # fmt: skip
def test_a_volume_has_three_digits_and_no_trailing_zero(
    litres: float | Decimal, shown: str
) -> None:
    text = volume_words(litres)
    assert text.replace("\N{NO-BREAK SPACE}", " ") == shown
    assert display_faults(text) == ()


def test_two_measurements_side_by_side_show_one_digit_more() -> None:
    texts = [volume_words(litres, COMPARED_DIGITS) for litres in (148.408, 148.5)]
    assert texts == ["148.4\N{NO-BREAK SPACE}L", "148.5\N{NO-BREAK SPACE}L"]
