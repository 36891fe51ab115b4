"""The toxic, un-ionised share of total ammonia in brackish and sea water."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.water.ph_scale import PhScale, acid_on_scale, per_kg_water_to_seawater
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

_CLEGG = "clegg_whitfield_1995"
_PLACE = "equation 18"
_LOWEST_NBS_G_KG = cited(20, "takahashi_1982", "sea water")

_COLDEST_C = cited(-2, _CLEGG, "range, deg C")
_WARMEST_C = cited(40, _CLEGG, "range, deg C")
_SALTIEST_G_KG = cited(40, _CLEGG, "range of salinity")


def _method(scale: PhScale) -> Method:
    lowest = _LOWEST_NBS_G_KG if scale is PhScale.NBS else 0
    return Method(
        name="unionised_fraction_clegg_whitfield95",
        gives="share of total ammonia that is un-ionised (NH3), 0 to 1",
        equation="f = 1 / (1 + 10^(pK - pH)), pK(T, S) of equation 18, brought to the pH scale",
        source=_CLEGG,
        ranges=(
            temperature_range(_COLDEST_C, _WARMEST_C),
            salinity_range(lowest, _SALTIEST_G_KG),
            ph_range(cited(5, _CLEGG, "ordinary waters"), cited(10, _CLEGG, "ordinary waters")),
        ),
        note=f"pH taken on the {scale} scale. The same reading on another scale moves the toxic "
        "share by up to a fifth; the free scale is the cautious reading of a meter set on "
        "ordinary buffers. For sea salt; a bath of common salt in fresh water is not sea water.",
    )


METHODS = {scale: _method(scale) for scale in PhScale}


def pk_ammonium_clegg_whitfield95(temperature_c: Values, salinity_g_kg: Values) -> Floats:
    """Stoichiometric pK of ammonium in sea water [total scale, mol/kg of sea water].

    Args:
        temperature_c: water temperature [deg C].
        salinity_g_kg: salinity [g/kg].

    Equation:
        pK = 9.244605 - 2729.33 (1/298.15 - 1/T) + (0.04203362 - 11.24742/T) S^0.25
        + (-13.6416 + 1.176949 T^0.5 - 0.02860785 T + 545.4834/T) S^0.5
        + (-0.1462507 + 0.0090226468 T^0.5 - 0.0001471361 T + 10.5425/T) S^1.5
        + (0.004669309 - 0.0001691742 T^0.5 - 0.5677934/T) S^2
        + (-2.354039e-5 + 0.009698623/T) S^2.5  [mol/kg of water], then -log10(1 - 0.001005 S)

    Where it holds:
        -2 to 40 C, S 0 to 40; from a Pitzer model of artificial sea water.

    Source:
        Clegg & Whitfield 1995, Geochim Cosmochim Acta 59:2403-2421,
        doi 10.1016/0016-7037(95)00135-2, equation 18.
    """
    t = kelvin(temperature_c)
    root_t = np.sqrt(t)
    salt = array(salinity_g_kg)
    root = np.sqrt(salt)
    fourth = np.sqrt(root)
    at_25 = cited(298.15, _CLEGG, _PLACE)
    fresh = cited(9.244605, _CLEGG, _PLACE) - cited(2729.33, _CLEGG, _PLACE) * (1 / at_25 - 1 / t)
    low = (cited(0.04203362, _CLEGG, _PLACE) - cited(11.24742, _CLEGG, _PLACE) / t) * fourth
    middle = (
        cited(-13.6416, _CLEGG, _PLACE)
        + cited(1.176949, _CLEGG, _PLACE) * root_t
        - cited(0.02860785, _CLEGG, _PLACE) * t
        + cited(545.4834, _CLEGG, _PLACE) / t
    )
    high = (
        cited(-0.1462507, _CLEGG, _PLACE)
        + cited(0.0090226468, _CLEGG, _PLACE) * root_t
        - cited(0.0001471361, _CLEGG, _PLACE) * t
        + cited(10.5425, _CLEGG, _PLACE) / t
    )
    square = (
        cited(0.004669309, _CLEGG, _PLACE)
        - cited(0.0001691742, _CLEGG, _PLACE) * root_t
        - cited(0.5677934, _CLEGG, _PLACE) / t
    )
    last = cited(-2.354039e-5, _CLEGG, _PLACE) + cited(0.009698623, _CLEGG, _PLACE) / t
    per_kg_water = (
        fresh + low + root * (middle + high * salt) + square * salt**2 + last * salt**2 * root
    )
    pk: Floats = per_kg_water - np.log10(per_kg_water_to_seawater(salinity_g_kg))
    return pk


def unionised_fraction_clegg_whitfield95(
    temperature_c: Values, ph: Values, salinity_g_kg: Values, *, scale: PhScale
) -> Ranged:
    """Un-ionised share of total ammonia in brackish and sea water, Clegg & Whitfield 1995.

    Args:
        temperature_c: water temperature [deg C].
        ph: pH on ``scale``.
        salinity_g_kg: salinity [g/kg]; practical salinity is the same within 0.5 %.
        scale: how the pH was measured; there is no default, because it moves the answer by up
            to a fifth.

    Returns:
        Share as NH3 of total ammonia [0 to 1].

    Equation:
        f = 1 / (1 + 10^(pK - pH)), pK of :func:`pk_ammonium_clegg_whitfield95` on the scale.

    Where it holds:
        -2 to 40 C, S 0 to 40 of sea salt (20 to 40 on the NBS scale, whose conversion was made
        for sea water). Outside: a warning, still a value.

    Source:
        Clegg & Whitfield 1995, doi 10.1016/0016-7037(95)00135-2, equation 18; scales by
        Dickson 1990, Dickson & Riley 1979 and Takahashi et al. 1982.
    """
    shift = np.log10(
        acid_on_scale(PhScale.TOTAL, temperature_c, salinity_g_kg)
        / acid_on_scale(scale, temperature_c, salinity_g_kg)
    )
    pk = pk_ammonium_clegg_whitfield95(temperature_c, salinity_g_kg) + shift
    return METHODS[scale].result(
        1 / (1 + np.power(10.0, pk - array(ph))),
        temperature_c=temperature_c,
        ph=ph,
        salinity_g_kg=salinity_g_kg,
    )
