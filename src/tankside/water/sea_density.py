"""Density of sea water, and what a hydrometer shows of it; terms are powers of the temperature."""

from __future__ import annotations

from tankside.claims import cited
from tankside.water.ranged import (
    Floats,
    Method,
    Ranged,
    Values,
    array,
    salinity_range,
    temperature_range,
)

_EOS = "millero_poisson_1981"


_RHO, _A, _B = "density of pure water, kg/m3", "factor of S", "factor of S to 1.5"
_WATER = (
    cited(999.842594, _EOS, _RHO),
    cited(6.793952e-2, _EOS, _RHO),
    cited(-9.095290e-3, _EOS, _RHO),
    cited(1.001685e-4, _EOS, _RHO),
    cited(-1.120083e-6, _EOS, _RHO),
    cited(6.536332e-9, _EOS, _RHO),
)
_SALT = (
    cited(8.24493e-1, _EOS, _A),
    cited(-4.0899e-3, _EOS, _A),
    cited(7.6438e-5, _EOS, _A),
    cited(-8.2467e-7, _EOS, _A),
    cited(5.3875e-9, _EOS, _A),
)
_SALT_ROOT = (
    cited(-5.72466e-3, _EOS, _B),
    cited(1.0227e-4, _EOS, _B),
    cited(-1.6546e-6, _EOS, _B),
)
_SALT_SQUARE = cited(4.8314e-4, _EOS, "factor of the square of S")
_MOST_SALT = cited(42, _EOS, "range of the equation")
_WARMEST_C = cited(40, _EOS, "range of the equation")

SEA_DENSITY = Method(
    "sea_water_density",
    "density of sea water, kg/m3",
    "rho = rho_w(T) + A(T) S + B(T) S^1.5 + C S^2, at one atmosphere",
    _EOS,
    (
        temperature_range(-2, _WARMEST_C),
        salinity_range(0, _MOST_SALT),
    ),
    "Sea water and its dilutions; water with common salt alone is a little different.",
)


def sea_water_density(temperature_c: Values, salinity_g_kg: Values) -> Ranged:
    """Density of sea water at one atmosphere.

    Args:
        temperature_c: temperature [C].
        salinity_g_kg: salinity [g/kg], about the practical salinity.

    Returns:
        Density [kg/m3].

    Equation:
        rho = rho_w(T) + A(T) S + B(T) S^1.5 + C S^2 (Millero & Poisson 1981).
    """
    salt = array(salinity_g_kg)
    density = (
        _power_sum(_WATER, temperature_c)
        + _power_sum(_SALT, temperature_c) * salt
        + _power_sum(_SALT_ROOT, temperature_c) * salt * salt ** (1 / 2)
        + _SALT_SQUARE * salt**2
    )
    return SEA_DENSITY.result(density, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)


def specific_gravity(temperature_c: float, salinity_g_kg: float) -> float:
    """Return the density of sea water over that of pure water, both at one temperature.

    Args:
        temperature_c: temperature of both [C].
        salinity_g_kg: salinity [g/kg], about the practical salinity.
    """
    pure = sea_water_density(temperature_c, 0.0).number
    return sea_water_density(temperature_c, salinity_g_kg).number / pure


def _power_sum(terms: tuple[float, ...], temperature_c: Values) -> Floats:
    total = array(0.0)
    for term in reversed(terms):
        total = total * array(temperature_c) + term
    return total
