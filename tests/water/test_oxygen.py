"""Oxygen: solubility, altitude, use by fish, transfer and the night."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside import water

CELSIUS = st.floats(0, 39)


@given(CELSIUS, st.floats(0, 38), st.floats(0.6, 1.0))
def test_warm_salt_and_height_take_oxygen(t: float, s: float, p: float) -> None:
    here = water.oxygen_saturation_benson_krause84(t, s, p).number
    assert water.oxygen_saturation_benson_krause84(t + 1, s, p).number < here
    assert water.oxygen_saturation_benson_krause84(t, s + 1, p).number < here
    assert water.oxygen_saturation_benson_krause84(t, s, p + 0.05).number > here


def test_at_one_atmosphere_the_pressure_term_is_nothing() -> None:
    bare = water.oxygen_saturation_benson_krause84(20.0, 0.0, 1.0).number
    assert bare == pytest.approx(9.092, abs=0.0005)  # APHA 4500-O, from memory


def test_pressure_shortcut_runs_high_as_known() -> None:
    """C x P/760 gives 6.524 at 600 mmHg and 25 C where the pressure term gives about 0.9 % less."""
    full = water.oxygen_saturation_benson_krause84(25.0).number
    term = water.oxygen_saturation_benson_krause84(25.0, 0.0, 600 / 760).number
    assert full * 600 / 760 / term == pytest.approx(1.009, abs=0.001)


@pytest.mark.parametrize(
    ("altitude_m", "printed_hpa"), [(0, 1013.25), (1000, 898.75), (2000, 794.95), (3000, 701.09)]
)
def test_standard_atmosphere(altitude_m: int, printed_hpa: float) -> None:
    """ISO 2533 tables of pressure by altitude (from memory); tolerance 0.05 %."""
    got = water.pressure_standard_atmosphere(float(altitude_m)).number * 1013.25
    assert got == pytest.approx(printed_hpa, rel=5e-4)


@given(st.floats(5, 30), st.floats(0.2, 1500))
def test_small_fish_use_more_per_weight_and_less_each(t: float, w: float) -> None:
    per_kg = water.oxygen_use_clarke99(t, w).number
    twice = water.oxygen_use_clarke99(t, 2 * w).number
    assert twice < per_kg
    assert 2 * twice > per_kg
    assert twice / per_kg == pytest.approx(2 ** (0.79 - 1))  # printed exponent


def test_oxygen_use_doubles_or_so_in_ten_degrees() -> None:
    """Clarke & Johnston 1999 state Q10 1.83 for 0 to 30 C over species (from memory)."""
    q30 = water.oxygen_use_clarke99(30.0, 50.0).number / water.oxygen_use_clarke99(0.0, 50.0).number
    assert q30 ** (1 / 3) == pytest.approx(1.83, abs=0.05)


def test_rival_regressions_lie_within_the_scatter_of_species() -> None:
    rest = water.oxygen_use_clarke99(25.0, 100.0).number
    fed = water.oxygen_use_boyd78(25.0, 100.0).number
    assert 1 < fed / rest < 4
    cold = water.oxygen_use_cech94(15.0, 500.0).number
    assert 0.5 < cold / water.oxygen_use_clarke99(15.0, 500.0).number < 2


def test_cool_water_cyprinid_by_hand() -> None:
    """Abstract of Cech 1994: 0.00165 x 500^-0.285 x exp(0.105 x 9) g/g/d = 30.1 mg/kg/h."""
    by_hand = 0.00165 * 500**-0.285 * math.exp(0.105 * 9) * 1e6 / 24
    assert by_hand == pytest.approx(30.1, abs=0.05)
    assert water.oxygen_use_cech94(9.0, 500.0).number == pytest.approx(by_hand)


def test_aeration_at_standard_conditions_is_the_standard_rate() -> None:
    got = water.oxygen_transfer_field_g_h(10.0, 20.0, 9.092, 0.0, 1.0, 1.0).number
    assert got == pytest.approx(10.0)


@given(st.floats(10, 32), st.floats(0, 5), st.floats(0.1, 1), st.floats(0.9, 1))
def test_aeration_slows_as_water_fills(t: float, oxygen: float, alpha: float, beta: float) -> None:
    full = water.oxygen_saturation_benson_krause84(t).number
    low = water.oxygen_transfer_field_g_h(10.0, t, full, oxygen, alpha, beta).number
    high = water.oxygen_transfer_field_g_h(10.0, t, full, oxygen + 1, alpha, beta).number
    assert high < low
    at_balance = water.oxygen_transfer_field_g_h(10.0, t, full, beta * full, alpha, beta).number
    assert at_balance == pytest.approx(0, abs=1e-12)


def test_air_stone_by_hand() -> None:
    """1 L/min at 0.3 m with 5 % a metre: 60 L x 1.204 g x 0.2314 x 0.015 = 0.2507 g/h."""
    assert water.air_stone_sotr_g_h(1.0, 0.3, 0.05).number == pytest.approx(
        60 * 1.204 * 0.2314 * 0.05 * 0.3
    )


@given(st.floats(0, 9), st.floats(0, 24), st.floats(0.05, 3), st.floats(0, 5))
def test_night_follows_the_differential_equation(
    start: float, hours: float, kla: float, use: float
) -> None:
    """Against small Euler steps of dC/dt = KLa (Cs - C) - R."""
    full, oxygen, steps = 8.2, start, 4000
    for _ in range(steps):
        oxygen += (kla * (full - oxygen) - use) * hours / steps
    got = water.oxygen_after_mg_l(start, hours, full, use, kla).number
    assert got == pytest.approx(max(oxygen, 0), abs=0.02)


def test_without_air_oxygen_falls_by_what_is_used() -> None:
    assert water.oxygen_after_mg_l(8.0, 2.0, 8.2, 1.5, 0.0).number == pytest.approx(5.0)
    assert water.oxygen_after_mg_l(8.0, 20.0, 8.2, 1.5, 0.0).number == 0


@given(st.floats(0.1, 3), st.floats(0.01, 2))
def test_night_ends_at_the_steady_state_and_the_reading_tells_the_transfer(
    kla: float, use: float
) -> None:
    steady = water.oxygen_steady_mg_l(8.2, use, kla).number
    if steady > 0:
        late = water.oxygen_after_mg_l(8.0, 400.0, 8.2, use, kla).number
        assert late == pytest.approx(steady, abs=1e-6)
        assert float(water.kla_from_reading_per_h(8.2, steady, use)) == pytest.approx(kla, rel=1e-6)


def test_reading_above_saturation_tells_no_transfer() -> None:
    assert math.isinf(float(water.kla_from_reading_per_h(8.0, 8.5, 0.3)))


def test_transfer_of_an_aerator_gives_its_standard_rate_back() -> None:
    kla = water.kla_of_aerator_per_h(1.0, 20.0, 100.0)
    assert float(kla) * 9.092 * 100 / 1000 == pytest.approx(1.0)


def test_hours_broadcast() -> None:
    hours = np.arange(12.0)
    oxygen = water.oxygen_after_mg_l(7.0, hours, 8.2, 0.8, np.zeros(12)).values
    assert oxygen.shape == (12,)
    assert np.all(np.diff(oxygen[oxygen > 0]) < 0)
