"""Dissolved oxygen at saturation with air, by temperature, salinity and air pressure."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited, unit_factor
from tankside.water.physical import kelvin
from tankside.water.ranged import (
    Floats,
    Method,
    Range,
    Ranged,
    Values,
    array,
    salinity_range,
    temperature_range,
)

_BENSON = "benson_krause_1984"
_WEISS = "weiss_1970"
_HUNDRED = cited(100, _WEISS, "equation 4")

BENSON_KRAUSE84 = Method(
    name="oxygen_saturation_benson_krause84",
    gives="dissolved oxygen in balance with air, mg/L",
    equation="ln C = -139.34411 + 1.575701e5/K - 6.642308e7/K^2 + 1.243800e10/K^3 "
    "- 8.621949e11/K^4 - S (1.7674e-2 - 10.754/K + 2140.7/K^2), times the pressure term",
    source=_BENSON,
    ranges=(
        temperature_range(0, cited(40, _BENSON, "range, deg C")),
        salinity_range(0, cited(40, _BENSON, "range of salinity")),
        Range(
            "pressure_atm",
            cited(0.5, _BENSON, "pressure term"),
            cited(1.1, _BENSON, "pressure term"),
            "air pressure [atm]",
        ),
    ),
    note="Default: the modern measurements, and the method of standard tables.",
)

WEISS70 = Method(
    name="oxygen_saturation_weiss70",
    gives="dissolved oxygen in balance with air at 1 atm, mg/L",
    equation="ln C[mL/L] = -173.4292 + 249.6339 (100/T) + 143.3483 ln(T/100) - 21.8492 (T/100) "
    "+ S [-0.033096 + 0.014259 (T/100) - 0.0017000 (T/100)^2]; times 1.42905",
    source=_WEISS,
    ranges=(
        temperature_range(cited(-1, _WEISS, "range"), cited(40, _WEISS, "range")),
        salinity_range(0, cited(40, _WEISS, "range")),
    ),
    note="Older fit behind many printed tables; 0.1 to 0.3 % below Benson & Krause.",
)


def _at_one_atmosphere(temperature_c: Values, salinity_g_kg: Values) -> Floats:
    k = kelvin(temperature_c)
    place = "equation for C at 1 atm, as in APHA 4500-O"
    fresh = (
        cited(-139.34411, _BENSON, place)
        + cited(1.575701e5, _BENSON, place) / k
        - cited(6.642308e7, _BENSON, place) / k**2
        + cited(1.243800e10, _BENSON, place) / k / k**2
        - cited(8.621949e11, _BENSON, place) / k**2 / k**2
    )
    salt = (
        cited(1.7674e-2, _BENSON, place)
        - cited(10.754, _BENSON, place) / k
        + cited(2140.7, _BENSON, place) / k**2
    )
    solubility: Floats = np.exp(fresh - array(salinity_g_kg) * salt)
    return solubility


def _pressure_term(temperature_c: Values, pressure_atm: Values) -> Floats:
    k = kelvin(temperature_c)
    t = array(temperature_c)
    p = array(pressure_atm)
    place = "pressure term, as in APHA 4500-O"
    vapour = np.exp(
        cited(11.8571, _BENSON, place)
        - cited(3840.70, _BENSON, place) / k
        - cited(216961, _BENSON, place) / k**2
    )
    theta = (
        cited(0.000975, _BENSON, place)
        - cited(1.426e-5, _BENSON, place) * t
        + cited(6.436e-8, _BENSON, place) * t**2
    )
    term: Floats = p * (1 - vapour / p) * (1 - theta * p) / ((1 - vapour) * (1 - theta))
    return term


def oxygen_saturation_benson_krause84(
    temperature_c: Values, salinity_g_kg: Values = 0.0, pressure_atm: Values = 1.0
) -> Ranged:
    """Dissolved oxygen in balance with moist air, Benson & Krause 1984.

    Args:
        temperature_c: water temperature [deg C].
        salinity_g_kg: salinity [g/kg].
        pressure_atm: air pressure [atm]; see :mod:`tankside.water.air_pressure` for altitude.

    Returns:
        Oxygen at saturation [mg/L].

    Equation:
        ln C = -139.34411 + 1.575701e5/K - 6.642308e7/K^2 + 1.243800e10/K^3 - 8.621949e11/K^4
        - S (1.7674e-2 - 10.754/K + 2140.7/K^2)  [mg/L, 1 atm];
        C(P) = C P (1 - Pw/P)(1 - th P) / ((1 - Pw)(1 - th))

    Where it holds:
        0 to 40 C, S 0 to 40, 0.5 to 1.1 atm; equilibration with air, chemical titration.
        Outside: a warning, still a value.

    Source:
        Benson & Krause 1984, Limnol Oceanogr 29:620-632, doi 10.4319/lo.1984.29.3.0620,
        constants as in APHA 4500-O (from memory; a reference library agrees within 0.05 %).

    Known misprints:
        An older table with 9.17 at 20 C still circulates: 1 % high.
    """
    return BENSON_KRAUSE84.result(
        _at_one_atmosphere(temperature_c, salinity_g_kg)
        * _pressure_term(temperature_c, pressure_atm),
        temperature_c=temperature_c,
        salinity_g_kg=salinity_g_kg,
        pressure_atm=pressure_atm,
    )


def oxygen_saturation_weiss70(temperature_c: Values, salinity_g_kg: Values = 0.0) -> Ranged:
    """Dissolved oxygen in balance with moist air at 1 atm, Weiss 1970 (the rival).

    Args:
        temperature_c: water temperature [deg C].
        salinity_g_kg: salinity [g/kg].

    Returns:
        Oxygen at saturation [mg/L].

    Equation:
        ln C = -173.4292 + 249.6339 (100/T) + 143.3483 ln(T/100) - 21.8492 (T/100)
        + S [-0.033096 + 0.014259 (T/100) - 0.0017000 (T/100)^2]  [mL/L at STP], times 1.42905

    Where it holds:
        -1 to 40 C, S 0 to 40, 1 atm only. Outside: a warning.

    Source:
        Weiss 1970, Deep-Sea Res 17:721-735, doi 10.1016/0011-7471(70)90037-9 (from memory).
    """
    scaled = kelvin(temperature_c) / _HUNDRED
    place = "table 4, oxygen, mL/L"
    fresh = (
        cited(-173.4292, _WEISS, place)
        + cited(249.6339, _WEISS, place) / scaled
        + cited(143.3483, _WEISS, place) * np.log(scaled)
        - cited(21.8492, _WEISS, place) * scaled
    )
    salt = (
        cited(-0.033096, _WEISS, place)
        + cited(0.014259, _WEISS, place) * scaled
        - cited(0.0017000, _WEISS, place) * scaled**2
    )
    mg_per_ml = unit_factor(1.42905, "mg of oxygen in 1 mL of gas at 0 C and 1 atm")
    return WEISS70.result(
        np.exp(fresh + array(salinity_g_kg) * salt) * mg_per_ml,
        temperature_c=temperature_c,
        salinity_g_kg=salinity_g_kg,
    )
