"""Which forms dissolved carbon takes at a pH, and the pH that alkalinity and carbon make.

All inside is mol/L at one temperature, with Davies activities and, where calcium is known, its two
ion pairs. Calcium ties up carbonate: in hard water above pH 8 leaving it out reads pH up to 0.1
too low.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tankside.claims import cited, whole_setting
from tankside.quantity.per import PER_THOUSAND
from tankside.water.carbonate import (
    activity_davies,
    log_k,
    milliequivalents,
    pk1_plummer82,
    pk2_plummer82,
    pkw_nordstrom90,
)
from tankside.water.physical import CO2_G_MOL
from tankside.water.ranged import Floats, Values, array

_PLUMMER = "plummer_busenberg_1982"
_LOWEST_PH = cited(2, _PLUMMER, "below any kept water")
_HIGHEST_PH = cited(12, _PLUMMER, "above any kept water")
_HALVINGS = whole_setting(44, "halves the pH interval of 10 down to rounding error")


def log_k_calcium_bicarbonate(temperature_c: Values) -> Floats:
    """Association of calcium and bicarbonate, log10 of L/mol at zero ionic strength.

    Equation:
        log K = 1209.120 + 0.31294 T - 34765.05/T - 478.782 log T

    Source:
        Plummer & Busenberg 1982, doi 10.1016/0016-7037(82)90056-4 (from memory; 0 to 90 C).
    """
    place = "table 2, CaHCO3+"
    terms = (
        cited(1209.120, _PLUMMER, place),
        cited(0.31294, _PLUMMER, place),
        cited(-34765.05, _PLUMMER, place),
        cited(-478.782, _PLUMMER, place),
        0.0,
    )
    return log_k(temperature_c, terms)


def log_k_calcium_carbonate_pair(temperature_c: Values) -> Floats:
    """Association of calcium and carbonate in solution, log10 of L/mol at zero ionic strength.

    Equation:
        log K = -1228.732 - 0.299444 T + 35512.75/T + 485.818 log T

    Source:
        Plummer & Busenberg 1982, doi 10.1016/0016-7037(82)90056-4 (from memory; 0 to 90 C).
    """
    place = "table 2, CaCO3 pair"
    terms = (
        cited(-1228.732, _PLUMMER, place),
        cited(-0.299444, _PLUMMER, place),
        cited(35512.75, _PLUMMER, place),
        cited(485.818, _PLUMMER, place),
        0.0,
    )
    return log_k(temperature_c, terms)


@dataclass(frozen=True, slots=True)
class _Water:
    """Alkalinity [mol/L of charge], calcium [mol/L] and constants for concentrations."""

    alkalinity: Floats
    calcium: Floats
    k1: Floats
    k2: Floats
    kw: Floats
    acid_per_activity: Floats
    pair_bicarbonate: Floats
    pair_carbonate: Floats


@dataclass(frozen=True, slots=True)
class _Forms:
    """At one pH: forms for each mol of CO2, pairs for each mol of CO2 and of free calcium.

    ``total`` and ``charge`` are without calcium, ``paired`` and ``paired_charge`` those tied to
    it; ``water`` is hydroxide less acid.
    """

    total: Floats
    charge: Floats
    paired: Floats
    paired_charge: Floats
    water: Floats


def _water(temperature_c: Values, alkalinity: Values, calcium: Values) -> _Water:
    t, charge, twice_calcium = np.broadcast_arrays(
        array(temperature_c),
        milliequivalents(alkalinity) / PER_THOUSAND,
        milliequivalents(calcium) / PER_THOUSAND,
    )
    sodium = np.maximum(charge - twice_calcium, 0)
    ionic = (np.maximum(charge, 0) + sodium) / 2 + twice_calcium
    g1 = activity_davies(ionic)
    g2 = g1**2 * g1**2
    return _Water(
        alkalinity=charge,
        calcium=twice_calcium / 2,
        k1=np.power(10.0, -pk1_plummer82(t)) / g1,
        k2=np.power(10.0, -pk2_plummer82(t)) * g1 / g2,
        kw=np.power(10.0, -pkw_nordstrom90(t)) / g1,
        acid_per_activity=1 / g1,
        pair_bicarbonate=np.power(10.0, log_k_calcium_bicarbonate(t)) * g2,
        pair_carbonate=np.power(10.0, log_k_calcium_carbonate_pair(t)) * g2**2,
    )


def _forms(ph: Floats, water: _Water) -> _Forms:
    acid = np.power(10.0, -ph)
    bicarbonate = water.k1 / acid
    carbonate = bicarbonate * water.k2 / acid
    with_bicarbonate = water.pair_bicarbonate * bicarbonate
    with_carbonate = water.pair_carbonate * carbonate
    return _Forms(
        total=1 + bicarbonate + carbonate,
        charge=bicarbonate + 2 * carbonate,
        paired=with_bicarbonate + with_carbonate,
        paired_charge=with_bicarbonate + 2 * with_carbonate,
        water=water.kw / acid - acid * water.acid_per_activity,
    )


def _co2_from(sum_of_forms: Floats, alone: Floats, pairs: Floats, f: _Forms, w: _Water) -> Floats:
    """Return CO2 so that ``alone CO2 + pairs Ca CO2`` makes a given sum, Ca being what is free.

    Free calcium is Ca/(1 + paired CO2), which leaves a quadratic with one positive root.
    """
    square = alone * f.paired
    linear = alone + w.calcium * pairs - sum_of_forms * f.paired
    root = np.sqrt(linear**2 + 2 * 2 * square * sum_of_forms)
    co2: Floats = 2 * sum_of_forms / (linear + root)
    return co2


def _paired(co2: Floats, per_calcium: Floats, f: _Forms, w: _Water) -> Floats:
    pairs: Floats = w.calcium / (1 + f.paired * co2) * per_calcium * co2
    return pairs


def _co2_at(ph: Values, w: _Water) -> tuple[Floats, _Forms]:
    forms = _forms(array(ph), w)
    carbon_charge = np.maximum(w.alkalinity - forms.water, 0)
    return _co2_from(carbon_charge, forms.charge, forms.paired_charge, forms, w), forms


def dissolved_carbon_mmol_l(
    temperature_c: Values,
    ph: Values,
    alkalinity_mg_l_caco3: Values,
    calcium_mg_l_caco3: Values = 0.0,
) -> Floats:
    """Dissolved inorganic carbon from pH and alkalinity.

    Args:
        temperature_c: water temperature [deg C].
        ph: pH on the activity (NBS) scale.
        alkalinity_mg_l_caco3: alkalinity [mg/L as CaCO3].
        calcium_mg_l_caco3: calcium hardness [mg/L as CaCO3].

    Returns:
        All forms together [mmol/L].
    """
    water = _water(temperature_c, alkalinity_mg_l_caco3, calcium_mg_l_caco3)
    co2, forms = _co2_at(ph, water)
    carbon: Floats = PER_THOUSAND * (co2 * forms.total + _paired(co2, forms.paired, forms, water))
    return carbon


def free_co2_mg_l(
    temperature_c: Values,
    ph: Values,
    alkalinity_mg_l_caco3: Values,
    calcium_mg_l_caco3: Values = 0.0,
) -> Floats:
    """Return free CO2 [mg/L] of water of known pH, alkalinity and calcium; see above."""
    water = _water(temperature_c, alkalinity_mg_l_caco3, calcium_mg_l_caco3)
    co2: Floats = _co2_at(ph, water)[0] * CO2_G_MOL * PER_THOUSAND
    return co2


def _solve(alkalinity_of: Callable[[Floats], Floats], alkalinity: Floats) -> Floats:
    """Return the pH at which a rising alkalinity curve meets a value, by halving."""
    low = np.full(np.shape(alkalinity), _LOWEST_PH)
    high = np.full(np.shape(alkalinity), _HIGHEST_PH)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        below = alkalinity_of(middle) < alkalinity
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    ph: Floats = (low + high) / 2
    return ph


def ph_of_closed_water(
    temperature_c: Values,
    alkalinity_mg_l_caco3: Values,
    carbon_mmol_l: Values,
    calcium_mg_l_caco3: Values = 0.0,
) -> Floats:
    """Find the pH of water whose carbon cannot leave.

    Args:
        temperature_c: water temperature [deg C].
        alkalinity_mg_l_caco3: alkalinity [mg/L as CaCO3].
        carbon_mmol_l: dissolved inorganic carbon [mmol/L].
        calcium_mg_l_caco3: calcium hardness [mg/L as CaCO3].

    Returns:
        pH on the activity (NBS) scale.
    """
    water = _water(temperature_c, alkalinity_mg_l_caco3, calcium_mg_l_caco3)
    carbon = array(carbon_mmol_l) / PER_THOUSAND

    def alkalinity_at(ph: Floats) -> Floats:
        f = _forms(ph, water)
        co2 = _co2_from(carbon, f.total, f.paired, f, water)
        return co2 * f.charge + _paired(co2, f.paired_charge, f, water) + f.water

    return _solve(alkalinity_at, water.alkalinity + np.zeros(np.shape(carbon)))


def ph_of_open_water(
    temperature_c: Values,
    alkalinity_mg_l_caco3: Values,
    co2_mg_l: Values,
    calcium_mg_l_caco3: Values = 0.0,
) -> Floats:
    """Find the pH of water whose free CO2 has settled.

    Args:
        temperature_c: water temperature [deg C].
        alkalinity_mg_l_caco3: alkalinity [mg/L as CaCO3].
        co2_mg_l: free CO2 [mg/L].
        calcium_mg_l_caco3: calcium hardness [mg/L as CaCO3].

    Returns:
        pH on the activity (NBS) scale.
    """
    water = _water(temperature_c, alkalinity_mg_l_caco3, calcium_mg_l_caco3)
    co2 = array(co2_mg_l) / CO2_G_MOL / PER_THOUSAND

    def alkalinity_at(ph: Floats) -> Floats:
        f = _forms(ph, water)
        return co2 * f.charge + _paired(co2, f.paired_charge, f, water) + f.water

    return _solve(alkalinity_at, water.alkalinity + np.zeros(np.shape(co2)))
