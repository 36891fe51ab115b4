"""The toxic, un-ionised share of total ammonia in fresh water."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.water.physical import kelvin
from tankside.water.ranged import (
    Floats,
    Method,
    Ranged,
    Values,
    array,
    ph_range,
    salinity_range,
    temperature_range,
)

_EMERSON = "emerson_1975"
_TRUSSELL = "trussell_1972"

FRESH_G_KG = cited(0.5, "venice_system_1958", "upper edge of fresh water, g/kg")

EMERSON75 = Method(
    name="unionised_fraction_emerson75",
    gives="share of total ammonia that is un-ionised (NH3), 0 to 1",
    equation="f = 1 / (1 + 10^(pKa - pH)), pKa = 0.09018 + 2729.92 / (T + 273.15)",
    source=_EMERSON,
    ranges=(
        temperature_range(0, cited(50, _EMERSON, "range of the equation, deg C")),
        ph_range(cited(5, _EMERSON, "table"), cited(12, _EMERSON, "table")),
        salinity_range(0, FRESH_G_KG),
    ),
    note="pH of an electrode set on ordinary (NBS) buffers. In a bath of common salt it "
    "overstates the toxic share, by about a quarter at 3 g/L: the safe side.",
)

TRUSSELL72 = Method(
    name="unionised_fraction_trussell72",
    gives="share of total ammonia that is un-ionised (NH3), 0 to 1",
    equation="f = 1 / (1 + 10^(pKa - pH)), pKa 9.73, 9.56, 9.40, 9.25 at 10, 15, 20, 25 C",
    source=_TRUSSELL,
    ranges=(
        temperature_range(
            cited(10, _TRUSSELL, "table, as reprinted"), cited(25, _TRUSSELL, "table, as reprinted")
        ),
        ph_range(cited(7, _TRUSSELL, "table"), cited(8.5, _TRUSSELL, "table")),
        salinity_range(0, FRESH_G_KG),
    ),
    note="The pKa are recovered from the printed percentages at pH 8.0.",
)


def _share(pka: Floats, ph: Values) -> Floats:
    ionised: Floats = np.power(10.0, pka - array(ph))
    return 1 / (1 + ionised)


def pka_emerson75(temperature_c: Values) -> Floats:
    """Return pKa of ammonium in fresh water; see :func:`unionised_fraction_emerson75`."""
    constant = cited(0.09018, _EMERSON, "equation for pKa")
    slope = cited(2729.92, _EMERSON, "equation for pKa; 2727.92 is a misprint")
    return constant + slope / kelvin(temperature_c)


def unionised_fraction_emerson75(
    temperature_c: Values, ph: Values, salinity_g_kg: Values = 0.0
) -> Ranged:
    """Un-ionised share of total ammonia in fresh water, Emerson et al. 1975.

    Args:
        temperature_c: water temperature [deg C].
        ph: pH on the activity (NBS) scale.
        salinity_g_kg: salinity [g/kg]; only checked, the equation does not use it.

    Returns:
        Share as NH3 of total ammonia [0 to 1]; holds for nitrogen and for ammonia alike.

    Equation:
        f = 1 / (1 + 10^(pKa - pH)), pKa = 0.09018 + 2729.92 / T, T in kelvin.

    Where it holds:
        0 to 50 C, fresh water (taken as below 0.5 g/kg), zero ionic strength; fitted to the
        thermodynamic measurements of Bates & Pinching. Outside: a warning, still a value. In salt
        water it overstates the toxic share.

    Source:
        Emerson, Russo, Lund & Thurston 1975, J Fish Res Board Can 32:2379-2383,
        doi 10.1139/f75-274, equation for pKa.

    Known misprints:
        2727.92 in place of 2729.92 circulates (1.5 % too much NH3). A leaflet table after this
        paper (UF/IFAS FA16) has a 32 C column 2 to 4 % too high.
    """
    return EMERSON75.result(
        _share(pka_emerson75(temperature_c), ph),
        temperature_c=temperature_c,
        ph=ph,
        salinity_g_kg=salinity_g_kg,
    )


def unionised_fraction_trussell72(
    temperature_c: Values, ph: Values, salinity_g_kg: Values = 0.0
) -> Ranged:
    """Un-ionised share of total ammonia in fresh water after the table of Trussell 1972.

    Args:
        temperature_c: water temperature [deg C].
        ph: pH on the activity (NBS) scale.
        salinity_g_kg: salinity [g/kg]; only checked.

    Returns:
        Share as NH3 of total ammonia [0 to 1].

    Equation:
        f = 1 / (1 + 10^(pKa - pH)) with pKa linear between the tabulated temperatures.

    Where it holds:
        10 to 25 C, pH 7.0 to 8.5 (the part of the table that was read). Outside: a warning; pKa
        is held at the nearest tabulated temperature.

    Source:
        Trussell 1972, J Fish Res Board Can 29:1505-1507, table, read in a reprint; the pKa are
        recovered from its percentages at pH 8.0.
    """
    place = "recovered from the row for pH 8.0"
    pka_at_c = {
        cited(10, _TRUSSELL, "table"): cited(9.73, _TRUSSELL, place),
        cited(15, _TRUSSELL, "table"): cited(9.56, _TRUSSELL, place),
        cited(20, _TRUSSELL, "table"): cited(9.40, _TRUSSELL, place),
        cited(25, _TRUSSELL, "table"): cited(9.25, _TRUSSELL, place),
    }
    pka = np.interp(array(temperature_c), list(pka_at_c), list(pka_at_c.values()))
    return TRUSSELL72.result(
        _share(array(pka), ph), temperature_c=temperature_c, ph=ph, salinity_g_kg=salinity_g_kg
    )
