"""Air pressure by altitude."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.water.ranged import Method, Range, Ranged, Values, array

_ISO = "iso_2533_1975"

STANDARD_ATMOSPHERE = Method(
    name="pressure_standard_atmosphere",
    gives="air pressure, atm",
    equation="P = (1 - 2.25577e-5 h)^5.25588",
    source=_ISO,
    ranges=(
        Range(
            "altitude_m",
            cited(-500, _ISO, "lower layer"),
            cited(11000, _ISO, "lower layer"),
            "altitude [m]",
        ),
    ),
    note="Average weather; a low moves pressure, and with it oxygen, by up to 3 %.",
)


def pressure_standard_atmosphere(altitude_m: Values) -> Ranged:
    """Air pressure of the standard atmosphere.

    Args:
        altitude_m: height above the sea [m].

    Returns:
        Pressure [atm].

    Equation:
        P = (1 - 2.25577e-5 h)^5.25588

    Where it holds:
        the lowest layer of the standard atmosphere, up to 11,000 m. Outside: a warning.

    Source:
        ISO 2533:1975 Standard Atmosphere (coefficients from memory).
    """
    lapse = cited(2.25577e-5, _ISO, "lower layer")
    power = cited(5.25588, _ISO, "lower layer")
    share = np.maximum(1 - lapse * array(altitude_m), 0)
    return STANDARD_ATMOSPHERE.result(share**power, altitude_m=altitude_m)
