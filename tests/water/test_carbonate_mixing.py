"""Carbonate waters: mixing, gas exchange, scenario S5, and closed loops."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside import water
from tankside.water import CarbonateWater, Mixed
from tankside.water.carbonate import pk1_plummer82, pk2_plummer82, pkh_plummer82, pkw_nordstrom90
from tankside.water.carbonate_species import (
    log_k_calcium_bicarbonate,
    log_k_calcium_carbonate_pair,
)

CELSIUS = st.floats(5, 32)
PH = st.floats(5.8, 8.8)
ALKALINITY = st.floats(10, 300)
GERMAN_DEGREE = 17.85
"""One German degree of alkalinity as mg/L CaCO3."""


@pytest.mark.parametrize(
    ("constant", "printed", "allowed"),
    [
        (pk1_plummer82, 6.352, 0.0005),
        (pk2_plummer82, 10.329, 0.0005),
        (pkh_plummer82, 1.468, 0.0005),
        (pkw_nordstrom90, 14.0, 0.005),
    ],
)
def test_constants_at_25_c(constant: Callable[..., Any], printed: float, allowed: float) -> None:
    """Textbook values at 25 C (Plummer & Busenberg 1982; from memory), half of the last digit."""
    assert float(constant(25.0)) == pytest.approx(printed, abs=allowed)


def s5(oxygen_mg_l: float = 6.2) -> Mixed:
    saturation = water.oxygen_saturation_benson_krause84(29.0).values
    settled = water.settled_co2_mg_l(29.0, oxygen_mg_l, saturation, 420.0, 1.0)
    tank = CarbonateWater(6.4, 2 * GERMAN_DEGREE)
    tap = CarbonateWater(7.6, 9 * GERMAN_DEGREE)
    return water.mix_waters(29.0, tank, tap, 0.5, settled)


def test_s5_half_change_gives_about_7_0_at_once_and_about_7_8_after_gas_exchange() -> None:
    mixed = s5()
    assert mixed.ph_at_once.number == pytest.approx(7.0, abs=0.05)
    assert mixed.ph_settled.number == pytest.approx(7.8, abs=0.05)


@pytest.mark.parametrize(("air_ppm", "quotient"), [(420, 0.7), (420, 1.0), (800, 0.9), (1500, 1.0)])
def test_s5_settled_ph_hardly_hangs_on_what_is_assumed(air_ppm: int, quotient: float) -> None:
    saturation = water.oxygen_saturation_benson_krause84(29.0).values
    settled = water.settled_co2_mg_l(29.0, 6.2, saturation, air_ppm, quotient)
    assert float(water.ph_of_open_water(29.0, 5.5 * GERMAN_DEGREE, settled)) == pytest.approx(
        7.8, abs=0.2
    )


def test_s5_toxic_share_first_doubles_and_then_rises_further() -> None:
    def toxic(total: float, ph: float) -> float:
        return total * water.unionised_fraction_emerson75(29.0, ph).number

    mixed = s5()
    before = toxic(1.0, 6.4)
    assert toxic(0.5, mixed.ph_at_once.number) / before == pytest.approx(2, abs=0.3)
    assert toxic(0.5, mixed.ph_settled.number) > 4 * before


@settings(deadline=None)
@given(CELSIUS, PH, ALKALINITY, st.floats(0, 1))
def test_carbon_and_ph_lead_back_to_each_other(
    t: float, ph: float, alkalinity: float, calcium_share: float
) -> None:
    calcium = calcium_share * alkalinity
    carbon = water.dissolved_carbon_mmol_l(t, ph, alkalinity, calcium)
    back = water.ph_of_closed_water(t, alkalinity, carbon, calcium)
    assert float(back) == pytest.approx(ph, abs=1e-6)
    co2 = water.free_co2_mg_l(t, ph, alkalinity, calcium)
    assert float(water.ph_of_open_water(t, alkalinity, co2, calcium)) == pytest.approx(ph, abs=1e-6)


@settings(deadline=None)
@given(CELSIUS, PH, ALKALINITY, st.floats(0, 1))
def test_water_mixed_with_itself_stays(
    t: float, ph: float, alkalinity: float, share: float
) -> None:
    same = CarbonateWater(ph, alkalinity)
    mixed = water.mix_waters(t, same, same, share, 3.0)
    assert mixed.ph_at_once.number == pytest.approx(ph, abs=1e-5)
    assert float(mixed.alkalinity_mg_l_caco3) == pytest.approx(alkalinity)


@settings(deadline=None)
@given(CELSIUS, PH, ALKALINITY, PH, ALKALINITY)
def test_the_ends_of_mixing_are_the_two_waters(
    t: float, ph1: float, a1: float, ph2: float, a2: float
) -> None:
    tank, new = CarbonateWater(ph1, a1), CarbonateWater(ph2, a2)
    assert water.mix_waters(t, tank, new, 0.0, 3.0).ph_at_once.number == pytest.approx(
        ph1, abs=1e-5
    )
    assert water.mix_waters(t, tank, new, 1.0, 3.0).ph_at_once.number == pytest.approx(
        ph2, abs=1e-5
    )


@settings(deadline=None)
@given(CELSIUS, ALKALINITY, st.floats(0.5, 40))
def test_more_free_co2_is_lower_ph_and_more_alkalinity_higher(
    t: float, alkalinity: float, co2: float
) -> None:
    here = float(water.ph_of_open_water(t, alkalinity, co2))
    assert float(water.ph_of_open_water(t, alkalinity, co2 * 1.2)) < here
    assert float(water.ph_of_open_water(t, alkalinity * 1.2, co2)) > here


@settings(deadline=None)
@given(CELSIUS, st.floats(6, 7.2), ALKALINITY)
def test_full_balance_agrees_with_the_short_form_where_carbonate_is_nothing(
    t: float, ph: float, alkalinity: float
) -> None:
    full = float(water.free_co2_mg_l(t, ph, alkalinity))
    assert full == pytest.approx(water.co2_activity_mg_l(t, ph, alkalinity).number, rel=0.01)


def longhand_carbon(t: float, ph: float, alkalinity: float, calcium: float) -> tuple[float, float]:
    """Dissolved carbon [mmol/L] by iterating free calcium and carbonate, species by species."""
    charge, ca_total = alkalinity / 50.0435e3, calcium / 100.087e3
    sodium = max(charge - 2 * ca_total, 0)
    ionic = (charge + sodium + 4 * ca_total) / 2
    g1 = 10 ** (-0.509 * (ionic**0.5 / (1 + ionic**0.5) - 0.3 * ionic))
    g2 = g1**4
    k1, k2, kw = (10 ** -float(pk(t)) for pk in (pk1_plummer82, pk2_plummer82, pkw_nordstrom90))
    pair1 = 10 ** float(log_k_calcium_bicarbonate(t))
    pair2 = 10 ** float(log_k_calcium_carbonate_pair(t))
    h = 10**-ph
    rest = kw / h / g1 - h / g1
    ca_free = ca_total
    for _ in range(300):
        per_bicarbonate = g1 * k2 / (h * g2)  # carbonate per bicarbonate
        bicarbonate = (charge - rest) / (
            1 + 2 * per_bicarbonate
            + pair1 * g2 * ca_free + 2 * pair2 * g2**2 * ca_free * per_bicarbonate
        )  # fmt: skip
        carbonate = bicarbonate * per_bicarbonate
        tied1 = pair1 * g2 * ca_free * bicarbonate
        tied2 = pair2 * g2**2 * ca_free * carbonate
        ca_free = ca_total / (1 + pair1 * g2 * bicarbonate + pair2 * g2**2 * carbonate)
    co2 = bicarbonate * g1 * h / k1
    return 1000 * (co2 + bicarbonate + carbonate + tied1 + tied2), co2 * 44010


@pytest.mark.parametrize("ph", [6.0, 7.5, 8.5, 9.4])
@pytest.mark.parametrize("calcium", [0.0, 150.0])
def test_species_by_longhand(ph: float, calcium: float) -> None:
    carbon, co2 = longhand_carbon(22.0, ph, 150.0, calcium)
    got = water.dissolved_carbon_mmol_l(22.0, ph, 150.0, calcium)
    assert float(got) == pytest.approx(carbon, rel=1e-5)
    assert float(water.free_co2_mg_l(22.0, ph, 150.0, calcium)) == pytest.approx(co2, rel=1e-3)


def test_pairs_of_calcium_at_25_c() -> None:
    """log K 1.11 and 3.22 at 25 C: Plummer & Busenberg 1982 (from memory)."""
    assert float(log_k_calcium_bicarbonate(25.0)) == pytest.approx(1.11, abs=0.01)
    assert float(log_k_calcium_carbonate_pair(25.0)) == pytest.approx(3.22, abs=0.01)


def test_oxygen_at_saturation_leaves_the_co2_of_air() -> None:
    air = float(water.co2_in_balance_with_air_mg_l(25.0, 420.0))
    assert float(water.settled_co2_mg_l(25.0, 9.0, 8.26, 420.0, 1.0)) == pytest.approx(air)
    assert air == pytest.approx(0.63, abs=0.02)  # 0.034 mol/L/atm x 420e-6 x 44 g, textbook KH


def test_co2_of_a_stocked_tank_by_hand() -> None:
    """1 mg/L below saturation, RQ 1: 44.009/31.998 x (600/530)^0.5 = 1.463 mg/L above air."""
    air = float(water.co2_in_balance_with_air_mg_l(25.0, 420.0))
    settled = float(water.settled_co2_mg_l(25.0, 7.26, 8.26, 420.0, 1.0))
    assert settled - air == pytest.approx(44.009 / 31.998 * (600 / 530) ** 0.5, rel=1e-4)


def test_waters_out_of_range_carry_a_warning() -> None:
    odd = water.mix_waters(25.0, CarbonateWater(4.5, 10.0), CarbonateWater(7.0, 50.0), 0.5, 3.0)
    assert odd.ph_at_once.warnings
    assert odd.ph_settled.warnings


def test_hours_and_strata_broadcast() -> None:
    t = np.full((3, 4), 25.0)
    ph = water.ph_of_closed_water(t, np.full((3, 1), 100.0), np.linspace(2.0, 2.6, 4))
    assert ph.shape == (3, 4)
    single = water.ph_of_closed_water(25.0, 100.0, 2.6)
    assert ph[2, 3] == pytest.approx(float(single))
