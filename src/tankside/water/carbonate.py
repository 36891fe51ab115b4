"""Carbonate constants of fresh water, and the carbon dioxide that pH and alkalinity tell."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.quantity.per import PER_MILLION, PER_THOUSAND
from tankside.water.physical import CACO3_MG_PER_MEQ, CO2_G_MOL, kelvin
from tankside.water.ranged import (
    Floats,
    Method,
    Range,
    Ranged,
    Values,
    array,
    ph_range,
    temperature_range,
)

_PLUMMER = "plummer_busenberg_1982"
_DAVIES = "davies_1962"
_NORDSTROM = "nordstrom_1990"

_RANGES = (
    temperature_range(0, cited(90, _PLUMMER, "range, deg C")),
    ph_range(cited(5.5, "srac_468", "table"), cited(8.4, "srac_468", "table")),
    Range(
        "alkalinity_mg_l_caco3",
        cited(10, "srac_468", "carbonate alkalinity"),
        cited(500, _DAVIES, "ionic strength below 0.01"),
        "alkalinity [mg/L as CaCO3]",
    ),
)
_NOT_CARBONATE = (
    "Not valid where alkalinity is not carbonate (phosphate buffers, humic water). "
    "A pH read 0.1 wrong is 26 % in carbon dioxide."
)

CO2_IDEAL = Method(
    "co2_ideal_mg_l",
    "free carbon dioxide, mg/L",
    "CO2 = alkalinity x 10^(pK1 - pH), pK1 by Plummer & Busenberg",
    _PLUMMER,
    _RANGES,
    "Default for showing: it is the number of the printed factor tables and about 5 % on the "
    "safe side at alkalinity 100. " + _NOT_CARBONATE,
)
CO2_ACTIVITY = Method(
    "co2_activity_mg_l",
    "free carbon dioxide, mg/L",
    "CO2 = g1 x alkalinity x 10^(pK1 - pH), g1 by Davies",
    _PLUMMER,
    _RANGES,
    "With activity: closer to the truth, and what mixing is computed with. " + _NOT_CARBONATE,
)


def log_k(temperature_c: Values, terms: tuple[float, float, float, float, float]) -> Floats:
    """Return log10 K = a + b T + c/T + d log10 T + e/T^2 of five coefficients, T in kelvin."""
    t = kelvin(temperature_c)
    constant, linear, inverse, logarithm, square = terms
    log_constant: Floats = (
        constant + linear * t + inverse / t + logarithm * np.log10(t) + square / t**2
    )
    return log_constant


def pk1_plummer82(temperature_c: Values) -> Floats:
    """First dissociation of carbonic acid, pK1, at zero ionic strength.

    Equation:
        log K1 = -356.3094 - 0.06091964 T + 21834.37/T + 126.8339 log T - 1684915/T^2

    Where it holds:
        0 to 90 C.

    Source:
        Plummer & Busenberg 1982, Geochim Cosmochim Acta 46:1011-1040,
        doi 10.1016/0016-7037(82)90056-4, table 2 (from memory; a reference library agrees).
    """
    place = "table 2, K1"
    terms = (
        cited(-356.3094, _PLUMMER, place),
        cited(-0.06091964, _PLUMMER, place),
        cited(21834.37, _PLUMMER, place),
        cited(126.8339, _PLUMMER, place),
        cited(-1684915, _PLUMMER, place),
    )
    return -log_k(temperature_c, terms)


def pk2_plummer82(temperature_c: Values) -> Floats:
    """Second dissociation of carbonic acid, pK2; range and source as :func:`pk1_plummer82`.

    Equation:
        log K2 = -107.8871 - 0.03252849 T + 5151.79/T + 38.92561 log T - 563713.9/T^2
    """
    place = "table 2, K2"
    terms = (
        cited(-107.8871, _PLUMMER, place),
        cited(-0.03252849, _PLUMMER, place),
        cited(5151.79, _PLUMMER, place),
        cited(38.92561, _PLUMMER, place),
        cited(-563713.9, _PLUMMER, place),
    )
    return -log_k(temperature_c, terms)


def pkh_plummer82(temperature_c: Values) -> Floats:
    """Solubility of carbon dioxide, -log10 of mol/kg/atm; range and source as ``pk1_plummer82``.

    Equation:
        log KH = 108.3865 + 0.01985076 T - 6919.53/T - 40.45154 log T + 669365/T^2
    """
    place = "table 2, KH"
    terms = (
        cited(108.3865, _PLUMMER, place),
        cited(0.01985076, _PLUMMER, place),
        cited(-6919.53, _PLUMMER, place),
        cited(-40.45154, _PLUMMER, place),
        cited(669365, _PLUMMER, place),
    )
    return -log_k(temperature_c, terms)


def pkw_nordstrom90(temperature_c: Values) -> Floats:
    """Ion product of water, pKw, at zero ionic strength.

    Equation:
        log Kw = -283.9710 - 0.05069842 T + 13323.00/T + 102.24447 log T - 1119669/T^2

    Source:
        Nordstrom et al. 1990, ACS Symp Ser 416:398-413 (from memory).
    """
    place = "table 1, H2O"
    terms = (
        cited(-283.9710, _NORDSTROM, place),
        cited(-0.05069842, _NORDSTROM, place),
        cited(13323.00, _NORDSTROM, place),
        cited(102.24447, _NORDSTROM, place),
        cited(-1119669, _NORDSTROM, place),
    )
    return -log_k(temperature_c, terms)


def activity_davies(ionic_strength: Values) -> Floats:
    """Activity coefficient of a singly charged ion, Davies 1962.

    Args:
        ionic_strength: ionic strength [mol/L].

    Equation:
        log10 g = -0.509 (I^0.5 / (1 + I^0.5) - 0.3 I); a doubly charged ion has g^4.

    Where it holds:
        ionic strength below about 0.5, near 25 C (the constant moves by 2 % from 10 to 35 C).

    Source:
        Davies 1962, Ion Association, p. 41 (from memory).
    """
    root = np.sqrt(array(ionic_strength))
    inner = root / (1 + root) - cited(0.3, _DAVIES, "equation 3.17") * array(ionic_strength)
    activity: Floats = np.power(10.0, -cited(0.509, _DAVIES, "A at 25 C") * inner)
    return activity


def milliequivalents(alkalinity_mg_l_caco3: Values) -> Floats:
    """Return alkalinity [meq/L] from mg/L as CaCO3."""
    return array(alkalinity_mg_l_caco3) / CACO3_MG_PER_MEQ


def co2_ideal_mg_l(temperature_c: Values, ph: Values, alkalinity_mg_l_caco3: Values) -> Ranged:
    """Free carbon dioxide from pH and alkalinity, without activity correction.

    Args:
        temperature_c: water temperature [deg C].
        ph: pH.
        alkalinity_mg_l_caco3: alkalinity [mg/L as CaCO3].

    Returns:
        Free CO2 [mg/L].

    Equation:
        CO2 = alkalinity x 10^(pK1 - pH)

    Where it holds:
        fresh water, pH 5.5 to 8.4 (above, carbonate counts and this overstates CO2), alkalinity
        that is carbonate. Outside: a warning, still a value.

    Source:
        pK1 of Plummer & Busenberg 1982; form of the factor table of SRAC 468 (Tucker 1984).
    """
    co2_mmol = milliequivalents(alkalinity_mg_l_caco3) * np.power(
        10.0, pk1_plummer82(temperature_c) - array(ph)
    )
    return CO2_IDEAL.result(
        co2_mmol * CO2_G_MOL,
        temperature_c=temperature_c,
        ph=ph,
        alkalinity_mg_l_caco3=alkalinity_mg_l_caco3,
    )


def co2_activity_mg_l(temperature_c: Values, ph: Values, alkalinity_mg_l_caco3: Values) -> Ranged:
    """Free carbon dioxide from pH and alkalinity, with activity (rival of the ideal form).

    Args:
        temperature_c: water temperature [deg C].
        ph: pH on the activity (NBS) scale.
        alkalinity_mg_l_caco3: alkalinity [mg/L as CaCO3]; ionic strength is taken as that of a
            sodium bicarbonate water of this alkalinity.

    Returns:
        Free CO2 [mg/L].

    Equation:
        CO2 = g1 x alkalinity x 10^(pK1 - pH)

    Where it holds:
        as :func:`co2_ideal_mg_l`.
    """
    ideal = co2_ideal_mg_l(temperature_c, ph, alkalinity_mg_l_caco3).values
    activity = activity_davies(milliequivalents(alkalinity_mg_l_caco3) / PER_THOUSAND)
    return CO2_ACTIVITY.result(
        ideal * activity,
        temperature_c=temperature_c,
        ph=ph,
        alkalinity_mg_l_caco3=alkalinity_mg_l_caco3,
    )


def co2_in_balance_with_air_mg_l(temperature_c: Values, air_co2_ppm: Values) -> Floats:
    """Return free CO2 [mg/L] in balance with air holding some CO2 [ppm by volume, 1 atm]."""
    per_atm = np.power(10.0, -pkh_plummer82(temperature_c))
    co2_mg_l: Floats = per_atm * array(air_co2_ppm) / PER_MILLION * CO2_G_MOL * PER_THOUSAND
    return co2_mg_l
