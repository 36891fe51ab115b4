"""The water formulas against independent libraries, run live (slow tier).

gsw: TEOS-10, oxygen of Garcia & Gordon 1992 fitted to Benson & Krause. PHREEQC: phreeqc.dat, an
ion-association model with its own constants. PyCO2SYS: Clegg & Whitfield 1995 and the pH scales,
coded by others. They check constants and arithmetic, not the measurements underneath.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import Any

import numpy as np
import pytest

from tankside import water
from tankside.water import CarbonateWater, PhScale
from tankside.water.ammonia_saline import pk_ammonium_clegg_whitfield95
from tankside.water.carbonate import pkh_plummer82
from tankside.water.ph_scale import acid_on_scale

pytestmark = [pytest.mark.slow, pytest.mark.filterwarnings("default")]

TEMPERATURES = np.arange(0.0, 41.0, 5.0)
SALINITIES = np.array([0.0, 2.0, 5.0, 10.0, 20.0, 30.0, 35.0, 40.0])[:, None]
CO2_MG_PER_MOL = 44010
CACO3_MG_PER_MEQ = 50.0435


def settle(
    trust_record: Callable[..., None],
    topic: str,
    source: str,
    compared: str,
    difference: float,
    allowed: float,
) -> None:
    good = abs(difference) <= allowed
    trust_record(topic, source, compared, difference, allowed, "pass" if good else "fail")
    assert good, (difference, allowed)


def test_oxygen_agrees_with_teos10(trust_record: Callable[..., None]) -> None:
    import gsw

    practical, t = np.broadcast_arrays(SALINITIES, TEMPERATURES)
    absolute = gsw.SR_from_SP(practical)
    density = gsw.rho(absolute, gsw.CT_from_pt(absolute, t), 0)
    reference = gsw.O2sol_SP_pt(practical, t) * density * 31.9988e-6
    mine = water.oxygen_saturation_benson_krause84(t, practical)
    assert not mine.warnings
    worst = float(np.abs(mine.values / reference - 1).max())
    name = "Benson & Krause 1984, 0-40 C, S 0-40, relative"
    settle(trust_record, "live_oxygen", "gsw (library)", name, worst, 0.0005)


@pytest.fixture(scope="module")
def phreeqc() -> Any:
    from phreeqpython import PhreeqPython

    return PhreeqPython()


def test_fresh_ammonia_agrees_with_phreeqc(phreeqc: Any, trust_record: Callable[..., None]) -> None:
    for t, ph in product((5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0), (6.5, 7.0, 7.5, 8.0, 8.5, 9.0)):
        solution = phreeqc.add_solution({"units": "mmol/kgw", "pH": ph, "temp": t, "N(-3)": 0.01})
        toxic, ion = solution.species["NH3"], solution.species["NH4+"]
        solution.forget()
        difference = water.unionised_fraction_emerson75(t, ph).number / (toxic / (toxic + ion)) - 1
        name = "Emerson 1975, 5-35 C, pH 6.5-9, relative"
        settle(trust_record, "live_ammonia", "PHREEQC (library)", name, difference, 0.003)


@pytest.mark.parametrize(
    ("scale", "option"), [(PhScale.TOTAL, 1), (PhScale.FREE, 3), (PhScale.NBS, 4)]
)
def test_saline_ammonia_agrees_with_pyco2sys(
    scale: PhScale, option: int, trust_record: Callable[..., None]
) -> None:
    import PyCO2SYS

    practical, t = np.broadcast_arrays(SALINITIES[2:], TEMPERATURES)
    reference = PyCO2SYS.sys(
        par1=2000,
        par1_type=1,
        par2=8.0,
        par2_type=3,
        salinity=practical,
        temperature=t,
        total_ammonia=1,
        opt_pH_scale=option,
    )
    shift = np.log10(
        acid_on_scale(PhScale.TOTAL, t, practical) / acid_on_scale(scale, t, practical)
    )
    mine = pk_ammonium_clegg_whitfield95(t, practical) + shift
    worst = float(np.abs(mine + np.log10(reference["k_ammonia"])).max())
    name = f"Clegg & Whitfield 1995, pKa on the {scale} scale, 0-40 C, S 5-40"
    settle(trust_record, "live_ammonia", "PyCO2SYS (library)", name, worst, 0.01)


def solution_of(phreeqc: Any, reading: CarbonateWater, t: float, metal: str) -> Any:
    charge = reading.alkalinity_mg_l_caco3 / CACO3_MG_PER_MEQ
    held = charge if metal == "Na" else charge / 2
    return phreeqc.add_solution(
        {"units": "mmol/kgw", "pH": reading.ph, "temp": t, "Alkalinity": charge, metal: held}
    )


TANKS = ((6.4, 35.7), (6.8, 60.0), (7.2, 150.0))
TAPS = ((7.6, 160.6), (8.2, 250.0), (7.0, 20.0))


@pytest.mark.parametrize("metal", ["Na", "Ca"])
def test_mixing_agrees_with_phreeqc(
    phreeqc: Any, metal: str, trust_record: Callable[..., None]
) -> None:
    """Sodium and calcium waters; at once, and after free CO2 has settled to 2.75 mg/L."""
    settled_mg_l = 2.75
    hard = metal == "Ca"
    for t, tank, tap, share in product((10.0, 20.0, 29.0), TANKS, TAPS, (0.25, 0.5, 0.8)):
        stays, comes = (
            CarbonateWater(ph, alkalinity, alkalinity if hard else 0.0)
            for ph, alkalinity in (tank, tap)
        )
        mine = water.mix_waters(t, stays, comes, share, settled_mg_l)
        mix = phreeqc.mix_solutions(
            {
                solution_of(phreeqc, stays, t, metal): 1 - share,
                solution_of(phreeqc, comes, t, metal): share,
            }
        )
        name = f"mixing of two {metal} waters, pH"
        difference = mine.ph_at_once.number - mix.pH
        settle(
            trust_record, "live_mixing", "PHREEQC (library)", f"{name} at once", difference, 0.05
        )
        per_atm = 10 ** -float(pkh_plummer82(t)) * CO2_MG_PER_MOL
        mix.equalize(["CO2(g)"], [float(np.log10(settled_mg_l / per_atm))])
        difference = mine.ph_settled.number - mix.pH
        settle(
            trust_record, "live_mixing", "PHREEQC (library)", f"{name} settled", difference, 0.05
        )


def test_leaving_calcium_out_is_as_wrong_as_the_docs_say(
    phreeqc: Any, trust_record: Callable[..., None]
) -> None:
    """Hard tap water at pH 8.2: without its calcium the mix reads up to 0.13 pH too low."""
    tank, tap = CarbonateWater(6.4, 35.7), CarbonateWater(8.2, 250.0)
    mine = water.mix_waters(29.0, tank, tap, 0.8, 2.75).ph_at_once.number
    mix = phreeqc.mix_solutions(
        {
            solution_of(phreeqc, tank, 29.0, "Ca"): 0.2,
            solution_of(phreeqc, tap, 29.0, "Ca"): 0.8,
        }
    )
    difference = mine - mix.pH
    assert -0.15 < difference < -0.05
    trust_record(
        "live_mixing",
        "PHREEQC (library)",
        "mixing of two Ca waters with calcium not known, pH at once",
        difference,
        0.15,
        "known disagreement",
        "hard water above pH 8 only",
    )


def test_co2_with_activity_agrees_with_phreeqc(
    phreeqc: Any, trust_record: Callable[..., None]
) -> None:
    for t, ph, alkalinity in product((10.0, 20.0, 30.0), (6.5, 7.0, 7.5), (30.0, 100.0, 200.0)):
        reading = CarbonateWater(ph, alkalinity)
        reference = solution_of(phreeqc, reading, t, "Na").species["CO2"] * CO2_MG_PER_MOL
        mine = water.co2_activity_mg_l(t, ph, alkalinity).number
        name = "CO2 with Davies activity, relative"
        settle(trust_record, "live_co2", "PHREEQC (library)", name, mine / reference - 1, 0.01)


def test_salt_conductivity_agrees_with_phreeqc(
    phreeqc: Any, trust_record: Callable[..., None]
) -> None:
    """CRC molar conductivities (memory) lie about 1.4 % above PHREEQC: allowed 2 %."""
    for mol in (0.01, 0.02, 0.05, 0.1):
        solution = phreeqc.add_solution_simple({"NaCl": 1000 * mol}, temperature=25)
        reference = solution.sc / 1000
        mine = water.salt_conductivity_ms_cm(mol * 58.44, 25.0).number
        name = "conductivity of common salt at 25 C, relative"
        settle(trust_record, "live_salt", "PHREEQC (library)", name, mine / reference - 1, 0.02)


@pytest.mark.parametrize(
    ("grams", "allowed"), [(0.5, 0.30), (1.0, 0.30), (3.0, 0.30), (10.0, 0.55)]
)
def test_emerson_overstates_in_a_salt_bath_never_understates(
    phreeqc: Any, grams: float, allowed: float
) -> None:
    """The fresh-water formula is on the safe side in common salt, by about a quarter at 3 g/L."""
    solution = phreeqc.add_solution(
        {
            "units": "mmol/kgw",
            "pH": 8.0,
            "temp": 25,
            "N(-3)": 0.01,
            "Na": grams / 58.44 * 1000,
            "Cl": grams / 58.44 * 1000,
        }
    )
    toxic, ion = solution.species["NH3"], solution.species["NH4+"]
    over = water.unionised_fraction_emerson75(25.0, 8.0).number / (toxic / (toxic + ion)) - 1
    assert 0 < over < allowed
