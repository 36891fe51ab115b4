"""Salt against nitrite held to print: the ratio of chloride in salt, and a rule that is refused."""

from __future__ import annotations

import pytest

from tankside.library import load
from tankside.water.nitrite import nitrite_nitrogen_mg_l, salt_for_nitrite


def test_chloride_comes_as_salt_by_the_printed_factor() -> None:
    """A koi pond page prints 1.67 mg of salt for 1 mg of chloride; exact 1.648 (atomic weights)."""
    salt = salt_for_nitrite(nitrite_nitrogen_mg_l(1.0), 0.0, 1.0).number
    assert salt == pytest.approx(1.67, rel=0.02)
    assert salt == pytest.approx(58.443 / 35.453, rel=0.001)


def test_catfish_at_ten_to_one_need_what_the_leaflet_prints() -> None:
    """SRAC 462: 10 mg chloride for 1 mg of nitrite; 100 mg/L of chloride stands as insurance."""
    facts = load()
    ratio = facts.number("water.nitrite.chloride_ratio")
    salt = salt_for_nitrite(nitrite_nitrogen_mg_l(10.0), 0.0, ratio).number
    assert salt == pytest.approx(100 * 58.443 / 35.453, rel=0.001)
    assert salt_for_nitrite(nitrite_nitrogen_mg_l(10.0), 100.0, ratio).number == 0


def test_a_teaspoon_in_three_hundred_gallons_is_refused() -> None:
    """One page prints it: too little to matter. It is kept so that nobody takes it in again."""
    rule = load().rivals("water.nitrite.salt_rule_of_thumb")
    assert rule.default is None
    refused = rule.rejected[0]
    assert "tells from none" in refused.rejected_because
    needed = salt_for_nitrite(nitrite_nitrogen_mg_l(1.0), 0.0, 5.0).number / 1000
    assert refused.number() < needed
