"""Toxic ammonia: relations that must hold, and the choice of method."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside import water
from tankside.water import PhScale
from tankside.water.choose import Salt, oxygen_saturation, unionised_ammonia
from tankside.water.physical import AMMONIA_PER_N, NITRITE_PER_N

CELSIUS = st.floats(1, 39)
PH = st.floats(6, 9)


@given(CELSIUS, PH)
def test_warmer_and_more_alkaline_is_more_toxic(t: float, ph: float) -> None:
    here = water.unionised_fraction_emerson75(t, ph).number
    assert 0 < here < 1
    assert water.unionised_fraction_emerson75(t + 1, ph).number > here
    assert water.unionised_fraction_emerson75(t, ph + 0.1).number > here


@given(CELSIUS, PH, st.floats(20, 40), st.sampled_from(list(PhScale)))
def test_saltier_sea_water_is_less_toxic_at_the_same_ph(
    t: float, ph: float, salinity: float, scale: PhScale
) -> None:
    def share(s: float) -> float:
        return water.unionised_fraction_clegg_whitfield95(t, ph, s, scale=scale).number

    if scale is PhScale.FREE:
        assert share(salinity) < share(10.0)
    assert 0 < share(salinity) < 1


def test_the_scale_moves_sea_water_as_known() -> None:
    """At S 34 the total-scale reading is about a fifth above the free one, NBS about 8 % below
    (the distances of the Bower & Bidwell 1978 table: +17 % and -8 %)."""
    share = {
        scale: water.unionised_fraction_clegg_whitfield95(20.0, 8.0, 34.0, scale=scale).number
        for scale in PhScale
    }
    assert share[PhScale.TOTAL] / share[PhScale.FREE] == pytest.approx(1.2, abs=0.1)
    assert share[PhScale.NBS] / share[PhScale.FREE] == pytest.approx(0.93, abs=0.03)


def test_fresh_limit_of_the_saline_formula_meets_the_fresh_one() -> None:
    """At S 0 the model has no salt: 9.2446 at 25 C against 9.2464 of Emerson, within 1 %."""
    for t in (10.0, 20.0, 30.0):
        saline = water.unionised_fraction_clegg_whitfield95(t, 8.0, 0.0, scale=PhScale.FREE)
        fresh = water.unionised_fraction_emerson75(t, 8.0)
        assert saline.number == pytest.approx(fresh.number, rel=0.01)


def test_the_method_follows_the_salt() -> None:
    assert unionised_ammonia(25, 8, 0.2, Salt.NONE).used.method.name.endswith("emerson75")
    assert unionised_ammonia(25, 8, 34, Salt.SEA).used.method.name.endswith("whitfield95")
    assert unionised_ammonia(25, 8, 3, Salt.COMMON).used.method.name.endswith("emerson75")
    choice = unionised_ammonia(5, 8, 0.1, Salt.NONE)
    assert choice.used.in_range
    assert [answer.in_range for answer in choice.rivals] == [False]
    assert choice.why


def test_rivals_are_shown_and_not_averaged() -> None:
    choice = oxygen_saturation(20.0, 0.0, 1.0)
    direct = water.oxygen_saturation_benson_krause84(20.0).number
    assert choice.used.result.number == direct
    assert choice.rivals[0].result.number != direct


def test_molar_ratios() -> None:
    """NH3/N 1.2159 and NO2/N 3.2845 in print; weights of 2021 have three decimals, so 0.0002."""
    assert pytest.approx(1.2159, abs=2e-4) == AMMONIA_PER_N
    assert pytest.approx(3.2845, abs=2e-4) == NITRITE_PER_N


@given(CELSIUS, PH)
def test_chronic_limit_lies_below_the_acute_one(t: float, ph: float) -> None:
    chronic = water.ammonia_chronic_epa13(t, ph).number
    with_salmonids = water.ammonia_acute_epa13(t, ph, salmonids=True).number
    without = water.ammonia_acute_epa13(t, ph, salmonids=False).number
    assert 0 < chronic < with_salmonids <= without
    assert water.four_day_limit_epa13(t, ph).number == pytest.approx(2.5 * chronic)


def test_acute_criteria_part_in_the_cold_and_meet_in_the_warm() -> None:
    assert water.ammonia_acute_epa13(25.0, 7.0, salmonids=True).number == pytest.approx(
        water.ammonia_acute_epa13(25.0, 7.0, salmonids=False).number
    )
    cold = [water.ammonia_acute_epa13(10.0, 7.0, salmonids=s).number for s in (True, False)]
    assert cold[0] < cold[1]


@given(st.floats(0.01, 50), st.floats(0, 500), st.floats(1, 30))
def test_salt_for_nitrite_reaches_the_ratio_exactly(
    as_n: float, chloride: float, ratio: float
) -> None:
    salt = water.salt_for_nitrite(as_n, chloride, ratio).number
    reached = chloride + salt * 35.45 / 58.44
    wanted = ratio * as_n * NITRITE_PER_N
    assert salt >= 0
    assert reached == pytest.approx(max(wanted, chloride), rel=1e-9)


@given(st.floats(0.01, 50))
def test_nitrite_converts_there_and_back(as_n: float) -> None:
    there = water.nitrite_ion_mg_l(as_n)
    assert float(water.nitrite_nitrogen_mg_l(there)) == pytest.approx(as_n, rel=1e-14)
