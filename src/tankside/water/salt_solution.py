"""Common salt in water: density and strength of a solution, and what a conductivity meter reads."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.quantity.per import PERCENT
from tankside.water.physical import CHLORINE_G_MOL, SODIUM_G_MOL
from tankside.water.ranged import Floats, Method, Range, Ranged, Values, array, temperature_range

_TABLE = "wnt_1974"
_CRC = "crc_handbook"
_ROW = "table of sodium chloride solutions, 20 C"

_DENSITY_AT_PERCENT = {
    0.0: cited(998.2, _CRC, "density of water at 20 C, kg/m3"),
    1.0: cited(1005.3, _TABLE, _ROW),
    2.0: cited(1012.2, _TABLE, _ROW),
    cited(4, _TABLE, _ROW): cited(1026.8, _TABLE, _ROW),
    cited(6, _TABLE, _ROW): cited(1041.3, _TABLE, _ROW),
    cited(8, _TABLE, _ROW): cited(1055.9, _TABLE, _ROW),
    cited(10, _TABLE, _ROW): cited(1070.7, _TABLE, _ROW),
    cited(20, _TABLE, _ROW): cited(1147.8, _TABLE, _ROW),
    cited(26, _TABLE, _ROW): cited(1197.2, _TABLE, _ROW),
}

_MOLAR_CONDUCTIVITY = {
    0.0: cited(126.39, _CRC, "limiting molar conductivity, S cm2/mol"),
    cited(0.001, _CRC, "mol/L"): cited(123.68, _CRC, "molar conductivity, 25 C"),
    cited(0.005, _CRC, "mol/L"): cited(120.59, _CRC, "molar conductivity, 25 C"),
    cited(0.01, _CRC, "mol/L"): cited(118.45, _CRC, "molar conductivity, 25 C"),
    cited(0.02, _CRC, "mol/L"): cited(115.70, _CRC, "molar conductivity, 25 C"),
    cited(0.05, _CRC, "mol/L"): cited(111.01, _CRC, "molar conductivity, 25 C"),
    cited(0.1, _CRC, "mol/L"): cited(106.69, _CRC, "molar conductivity, 25 C"),
}

DENSITY = Method(
    "salt_density_table",
    "density of a common salt solution at 20 C, kg/m3",
    "straight line between the rows of the table",
    _TABLE,
    (Range("percent_w_w", 0, cited(26, _TABLE, _ROW), "salt [% w/w]"),),
    "Below 1 % by weight, g/L and parts per thousand agree within 1 %.",
)
CONDUCTIVITY = Method(
    "salt_conductivity_ms_cm",
    "conductivity of a common salt solution at 25 C, mS/cm",
    "molar conductivity, straight line in the root of mol/L, times mol/L",
    _CRC,
    (
        Range("salt_g_l", 0, cited(5.844, _CRC, "0.1 mol/L"), "common salt [g/L]"),
        temperature_range(cited(25, _CRC, "table"), cited(25, _CRC, "table")),
    ),
    "Common salt alone in pure water; add what the water had before. A meter that shows salinity "
    "assumes sea salt: within 2 % below 15 g/L.",
)


def salt_density_table(percent_w_w: Values) -> Ranged:
    """Density of a solution of common salt at 20 C.

    Args:
        percent_w_w: salt [% by weight].

    Returns:
        Density [kg/m3].

    Equation:
        straight line between the rows of the table; 0 to 26 % w/w. Outside: a warning, the
        nearest row.

    Source:
        physico-chemical handbook table (WNT 1974), read on a university page; water itself from
        the CRC Handbook (memory).
    """
    density = np.interp(
        array(percent_w_w), list(_DENSITY_AT_PERCENT), list(_DENSITY_AT_PERCENT.values())
    )
    return DENSITY.result(array(density), percent_w_w=percent_w_w)


def salt_strength_g_l(percent_w_w: Values) -> Ranged:
    """Salt in a litre of solution [g/L] from per cent by weight, strength times density."""
    density = salt_density_table(percent_w_w)
    return Ranged(density.values * array(percent_w_w) / PERCENT, density.warnings)


def salt_conductivity_ms_cm(salt_g_l: Values, temperature_c: Values) -> Ranged:
    """Conductivity of common salt in pure water at 25 C.

    Args:
        salt_g_l: common salt [g/L].
        temperature_c: temperature to which the meter corrects [deg C]; 25 or a warning.

    Returns:
        Conductivity [mS/cm].

    Equation:
        molar conductivity, straight between the rows in the root of mol/L, times mol/L

    Source:
        CRC Handbook, equivalent conductivities at 25 C (from memory).
    """
    mol_l = array(salt_g_l) / (SODIUM_G_MOL + CHLORINE_G_MOL)
    roots = np.sqrt(np.array(list(_MOLAR_CONDUCTIVITY)))
    molar = np.interp(np.sqrt(mol_l), roots, list(_MOLAR_CONDUCTIVITY.values()))
    return CONDUCTIVITY.result(array(molar) * mol_l, salt_g_l=salt_g_l, temperature_c=temperature_c)


def volume_from_salt_l(salt_g: Values, rise_g_l: Values) -> Floats:
    """Return the volume [L] told by the rise [g/L] that a weighed amount of salt [g] makes."""
    return array(salt_g) / array(rise_g_l)
