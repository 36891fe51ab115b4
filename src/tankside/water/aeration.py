"""Oxygen between air and water: transfer of surface and air stones, balance, fall in the night."""

from __future__ import annotations

import numpy as np

from tankside.claims import cited
from tankside.quantity.per import HOURS_PER_DAY, MINUTES_PER_HOUR, PER_THOUSAND
from tankside.water.ranged import Floats, Method, Range, Ranged, Values, array, temperature_range

_ASCE = "asce_2_91"
_AIR = "crc_handbook"
_BALANCE = "mixed_tank_balance"

AOTR = Method(
    "oxygen_transfer_field_g_h",
    "oxygen transferred in the tank, g/h",
    "AOTR = SOTR alpha (beta Cs - C) / 9.092 x 1.024^(T - 20)",
    _ASCE,
    (temperature_range(cited(5, _ASCE, "test range"), cited(35, _ASCE, "test range")),),
    "alpha and beta in print are those of sewage; a tank is nearer 0.9 and 0.98 (assumed).",
)
STEADY = Method(
    "oxygen_steady_mg_l",
    "oxygen at which supply and use balance, mg/L",
    "C = Cs - R / KLa",
    _BALANCE,
    (),
    "Below 0 means that the air does not suffice.",
)
NIGHT = Method(
    "oxygen_after_mg_l",
    "oxygen after some hours, mg/L",
    "C(t) = Ce + (C0 - Ce) exp(-KLa t), Ce = Cs - R / KLa",
    _BALANCE,
    (),
    "Use held constant; fish in low oxygen use less, so the last hours are a cautious estimate.",
)
AIR_STONE = Method(
    "air_stone_sotr_g_h",
    "oxygen an air stone can transfer at 20 C into water without oxygen, g/h",
    "SOTR = air x 1.204 x 0.2314 x 60 x SOTE per m x depth",
    _ASCE,
    (Range("depth_m", cited(0.1, _ASCE, "shallow"), cited(6, _ASCE, "test tanks"), "depth [m]"),),
    "The share per metre of depth is an estimate for tanks: near 0.08 for the finest bubbles, "
    "less for coarse ones.",
)

_THETA = cited(1.024, _ASCE, "temperature correction")
_TWENTY_C = cited(20, _ASCE, "standard temperature, deg C")


def transfer_at_temperature(transfer_at_20: Values, temperature_c: Values) -> Floats:
    """Return a transfer rate at another temperature, theta 1.024 to the power (T - 20)."""
    return array(transfer_at_20) * _THETA ** (array(temperature_c) - _TWENTY_C)


def oxygen_transfer_field_g_h(
    standard_g_h: Values,
    temperature_c: Values,
    saturation_mg_l: Values,
    oxygen_mg_l: Values,
    alpha: Values,
    beta: Values,
) -> Ranged:
    """Oxygen an aerator transfers in the water as it is.

    Args:
        standard_g_h: SOTR, at 20 C in clean water without oxygen [g/h].
        temperature_c: water temperature [deg C].
        saturation_mg_l: saturation of clean water at this temperature and pressure [mg/L].
        oxygen_mg_l: oxygen in the water [mg/L].
        alpha: transfer of this water over clean water; a claim.
        beta: saturation of this water over clean water; a claim.

    Returns:
        Transfer [g/h].

    Equation:
        AOTR = SOTR alpha (beta Cs - C) / 9.092 x 1.024^(T - 20)

    Source:
        ASCE 2-91, Measurement of oxygen transfer in clean water (form seen quoted).
    """
    drive = array(beta) * array(saturation_mg_l) - array(oxygen_mg_l)
    at_20 = cited(9.092, "benson_krause_1984", "saturation at 20 C, 1 atm, mg/L")
    transfer = transfer_at_temperature(array(standard_g_h) * array(alpha), temperature_c)
    return AOTR.result(transfer * drive / at_20, temperature_c=temperature_c)


def surface_kla_per_h(velocity_m_d: Values, area_m2: Values, volume_l: Values) -> Floats:
    """Return KLa [1/h] of an open surface from its velocity [m/d], area [m2] and volume [L]."""
    per_h = array(velocity_m_d) / HOURS_PER_DAY
    return per_h * array(area_m2) * PER_THOUSAND / array(volume_l)


def air_stone_sotr_g_h(air_l_min: Values, depth_m: Values, share_per_m: Values) -> Ranged:
    """Oxygen an air stone can transfer under standard conditions.

    Args:
        air_l_min: air at 20 C [L/min].
        depth_m: depth of the stone [m].
        share_per_m: share of the oxygen transferred per metre of depth; a claim
            (``water.aeration.share_per_m``), an estimate for tanks.

    Returns:
        SOTR [g/h].

    Equation:
        SOTR = air x 1.204 g/L x 0.2314 x 60 x share x depth
    """
    oxygen_g_l = cited(1.204, _AIR, "density of air at 20 C, g/L") * cited(
        0.2314, _AIR, "mass share of oxygen in air"
    )
    return AIR_STONE.result(
        array(air_l_min) * oxygen_g_l * MINUTES_PER_HOUR * array(share_per_m) * array(depth_m),
        depth_m=depth_m,
    )


def kla_of_aerator_per_h(standard_g_h: Values, temperature_c: Values, volume_l: Values) -> Floats:
    """Return KLa [1/h] that an aerator of known SOTR [g/h] gives a volume [L]."""
    at_20 = cited(9.092, "benson_krause_1984", "saturation at 20 C, 1 atm, mg/L")
    return (
        transfer_at_temperature(standard_g_h, temperature_c)
        * PER_THOUSAND
        / (at_20 * array(volume_l))
    )


def oxygen_steady_mg_l(saturation_mg_l: Values, use_mg_l_h: Values, kla_per_h: Values) -> Ranged:
    """Oxygen at which supply and use balance, C = Cs - R / KLa.

    Args:
        saturation_mg_l: saturation [mg/L].
        use_mg_l_h: oxygen used by everything in the water [mg/L/h].
        kla_per_h: transfer [1/h], above 0.

    Returns:
        Oxygen [mg/L]; negative when the air does not suffice.
    """
    return STEADY.result(array(saturation_mg_l) - array(use_mg_l_h) / array(kla_per_h))


def kla_from_reading_per_h(
    saturation_mg_l: Values, oxygen_mg_l: Values, use_mg_l_h: Values
) -> Floats:
    """Return the transfer KLa [1/h] that a steady oxygen reading implies, R / (Cs - C).

    Infinite when the reading is at or above saturation (plants, or use overestimated).
    """
    gap = array(saturation_mg_l) - array(oxygen_mg_l)
    kla: Floats = np.where(gap > 0, array(use_mg_l_h) / np.where(gap > 0, gap, 1), np.inf)
    return kla


def oxygen_after_mg_l(
    start_mg_l: Values,
    hours: Values,
    saturation_mg_l: Values,
    use_mg_l_h: Values,
    kla_per_h: Values,
) -> Ranged:
    """Oxygen after some hours of constant use and transfer, never below 0.

    Args:
        start_mg_l: oxygen at the start [mg/L].
        hours: time [h].
        saturation_mg_l: saturation [mg/L].
        use_mg_l_h: oxygen used [mg/L/h].
        kla_per_h: transfer [1/h]; 0 when the air is off and the surface still.

    Returns:
        Oxygen [mg/L].

    Equation:
        C(t) = Ce + (C0 - Ce) exp(-KLa t), Ce = Cs - R / KLa; C0 - R t when KLa is 0.
    """
    start, use = array(start_mg_l), array(use_mg_l_h)
    kla, t = array(kla_per_h), array(hours)
    moving = kla > 0
    safe = np.where(moving, kla, 1)
    eased = np.where(moving, -np.expm1(-kla * t) / safe, t)
    gain = np.where(moving, kla * (array(saturation_mg_l) - start), 0) - use
    return NIGHT.result(np.maximum(start + gain * eased, 0))
