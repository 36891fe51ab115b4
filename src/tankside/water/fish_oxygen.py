"""Oxygen used by fish, by size and temperature; rival regressions side by side."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.quantity.per import HOURS_PER_DAY, PER_MILLION, PER_THOUSAND
from tankside.water.physical import OXYGEN_G_MOL, kelvin
from tankside.water.ranged import Method, Range, Ranged, Values, array, temperature_range

_CLARKE = "clarke_johnston_1999"
_BOYD = "boyd_1978"
_CECH = "cech_1994"

CLARKE99 = Method(
    "oxygen_use_clarke99",
    "oxygen used at rest, mg per kg of fish and hour",
    "ln(mmol/h of a 50 g fish) = 15.7 - 5.02 x 1000/K; times (W/50)^0.79",
    _CLARKE,
    (
        temperature_range(0, cited(35, _CLARKE, "range of species, deg C")),
        Range(
            "weight_g",
            cited(0.1, _CLARKE, "range of species, g"),
            cited(2000, _CLARKE, "range of species, g"),
            "weight of one fish [g]",
        ),
    ),
    "Many bony fish at rest; species differ by a factor of two. Times 1.5 to 2 for routine, 2 to "
    "3 after feeding (common practice).",
)
BOYD78 = Method(
    "oxygen_use_boyd78",
    "oxygen used, mg per kg of fish and hour",
    "log10(mg/g/h) = -0.999 - 0.000957 W + 6e-7 W^2 + 0.0327 T - 8.7e-6 T^2 + 3e-7 W T",
    _BOYD,
    (
        temperature_range(cited(20, _BOYD, "range"), cited(33, _BOYD, "range")),
        Range("weight_g", cited(2, _BOYD, "range"), cited(1000, _BOYD, "range"), "weight [g]"),
    ),
    "Channel catfish, fed and active; an upper rival.",
)
CECH94 = Method(
    "oxygen_use_cech94",
    "oxygen used, mg per kg of fish and hour",
    "MO2 = 0.00165 W^-0.285 exp(0.105 T) g/g/d",
    _CECH,
    (
        temperature_range(cited(9, _CECH, "abstract"), cited(21, _CECH, "abstract")),
        Range("weight_g", cited(200, _CECH, "adults"), cited(1500, _CECH, "adults"), "weight [g]"),
    ),
    "A large cool-water cyprinid; a rival for koi in cold water.",
)


def oxygen_use_clarke99(temperature_c: Values, weight_g: Values) -> Ranged:
    """Oxygen used by resting bony fish.

    Args:
        temperature_c: water temperature [deg C].
        weight_g: weight of one fish [g].

    Returns:
        Oxygen use [mg per kg of fish and hour].

    Equation:
        ln(mmol/h of a 50 g fish) = 15.7 - 5.02 x 1000 / K; with weight to the power 0.79

    Where it holds:
        0 to 35 C, adult bony fish of many orders at rest. Tiny fish: reads as routine, not rest
        (zebrafish of 0.5 g at 24 C: 364 measured at rest, about 510 here).

    Source:
        Clarke & Johnston 1999, J Anim Ecol 68:893-905, doi 10.1046/j.1365-2656.1999.00337.x
        (coefficients from memory).
    """
    whole = cited(50, _CLARKE, "weight of the standard fish, g")
    mmol_h = np.exp(
        cited(15.7, _CLARKE, "regression")
        - cited(5.02, _CLARKE, "regression") * PER_THOUSAND / kelvin(temperature_c)
    )
    mg_h_kg = mmol_h * 2 * OXYGEN_G_MOL * PER_THOUSAND / whole
    per_weight = (array(weight_g) / whole) ** (cited(0.79, _CLARKE, "mass exponent") - 1)
    return CLARKE99.result(mg_h_kg * per_weight, temperature_c=temperature_c, weight_g=weight_g)


def oxygen_use_boyd78(temperature_c: Values, weight_g: Values) -> Ranged:
    """Oxygen used by channel catfish in ponds (rival, upper).

    Args:
        temperature_c: water temperature [deg C].
        weight_g: weight of one fish [g].

    Returns:
        Oxygen use [mg per kg of fish and hour].

    Equation:
        log10(mg/g/h) = -0.999 - 0.000957 W + 6e-7 W^2 + 0.0327 T - 8.7e-6 T^2 + 3e-7 W T

    Source:
        Boyd, Romaire & Johnston 1978, Trans Am Fish Soc 107:484-492 (from memory).
    """
    t, w = array(temperature_c), array(weight_g)
    place = "regression"
    exponent = (
        cited(-0.999, _BOYD, place)
        - cited(0.000957, _BOYD, place) * w
        + cited(6e-7, _BOYD, place) * w**2
        + cited(0.0327, _BOYD, place) * t
        - cited(8.7e-6, _BOYD, place) * t**2
        + cited(3e-7, _BOYD, place) * w * t
    )
    use = np.power(cited(10, _BOYD, "base of the logarithm"), exponent) * PER_THOUSAND
    return BOYD78.result(use, temperature_c=t, weight_g=w)


def oxygen_use_cech94(temperature_c: Values, weight_g: Values) -> Ranged:
    """Oxygen used by a large cool-water cyprinid, northern squawfish (rival, cold ponds).

    Args:
        temperature_c: water temperature [deg C].
        weight_g: weight of one fish [g].

    Returns:
        Oxygen use [mg per kg of fish and hour].

    Equation:
        MO2 = 0.00165 W^-0.285 exp(0.105 T)  [g/g/d]

    Source:
        Cech, Castleberry, Hopkins & Petersen 1994, Can J Fish Aquat Sci 51:8-12, abstract.
    """
    t, w = array(temperature_c), array(weight_g)
    per_day = (
        cited(0.00165, _CECH, "abstract")
        * w ** cited(-0.285, _CECH, "abstract")
        * np.exp(cited(0.105, _CECH, "abstract") * t)
    )
    return CECH94.result(per_day * PER_MILLION / HOURS_PER_DAY, temperature_c=t, weight_g=w)
