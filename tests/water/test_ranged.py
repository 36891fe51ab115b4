"""Ranges are enforced by code: a value outside carries its warning, or is refused."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside import water
from tankside.errors import NotPossible


def test_inside_the_range_there_is_no_warning() -> None:
    result = water.unionised_fraction_emerson75(25.0, 8.0)
    assert result.warnings == ()
    assert result.strict() is result


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: water.unionised_fraction_emerson75(51.0, 8.0), "temperature"),
        (lambda: water.unionised_fraction_emerson75(25.0, 4.9), "pH"),
        (lambda: water.unionised_fraction_emerson75(25.0, 8.0, 3.0), "salinity"),
        (lambda: water.unionised_fraction_trussell72(9.0, 8.0), "temperature"),
        (lambda: water.oxygen_saturation_benson_krause84(41.0), "temperature"),
        (lambda: water.oxygen_saturation_benson_krause84(20.0, 41.0), "salinity"),
        (lambda: water.oxygen_saturation_benson_krause84(20.0, 0.0, 0.4), "pressure"),
        (lambda: water.pressure_standard_atmosphere(12000.0), "altitude"),
        (lambda: water.ammonia_chronic_epa13(31.0, 7.0), "temperature"),
        (lambda: water.ammonia_acute_epa13(20.0, 6.0, salmonids=True), "pH"),
        (lambda: water.co2_ideal_mg_l(20.0, 8.8, 100.0), "pH"),
        (lambda: water.co2_activity_mg_l(20.0, 7.0, 5.0), "alkalinity"),
        (lambda: water.oxygen_use_clarke99(20.0, 5000.0), "weight"),
        (lambda: water.ammonia_produced_timmons(1.0, 0.9), "protein"),
        (lambda: water.salt_density_table(30.0), "salt"),
        (lambda: water.salt_conductivity_ms_cm(9.0, 25.0), "salt"),
        (lambda: water.salt_conductivity_ms_cm(1.0, 20.0), "temperature"),
        (lambda: water.evaporation_loss_w(0.2, 5.0, 20.0, 50.0, 0.5), "temperature"),
        (lambda: water.weight_froese14(0.5, water.Shape.ANY).point, "length"),
        (lambda: water.left_after_changes(1.2, 1.0), "share"),
    ],
)
def test_outside_the_range_a_warning_names_the_input(call: Callable[..., Any], words: str) -> None:
    result = call()
    assert words in result.warnings[0].words
    assert "outside the range" in result.warnings[0].text
    with pytest.raises(NotPossible) as refused:
        result.strict()
    assert refused.value.code == "E-WATER-01"


def test_the_edge_itself_is_inside() -> None:
    assert water.oxygen_saturation_benson_krause84(40.0, 40.0, 1.1).warnings == ()


def test_an_array_warns_with_its_worst_hour() -> None:
    hours = np.array([20.0, 45.0, np.nan, 60.0])
    result = water.oxygen_saturation_benson_krause84(hours)
    assert result.warnings[0].value == 60.0
    assert np.isnan(result.values[2])
    with pytest.raises(TypeError):
        _ = result.number


def test_missing_hours_stay_missing_without_a_warning() -> None:
    result = water.unionised_fraction_emerson75(np.array([25.0, np.nan]), 8.0)
    assert result.warnings == ()
    assert np.isnan(result.values[1])


@given(st.lists(st.floats(0, 40), min_size=1, max_size=5), st.floats(5.5, 9.5), st.floats(0, 0.5))
def test_arrays_and_single_numbers_agree(
    temperatures: list[float], ph: float, salinity: float
) -> None:
    many = water.unionised_fraction_emerson75(np.array(temperatures), ph, salinity).values
    by_hand = [water.unionised_fraction_emerson75(t, ph, salinity).number for t in temperatures]
    assert many == pytest.approx(by_hand, rel=1e-13)
    many = water.oxygen_saturation_benson_krause84(np.array(temperatures), salinity).values
    by_hand = [water.oxygen_saturation_benson_krause84(t, salinity).number for t in temperatures]
    assert many == pytest.approx(by_hand, rel=1e-13)
