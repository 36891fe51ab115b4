"""The pH scales of salt water, and what a dissociation constant becomes on each.

A pH of 8.0 means three different amounts of acid on three scales; in sea water at 25 C the
total scale reads about 0.1 below the free one, and an electrode set on ordinary (NBS) buffers
lies between activity and concentration. Whoever uses a formula for salt water must say which.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from tankside.claims import cited
from tankside.quantity.per import PER_THOUSAND
from tankside.water.physical import kelvin
from tankside.water.ranged import Floats, Values, array

_DICKSON = "dickson_1990"
_FLUORIDE = "dickson_riley_1979"
_TAKAHASHI = "takahashi_1982"
_CHLORINITY = cited(1.80655, "wooster_1969", "salinity = 1.80655 chlorinity")


class PhScale(StrEnum):
    """How a pH in salt water was measured.

    ``FREE``: free hydrogen ions. ``TOTAL``: with hydrogen sulphate (seawater buffers).
    ``NBS``: electrode set on ordinary buffers.
    """

    FREE = "free"
    TOTAL = "total"
    NBS = "nbs"


def per_kg_water_to_seawater(salinity_g_kg: Values) -> Floats:
    """Return the factor from mol/kg of water to mol/kg of sea water, 1 - 0.001005 S."""
    return 1 - cited(0.001005, _DICKSON, "definition of salinity and water content") * array(
        salinity_g_kg
    )


def ionic_strength_seawater(salinity_g_kg: Values) -> Floats:
    """Return the ionic strength of sea water [mol/kg of water], 19.924 S / (1000 - 1.005 S)."""
    salt = array(salinity_g_kg)
    return (
        cited(19.924, _DICKSON, "ionic strength")
        * salt
        / (PER_THOUSAND - cited(1.005, _DICKSON, "ionic strength") * salt)
    )


def sulphate_total(salinity_g_kg: Values) -> Floats:
    """Return total sulphate of sea water [mol/kg], Morris & Riley 1966."""
    source = "morris_riley_1966"
    ratio = cited(0.14, source, "sulphate to chlorinity") / cited(96.062, source, "molar mass")
    return ratio * array(salinity_g_kg) / _CHLORINITY


def fluoride_total(salinity_g_kg: Values) -> Floats:
    """Return total fluoride of sea water [mol/kg], Riley 1965."""
    source = "riley_1965"
    ratio = cited(0.000067, source, "fluoride to chlorinity") / cited(18.998, source, "molar mass")
    return ratio * array(salinity_g_kg) / _CHLORINITY


def bisulphate_dissociation_dickson90(temperature_c: Values, salinity_g_kg: Values) -> Floats:
    """Dissociation constant of hydrogen sulphate in sea water [mol/kg, free scale].

    Args:
        temperature_c: water temperature [deg C].
        salinity_g_kg: salinity [g/kg].

    Equation:
        ln K = -4276.1/T + 141.328 - 23.093 ln T + (-13856/T + 324.57 - 47.986 ln T) I^0.5
        + (35474/T - 771.54 + 114.723 ln T) I - 2698/T I^1.5 + 1776/T I^2, then to mol/kg.

    Where it holds:
        0 to 45 C, S 5 to 45, artificial sea water (electrode cells).

    Source:
        Dickson 1990, J Chem Thermodyn 22:113-127, doi 10.1016/0021-9614(90)90074-Z.
    """
    t = kelvin(temperature_c)
    ln_t = np.log(t)
    ionic = ionic_strength_seawater(salinity_g_kg)
    root = np.sqrt(ionic)
    place = "equation for ln K"
    fresh = (
        cited(-4276.1, _DICKSON, place) / t
        + cited(141.328, _DICKSON, place)
        - cited(23.093, _DICKSON, place) * ln_t
    )
    by_root = (
        cited(-13856, _DICKSON, place) / t
        + cited(324.57, _DICKSON, place)
        - cited(47.986, _DICKSON, place) * ln_t
    )
    by_ionic = (
        cited(35474, _DICKSON, place) / t
        - cited(771.54, _DICKSON, place)
        + cited(114.723, _DICKSON, place) * ln_t
    )
    high = (cited(1776, _DICKSON, place) * ionic - cited(2698, _DICKSON, place) * root) / t
    ln_k = fresh + by_root * root + (by_ionic + high) * ionic
    constant: Floats = np.exp(ln_k) * per_kg_water_to_seawater(salinity_g_kg)
    return constant


def fluoride_dissociation_dickson79(temperature_c: Values, salinity_g_kg: Values) -> Floats:
    """Dissociation constant of hydrogen fluoride in sea water [mol/kg, free scale].

    Equation:
        ln K = 1590.2/T - 12.641 + 1.525 I^0.5, then to mol/kg of sea water.

    Source:
        Dickson & Riley 1979, Mar Chem 7:89-99, doi 10.1016/0304-4203(79)90001-X.
    """
    ln_k = (
        cited(1590.2, _FLUORIDE, "ln K") / kelvin(temperature_c)
        - cited(12.641, _FLUORIDE, "ln K")
        + cited(1.525, _FLUORIDE, "ln K") * np.sqrt(ionic_strength_seawater(salinity_g_kg))
    )
    constant: Floats = np.exp(ln_k) * per_kg_water_to_seawater(salinity_g_kg)
    return constant


def nbs_activity_takahashi82(temperature_c: Values, salinity_g_kg: Values) -> Floats:
    """Apparent activity coefficient of acid between the NBS and the seawater scale.

    Equation:
        fH = 1.2948 - 0.002036 T + (0.0004607 - 0.000001475 T) S^2

    Where it holds:
        sea water, S 20 to 40. It also carries each electrode's junction error, so it is an
        average, good to about 0.02 pH at best.

    Source:
        Takahashi et al. 1982, GEOSECS Pacific Expedition vol. 3, ch. 3.
    """
    t = kelvin(temperature_c)
    squared = array(salinity_g_kg) ** 2
    place = "fH"
    return (
        cited(1.2948, _TAKAHASHI, place)
        - cited(0.002036, _TAKAHASHI, place) * t
        + (cited(0.0004607, _TAKAHASHI, place) - cited(0.000001475, _TAKAHASHI, place) * t)
        * squared
    )


def acid_on_scale(scale: PhScale, temperature_c: Values, salinity_g_kg: Values) -> Floats:
    """Return 10^-pH of a scale for each unit of free hydrogen ion.

    A dissociation constant on the total scale, divided by this of ``TOTAL`` and multiplied by
    this of another scale, is the constant on that other scale.

    Args:
        scale: the scale of the pH.
        temperature_c: water temperature [deg C].
        salinity_g_kg: salinity [g/kg].
    """
    free = np.ones(np.broadcast(array(temperature_c), array(salinity_g_kg)).shape)
    if scale is PhScale.FREE:
        return free
    sulphate = sulphate_total(salinity_g_kg) / bisulphate_dissociation_dickson90(
        temperature_c, salinity_g_kg
    )
    if scale is PhScale.TOTAL:
        return free + sulphate
    fluoride = fluoride_total(salinity_g_kg) / fluoride_dissociation_dickson79(
        temperature_c, salinity_g_kg
    )
    seawater_scale = free + sulphate + fluoride
    return seawater_scale * nbs_activity_takahashi82(temperature_c, salinity_g_kg)
