"""Heating and cooling of a tank: power for a ramp, loss to the room, time constant, evaporation."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.quantity.per import PER_THOUSAND, PERCENT, SECONDS_PER_HOUR
from tankside.water.ranged import Floats, Method, Ranged, Values, array, temperature_range

_CRC = "crc_handbook"
_ASHRAE = "ashrae_hvac_applications"
_MAGNUS = "alduchov_eskridge_1996"
_HEAT = "mixed_tank_balance"

DENSITY_KG_L = cited(0.997, _CRC, "density of water at 25 C")
HEAT_J_KG_K = cited(4181, _CRC, "specific heat of water near 25 C")

RAMP = Method(
    "ramp_power_w",
    "heater power for a ramp without losses, W",
    "P = V 0.997 4181 r / 3600",
    _HEAT,
    (),
    "Losses come on top. Density and specific heat of 25 C: within 1 % from 0 to 40 C.",
)
LOSS = Method(
    "heat_loss_w",
    "heat lost through the walls, W",
    "P = U A (T_water - T_room)",
    _HEAT,
    (),
    "U of a glass tank is not well known: 5 to 9 W/m2K; best measured from a cooling curve.",
)
TIME_CONSTANT = Method(
    "cooling_time_constant_h",
    "time in which a difference to the room falls to 37 %, h",
    "tau = m cp / (U A)",
    _HEAT,
    (),
    "U as for the heat loss.",
)
EVAPORATION = Method(
    "evaporation_loss_w",
    "heat lost by evaporation of an open surface, W",
    "P = 4e-5 A (p_w - p_a) F L",
    _ASHRAE,
    (temperature_range(cited(10, _ASHRAE, "pools"), cited(40, _ASHRAE, "pools")),),
    "Made for quiet swimming pools (F = 0.5); coefficients from memory.",
)


def ramp_power_w(volume_l: Values, rate_c_per_h: Values) -> Ranged:
    """Heater power that warms water at a rate, losses left out.

    Args:
        volume_l: water [L].
        rate_c_per_h: rise [C/h].

    Returns:
        Power [W].

    Equation:
        P = V 0.997 4181 r / 3600; density and specific heat at 25 C, within 1 % from 0 to 40 C.
    """
    watts = array(volume_l) * DENSITY_KG_L * HEAT_J_KG_K * array(rate_c_per_h)
    return RAMP.result(watts / SECONDS_PER_HOUR)


def heat_loss_w(
    conductance_w_m2_k: Values, area_m2: Values, water_c: Values, room_c: Values
) -> Ranged:
    """Heat lost through walls of known conductance, U A (T_water - T_room).

    Args:
        conductance_w_m2_k: U [W/m2K]; a claim (``water.heat.wall_conductance``) or measured.
        area_m2: area of all faces that lose heat [m2].
        water_c: water temperature [deg C].
        room_c: room temperature [deg C].

    Returns:
        Loss [W]; negative when the room warms the water.
    """
    return LOSS.result(
        array(conductance_w_m2_k) * array(area_m2) * (array(water_c) - array(room_c))
    )


def cooling_time_constant_h(
    volume_l: Values, conductance_w_m2_k: Values, area_m2: Values
) -> Ranged:
    """Time constant of a tank without heater, tau = m cp / (U A).

    Args:
        volume_l: water [L].
        conductance_w_m2_k: U [W/m2K].
        area_m2: area of all faces that lose heat [m2].

    Returns:
        Time [h].
    """
    heat = array(volume_l) * DENSITY_KG_L * HEAT_J_KG_K
    return TIME_CONSTANT.result(
        heat / (array(conductance_w_m2_k) * array(area_m2)) / SECONDS_PER_HOUR
    )


def temperature_after(
    start_c: Values, room_c: Values, hours: Values, time_constant_h: Values
) -> Floats:
    """Return the temperature [deg C] of unheated water after some hours in a room."""
    kept = np.exp(-array(hours) / array(time_constant_h))
    return array(room_c) + (array(start_c) - array(room_c)) * kept


def vapour_pressure_pa(temperature_c: Values) -> Floats:
    """Return the pressure of saturated water vapour [Pa], Magnus form.

    Equation:
        p = 610.94 exp(17.625 t / (t + 243.04)); -40 to 50 C.

    Source:
        Alduchov & Eskridge 1996, J Appl Meteorol 35:601-609 (coefficients from memory).
    """
    t = array(temperature_c)
    place = "equation 21"
    pressure: Floats = cited(610.94, _MAGNUS, place) * np.exp(
        cited(17.625, _MAGNUS, place) * t / (t + cited(243.04, _MAGNUS, place))
    )
    return pressure


def evaporation_loss_w(
    area_m2: Values,
    temperature_c: Values,
    room_c: Values,
    humidity_percent: Values,
    activity: Values,
) -> Ranged:
    """Heat lost by evaporation from an open surface, ASHRAE pool form.

    Args:
        area_m2: open surface [m2].
        temperature_c: water temperature [deg C].
        room_c: air temperature [deg C].
        humidity_percent: relative humidity [%].
        activity: 0.5 for a quiet pool, 1 for a busy one.

    Returns:
        Loss [W].

    Equation:
        P = 4e-5 A (p_w - p_a) F L, pressures in kPa, L = 2501 - 2.361 T kJ/kg

    Source:
        ASHRAE Handbook, HVAC Applications, natatoriums (from memory).
    """
    room_share = array(humidity_percent) / PERCENT
    gap_pa = vapour_pressure_pa(temperature_c) - room_share * vapour_pressure_pa(room_c)
    kg_per_s = (
        cited(4e-5, _ASHRAE, "evaporation rate, kg/s per m2 and kPa")
        * array(area_m2)
        * (gap_pa / PER_THOUSAND)
        * array(activity)
    )
    latent_j_kg = PER_THOUSAND * (
        cited(2501, _CRC, "latent heat of water, kJ/kg")
        - cited(2.361, _CRC, "latent heat of water, kJ/kg") * array(temperature_c)
    )
    return EVAPORATION.result(kg_per_s * latent_j_kg, temperature_c=temperature_c)
