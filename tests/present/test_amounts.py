"""Amounts inside sentences are found, and breaches of the display rules are seen."""

from __future__ import annotations

import pytest
from tests.display_rules import display_faults

from tankside.present.amounts import pieces, tie_units

S = "\N{NO-BREAK SPACE}"


def test_amounts_to_weigh_and_litres_are_found() -> None:
    text = f"Take out 40{S}L (to the tape). Put back 40{S}L with 80.5{S}g of salt."
    assert [p.text for p in pieces(text) if p.is_amount] == [f"40{S}L", f"40{S}L", f"80.5{S}g"]
    assert "".join(p.text for p in pieces(text)) == text


def test_a_strength_is_not_an_amount() -> None:
    assert not any(p.is_amount for p in pieces(f"The water then holds 2{S}g/L, read 25{S}C."))


def test_loose_units_are_tied_and_words_are_left_alone() -> None:
    assert (
        tie_units("40 L, 2 g/L in 2 steps, 3 loaches") == f"40{S}L, 2{S}g/L in 2 steps, 3 loaches"
    )


@pytest.mark.parametrize(
    "bad",
    ["1.0 g", "5.50\N{NO-BREAK SPACE}mL", ".5\N{NO-BREAK SPACE}g", "5mg", "80 g", "3 cc", "2 ppm"],
)
def test_each_breach_of_the_display_rules_is_seen(bad: str) -> None:
    assert display_faults(f"Add {bad} now")


@pytest.mark.parametrize("good", [f"0.5{S}g", f"80{S}g", f"100{S}L", f"10.05{S}mL", "pH 7.0"])
def test_rightly_written_amounts_pass(good: str) -> None:
    assert display_faults(f"Add {good} now") == ()
