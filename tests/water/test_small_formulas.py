"""Heat, nitrogen, salt solutions, ultraviolet, length and weight: hand sums and relations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside import water
from tankside.water import Shape
from tankside.water.heat import vapour_pressure_pa


@pytest.mark.parametrize(("t", "printed_kpa"), [(0, 0.6113), (20, 2.339), (25, 3.169), (30, 4.246)])
def test_vapour_pressure_of_water(t: int, printed_kpa: float) -> None:
    """Steam tables (from memory); the Magnus form is good to 0.3 %."""
    assert float(vapour_pressure_pa(float(t))) / 1000 == pytest.approx(printed_kpa, rel=0.003)


def test_ramp_by_hand() -> None:
    """100 L, 1 C an hour: 99.7 kg x 4181 J/kgK / 3600 s = 116 W."""
    assert water.ramp_power_w(100.0, 1.0).number == pytest.approx(115.8, abs=0.05)


def test_loss_and_time_constant_by_hand() -> None:
    """60 x 30 x 36 cm, all faces 1.008 m2, U 5.7, 5 C warmer: 28.7 W; 64.8 L cool with 13 h."""
    area = 1.008
    assert water.heat_loss_w(5.7, area, 26.0, 21.0).number == pytest.approx(5.7 * 1.008 * 5)
    constant = water.cooling_time_constant_h(64.8, 5.7, area).number
    assert constant == pytest.approx(64.8 * 0.997 * 4181 / (5.7 * 1.008) / 3600)


@given(st.floats(1, 100), st.floats(0, 300))
def test_unheated_water_comes_to_room_temperature(constant: float, hours: float) -> None:
    got = float(water.temperature_after(28.0, 20.0, hours, constant))
    assert 20 <= got <= 28
    assert float(water.temperature_after(28.0, 20.0, 0.0, constant)) == 28
    later = float(water.temperature_after(28.0, 20.0, hours + constant, constant))
    assert later - 20 == pytest.approx((got - 20) / np.e, abs=1e-9)


def test_evaporation_stops_in_air_as_moist_as_the_water() -> None:
    assert water.evaporation_loss_w(0.2, 25.0, 25.0, 100.0, 0.5).number == pytest.approx(0)
    assert water.evaporation_loss_w(0.2, 25.0, 22.0, 50.0, 0.5).number > 0


def test_evaporation_by_hand() -> None:
    """0.18 m2 at 25 C in air of 22 C and 50 %: 4e-5 x 0.18 x (3.169 - 2.645/2) kPa x 0.5 x
    2442 kJ/kg = 16.2 W, pressures and latent heat from steam tables (from memory)."""
    by_hand = 4e-5 * 0.18 * (3.169 - 0.5 * 2.645) * 0.5 * 2442e3
    got = water.evaporation_loss_w(0.18, 25.0, 22.0, 50.0, 0.5).number
    assert got == pytest.approx(by_hand, rel=0.01)


def test_ammonia_from_food_by_hand_and_the_rival_above() -> None:
    made = water.ammonia_produced_timmons(1000.0, 0.35).number
    assert made == pytest.approx(32.2)  # 92 g per kg of protein, Timmons & Ebeling
    rival = water.ammonia_produced_all_fed(1000.0, 0.35).number
    assert rival / made == pytest.approx(1.39, abs=0.005)


def test_rise_of_strength() -> None:
    assert float(water.strength_rise_mg_l(1.0, 100.0)) == 10


@given(st.floats(0, 26))
def test_denser_with_more_salt_and_strength_follows(percent: float) -> None:
    density = water.salt_density_table(percent)
    assert density.warnings == ()
    assert 998 <= density.number <= 1198
    strength = water.salt_strength_g_l(percent).number
    assert strength == pytest.approx(percent / 100 * density.number)


def test_below_one_per_cent_grams_per_litre_and_parts_per_thousand_agree() -> None:
    """Within 1 %, as the handbook table shows (1 % by weight = 10.053 g/L)."""
    assert water.salt_strength_g_l(0.5).number == pytest.approx(5.0, rel=0.01)


def test_salt_rise_tells_the_volume() -> None:
    """Scenario S6: 500 g raise the salinity by 0.90 g/L: 556 L."""
    assert float(water.volume_from_salt_l(500.0, 0.90)) == pytest.approx(556, abs=0.5)


@given(st.floats(0.01, 5.8))
def test_conductivity_rises_with_salt(grams: float) -> None:
    here = water.salt_conductivity_ms_cm(grams, 25.0).number
    assert water.salt_conductivity_ms_cm(grams * 1.01, 25.0).number > here


def test_molar_conductivity_falls_with_strength_as_the_limiting_law_says() -> None:
    """Onsager 1927: L = L0 - (60.2 + 0.229 L0) c^0.5 at 25 C, good to 0.5 % below 5 mmol/L."""
    strengths = np.array([0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1])
    molar = 1000 * water.salt_conductivity_ms_cm(strengths * 58.44, 25.0).values
    molar = molar / strengths / 1000
    assert np.all(np.diff(molar) < 0)
    limiting = 126.39 - (60.2 + 0.229 * 126.39) * np.sqrt(strengths)
    assert molar[:3] == pytest.approx(limiting[:3], rel=0.005)
    assert np.all(molar[3:] > limiting[3:])


def test_ultraviolet_by_hand() -> None:
    assert water.fluence_mj_cm2(10.0, 3.0).number == 30
    assert water.log10_kill_chick_watson(960.0, 240.0).number == 4
    clear = water.fluence_derated_mj_cm2(100.0, 1.0, 1.0, 1.0, 2.0).number
    assert clear == 100
    depths = np.linspace(0, 2, 20001)
    mean = np.trapezoid(0.8**depths, depths) / 2
    got = water.fluence_derated_mj_cm2(100.0, 0.7, 0.9, 0.8, 2.0).number
    assert got == pytest.approx(100 * 0.7 * 0.9 * mean, rel=1e-6)


@given(st.floats(1, 100), st.sampled_from(list(water.Shape)))
def test_weight_grows_about_with_the_cube_and_keeps_its_edges(length: float, shape: Shape) -> None:
    weight = water.weight_froese14(length, shape)
    assert weight.low.number < weight.point.number < weight.high.number
    doubled = water.weight_froese14(2 * length, shape).point.number / weight.point.number
    assert 7.9 < doubled < 8.9


def test_edges_are_a_factor_of_about_two_by_shape_and_four_over_all() -> None:
    """95 % of a: x/ 2.2 by shape, x/ 4.1 over all (Froese 2014, standard deviations as printed)."""
    for shape in water.Shape:
        weight = water.weight_froese14(10.0, shape)
        printed = 4.1 if shape is water.Shape.ANY else 2.2
        assert weight.high.number / weight.point.number == pytest.approx(printed, abs=0.06)


def test_own_length_weight_of_a_species() -> None:
    """Cardinal tetra, Lemos 2015: W = 0.014 L^2.528, 0.225 g at 3 cm."""
    assert float(water.weight_power_law_g(3.0, 0.014, 2.528)) == pytest.approx(0.225, abs=0.0005)


def test_surface_transfer_by_hand() -> None:
    """24 m/d over 1 m2 is 1 m3 an hour: once the volume of 1000 L."""
    assert float(water.surface_kla_per_h(24.0, 1.0, 1000.0)) == 1


def test_stoichiometry_of_nitrification() -> None:
    assert float(water.nitrification_oxygen_g(2.0)) == pytest.approx(9.14)
    assert float(water.nitrification_alkalinity_g(2.0)) == pytest.approx(14.1)


def test_transfer_follows_temperature() -> None:
    assert float(water.transfer_at_temperature(1.0, 20.0)) == 1
    assert float(water.transfer_at_temperature(1.0, 30.0)) == pytest.approx(1.024**10)
