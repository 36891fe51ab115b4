"""Physical constants and exact factors that several formulas share."""

from __future__ import annotations

from tankside.claims import unit_factor
from tankside.water.ranged import Floats, Values, array

ZERO_C_IN_K = unit_factor(273.15, "0 deg C in kelvin")
NITROGEN_G_MOL = unit_factor(14.007, "molar mass of N [g/mol], IUPAC 2021")
OXYGEN_G_MOL = unit_factor(15.999, "molar mass of O [g/mol], IUPAC 2021")
HYDROGEN_G_MOL = unit_factor(1.008, "molar mass of H [g/mol], IUPAC 2021")
CARBON_G_MOL = unit_factor(12.011, "molar mass of C [g/mol], IUPAC 2021")
CALCIUM_G_MOL = unit_factor(40.078, "molar mass of Ca [g/mol], IUPAC 2021")
CHLORINE_G_MOL = unit_factor(35.45, "molar mass of Cl [g/mol], IUPAC 2021")
SODIUM_G_MOL = unit_factor(22.990, "molar mass of Na [g/mol], IUPAC 2021")
_THREE = unit_factor(3, "atoms in a molecule")
AMMONIA_PER_N = (NITROGEN_G_MOL + _THREE * HYDROGEN_G_MOL) / NITROGEN_G_MOL
NITRITE_PER_N = (NITROGEN_G_MOL + 2 * OXYGEN_G_MOL) / NITROGEN_G_MOL
CO2_G_MOL = CARBON_G_MOL + 2 * OXYGEN_G_MOL
CO2_PER_O2 = CO2_G_MOL / (2 * OXYGEN_G_MOL)
CACO3_MG_PER_MEQ = (CALCIUM_G_MOL + CARBON_G_MOL + _THREE * OXYGEN_G_MOL) / 2
CHLORIDE_PER_SALT = CHLORINE_G_MOL / (CHLORINE_G_MOL + SODIUM_G_MOL)


def kelvin(temperature_c: Values) -> Floats:
    """Return a temperature [deg C] as absolute temperature [K]."""
    return array(temperature_c) + ZERO_C_IN_K
