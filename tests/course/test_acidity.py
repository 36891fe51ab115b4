"""pH through changes of water, held to the full charge balance and to scenario S5."""

from __future__ import annotations

import numpy as np
import pytest

from tankside.claims import Knowledge
from tankside.course import BodyKind, Course, FilterState, NewWater, StockGroup, System, Volume, run
from tankside.course.actions import ReadingTaken, WaterChange
from tankside.course.water.acidity import ph_of_carbonate
from tankside.library import load
from tankside.water.carbonate_species import dissolved_carbon_mmol_l, ph_of_closed_water


@pytest.fixture(scope="module")
def library() -> Knowledge:
    return load()


# 1 German degree of alkalinity is 17.85 mg/L as CaCO3
TAP = NewWater(ph=7.6, alkalinity_mg_l_caco3=9 * 17.85, total_ammonia_mg_l_n=0.0)


@pytest.fixture
def linden() -> System:
    """Scenario S5: 404.5 L at 29.0 C, pH 6.4, alkalinity 36, ammonia 1.0 N, oxygen 6.2."""
    return System(
        "main", "the tank", BodyKind.MAIN, Volume(404.5, 404.5, 405, "x"), water="fresh",
        temperature_c=29.0, ph=6.4, alkalinity_mg_l_caco3=36.0, total_ammonia_mg_l_n=1.0,
        nitrite_mg_l_n=0.0, oxygen_mg_l=6.2, surface_area_m2=1.48 * 0.485,
        filter_state=FilterState.RIPE, new_water=TAP,
    )  # fmt: skip


def discus() -> StockGroup:
    return StockGroup("d", "symphysodon_spp", "discus", 8, 14.0, (60.0, 80.0, 110.0), "main")


def test_s5_half_change_with_tap_gives_7_at_once_and_7_8_after_gas_exchange(
    linden: System, library: Knowledge
) -> None:
    result = run([linden], [discus()], Course("c", 4, (WaterChange(24, "main", 202.25),)), library)
    ph = result.tank_hours.strata[1].bodies[0].ph
    assert ph[23] == 6.4
    assert ph[24] == pytest.approx(7.0, abs=0.1)
    assert ph[-1] == pytest.approx(7.8, abs=0.15)
    assert (np.diff(ph[24:]) >= -1e-9).all()


def test_s5_the_rise_is_told_and_the_toxic_share_with_it(
    linden: System, library: Knowledge
) -> None:
    result = run([linden], [discus()], Course("c", 4, (WaterChange(24, "main", 202.25),)), library)
    cautions = [c for c in result.safety if c.code == "S-PH"]
    assert len(cautions) == 1
    assert "The toxic share of the ammonia rises 4" in cautions[0].why


@pytest.mark.parametrize("ph", [5.8, 6.4, 7.0, 7.8, 8.4, 9.0])
@pytest.mark.parametrize("alkalinity", [20.0, 36.0, 100.0, 250.0])
@pytest.mark.parametrize("temperature", [5.0, 18.0, 29.0])
def test_closed_form_agrees_with_the_full_charge_balance(
    temperature: float, alkalinity: float, ph: float
) -> None:
    if alkalinity == 20.0 and ph == 9.0:
        pytest.skip("hydroxide is a tenth of the charge: outside the stated range")
    carbon = dissolved_carbon_mmol_l(temperature, ph, alkalinity)
    full = float(ph_of_closed_water(temperature, alkalinity, carbon))
    short = float(ph_of_carbonate(np.array(temperature), np.array(alkalinity), carbon))
    assert full == pytest.approx(ph, abs=1e-6)
    assert short == pytest.approx(full, abs=0.02)


def test_matched_new_water_leaves_ph_alone(linden: System, library: Knowledge) -> None:
    same = WaterChange(24, "main", 200, new_water=NewWater())
    result = run([linden], [discus()], Course("c", 3, (same,)), library)
    assert (result.tank_hours.strata[1].bodies[0].ph == 6.4).all()


def test_a_reading_of_ph_shifts_what_follows(linden: System, library: Knowledge) -> None:
    taken = Course("c", 3, (ReadingTaken(30, "main", {"ph": 6.9}),))
    ph = run([linden], [discus()], taken, library).tank_hours.strata[1].bodies[0].ph
    assert ph[29] == 6.4
    assert ph[30] == pytest.approx(6.9)
    assert ph[-1] == pytest.approx(6.9)
