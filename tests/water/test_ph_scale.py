"""pH scales of sea water: printed check values, and how the scales are built from each other."""

from __future__ import annotations

import numpy as np
import pytest

from tankside.water.ph_scale import (
    PhScale,
    acid_on_scale,
    bisulphate_dissociation_dickson90,
    fluoride_dissociation_dickson79,
    fluoride_total,
    ionic_strength_seawater,
    nbs_activity_takahashi82,
    sulphate_total,
)


def test_bisulphate_at_the_printed_check_point() -> None:
    """ln KS = -2.30 at 25 C, S 35: check value of Dickson, Sabine & Christian 2007, Guide to best
    practices for ocean CO2 measurements, chapter 5 (from memory)."""
    assert np.log(float(bisulphate_dissociation_dickson90(25.0, 35.0))) == pytest.approx(
        -2.30, abs=0.005
    )


def test_fluoride_at_the_printed_check_point() -> None:
    """ln KF = -5.80 on the total scale at 25 C, S 35: Dickson & Goyet 1994, handbook, chapter 5
    (from memory); the function gives it on the free scale."""
    total_scale = float(fluoride_dissociation_dickson79(25.0, 35.0)) * float(
        acid_on_scale(PhScale.TOTAL, 25.0, 35.0)
    )
    assert np.log(total_scale) == pytest.approx(-5.80, abs=0.005)


def test_totals_and_ionic_strength_of_standard_sea_water() -> None:
    """0.02824 and 0.00007 mol/kg and 0.7226 mol/kg at S 35: same handbook (from memory)."""
    assert float(sulphate_total(35.0)) == pytest.approx(0.02824, abs=5e-6)
    assert float(fluoride_total(35.0)) == pytest.approx(0.00007, abs=5e-6)
    assert float(ionic_strength_seawater(35.0)) == pytest.approx(0.7226, abs=5e-4)


@pytest.mark.parametrize("t", [5.0, 15.0, 25.0])
def test_scales_are_built_from_free_acid(t: float) -> None:
    sulphate = float(sulphate_total(35.0) / bisulphate_dissociation_dickson90(t, 35.0))
    fluoride = float(fluoride_total(35.0) / fluoride_dissociation_dickson79(t, 35.0))
    free = float(acid_on_scale(PhScale.FREE, t, 35.0))
    total = float(acid_on_scale(PhScale.TOTAL, t, 35.0))
    nbs = float(acid_on_scale(PhScale.NBS, t, 35.0))
    assert free == 1
    assert total == pytest.approx(1 + sulphate)
    seawater_scale = nbs / float(nbs_activity_takahashi82(t, 35.0))
    assert seawater_scale == pytest.approx(1 + sulphate + fluoride)
    assert 0 < np.log10(seawater_scale / total) < 0.015  # the two differ by about 0.01 pH
