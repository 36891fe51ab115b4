"""Ambient criteria for ammonia in fresh water of the US EPA, 2013: a cautious reference."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.water.ranged import (
    Floats,
    Method,
    Ranged,
    Values,
    array,
    ph_range,
    temperature_range,
)

_EPA = "epa_2013_ammonia"
_RANGES = (
    temperature_range(0, cited(30, _EPA, "tables")),
    ph_range(cited(6.5, _EPA, "tables"), cited(9, _EPA, "tables")),
)
_NOTE = (
    "Total ammonia as nitrogen. Set by fresh-water mussels, so for a fish tank a cautious "
    "reference and no threshold of harm to fish."
)

ACUTE = Method(
    "ammonia_acute_epa13",
    "total ammonia as nitrogen not to be passed for an hour, mg/L",
    "CMC = min(0.275/(1+10^(7.204-pH)) + 39.0/(1+10^(pH-7.204)), "
    "0.7249 [0.0114/(1+10^(7.204-pH)) + 1.6181/(1+10^(pH-7.204))] 23.12 10^(0.036(20-T)))",
    _EPA,
    _RANGES,
    _NOTE,
)
CHRONIC = Method(
    "ammonia_chronic_epa13",
    "total ammonia as nitrogen, 30-day average, mg/L",
    "CCC = 0.8876 [0.0278/(1+10^(7.688-pH)) + 1.1994/(1+10^(pH-7.688))] "
    "2.126 10^(0.028(20-max(T,7)))",
    _EPA,
    _RANGES,
    _NOTE,
)


def _by_ph(ph: Values, at_high: float, at_low: float, pivot: float) -> Floats:
    lift = np.power(10.0, pivot - array(ph))
    return at_high / (1 + lift) + at_low / (1 + 1 / lift)


def ammonia_acute_epa13(temperature_c: Values, ph: Values, *, salmonids: bool) -> Ranged:
    """Acute criterion for total ammonia in fresh water (one hour), EPA 2013.

    Args:
        temperature_c: water temperature [deg C].
        ph: pH.
        salmonids: whether salmonids live in it.

    Returns:
        Total ammonia as nitrogen [mg/L].

    Equation:
        salmonids: min{0.275/(1+10^(7.204-pH)) + 39.0/(1+10^(pH-7.204)), A 23.12 10^(0.036(20-T))};
        none: A min(51.93, 23.12 10^(0.036(20-T)));
        A = 0.7249 [0.0114/(1+10^(7.204-pH)) + 1.6181/(1+10^(pH-7.204))]

    Where it holds:
        0 to 30 C, pH 6.5 to 9.0. Outside: a warning.

    Source:
        EPA-822-R-13-001, 2013, p. 41 (constants seen in public regulatory code; 51.93 from
        memory).
    """
    place = "acute criterion"
    pivot = cited(7.204, _EPA, place)
    shape = cited(0.7249, _EPA, place) * _by_ph(
        ph, cited(0.0114, _EPA, place), cited(1.6181, _EPA, place), pivot
    )
    warm = cited(23.12, _EPA, place) * np.power(
        10.0, cited(0.036, _EPA, place) * (cited(20, _EPA, place) - array(temperature_c))
    )
    if salmonids:
        fish = _by_ph(ph, cited(0.275, _EPA, place), cited(39.0, _EPA, place), pivot)
        criterion = np.minimum(fish, shape * warm)
    else:
        criterion = shape * np.minimum(cited(51.93, _EPA, "cap, from memory"), warm)
    return ACUTE.result(criterion, temperature_c=temperature_c, ph=ph)


def ammonia_chronic_epa13(temperature_c: Values, ph: Values) -> Ranged:
    """Chronic criterion for total ammonia in fresh water (30-day mean), EPA 2013.

    Args:
        temperature_c: water temperature [deg C].
        ph: pH.

    Returns:
        Total ammonia as nitrogen [mg/L].

    Equation:
        CCC = 0.8876 [0.0278/(1+10^(7.688-pH)) + 1.1994/(1+10^(pH-7.688))]
        2.126 10^(0.028 (20 - max(T, 7)))

    Where it holds:
        0 to 30 C, pH 6.5 to 9.0. Outside: a warning.

    Source:
        EPA-822-R-13-001, 2013, p. 46 (constants seen in public regulatory code).
    """
    place = "chronic criterion"
    shape = cited(0.8876, _EPA, place) * _by_ph(
        ph, cited(0.0278, _EPA, place), cited(1.1994, _EPA, place), cited(7.688, _EPA, place)
    )
    warmth = np.maximum(array(temperature_c), cited(7, _EPA, place))
    slope = cited(0.028, _EPA, place) * (cited(20, _EPA, place) - warmth)
    warm = cited(2.126, _EPA, place) * np.power(10.0, slope)
    return CHRONIC.result(shape * warm, temperature_c=temperature_c, ph=ph)


def four_day_limit_epa13(temperature_c: Values, ph: Values) -> Ranged:
    """Highest 4-day mean of total ammonia as nitrogen [mg/L], 2.5 times the chronic criterion."""
    chronic = ammonia_chronic_epa13(temperature_c, ph)
    return Ranged(cited(2.5, _EPA, "chronic criterion") * chronic.values, chronic.warnings)
