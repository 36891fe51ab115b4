"""A difference and an age are written one way, fit to print."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tankside.present.words import age_words, percent_words


def test_a_difference_leaves_its_sign_to_the_words() -> None:
    assert percent_words(-7.4) == percent_words(Decimal("7.4")) == "7\N{NO-BREAK SPACE}%"


@pytest.mark.parametrize(
    ("hours", "shown"),
    [(-0.2, "0 h"), (0.4, "0 h"), (47.4, "47 h"), (48, "2 days"), (400, "17 days")],
)
def test_an_age_is_in_hours_for_two_days_and_in_days_after(hours: float, shown: str) -> None:
    assert age_words(hours).replace("\N{NO-BREAK SPACE}", " ") == shown
