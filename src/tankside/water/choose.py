"""Which methods there are for a quantity, which is used for this water, and why.

Rivals stand side by side; the default is named with its reason; none is averaged in.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tankside.water.ammonia_fresh import (
    EMERSON75,
    FRESH_G_KG,
    TRUSSELL72,
    unionised_fraction_emerson75,
    unionised_fraction_trussell72,
)
from tankside.water.ammonia_saline import METHODS as CLEGG_WHITFIELD95
from tankside.water.ammonia_saline import unionised_fraction_clegg_whitfield95
from tankside.water.carbonate import CO2_ACTIVITY, CO2_IDEAL, co2_activity_mg_l, co2_ideal_mg_l
from tankside.water.nitrogen import (
    TAN_ALL_FED,
    TAN_TIMMONS,
    ammonia_produced_all_fed,
    ammonia_produced_timmons,
)
from tankside.water.oxygen_solubility import (
    BENSON_KRAUSE84,
    WEISS70,
    oxygen_saturation_benson_krause84,
    oxygen_saturation_weiss70,
)
from tankside.water.ph_scale import PhScale
from tankside.water.ranged import Method, Ranged


class Salt(StrEnum):
    """What the salt in the water is: none to speak of, common salt, or sea salt."""

    NONE = "none"
    COMMON = "common"
    SEA = "sea"


@dataclass(frozen=True, slots=True)
class MethodAnswer:
    """What one method says for one water."""

    method: Method
    result: Ranged

    @property
    def in_range(self) -> bool:
        """Whether the water lies where the method was measured."""
        return not self.result.warnings


@dataclass(frozen=True, slots=True)
class Choice:
    """The answer that is used, why, and what the rivals say."""

    used: MethodAnswer
    why: str
    rivals: tuple[MethodAnswer, ...]


def _choose(first: MethodAnswer, why: str, *others: MethodAnswer) -> Choice:
    return Choice(first, why, others)


def unionised_ammonia(
    temperature_c: float,
    ph: float,
    salinity_g_kg: float,
    salt: Salt,
    scale: PhScale = PhScale.FREE,
) -> Choice:
    """Choose how to reckon the toxic share of total ammonia.

    Args:
        temperature_c: water temperature [deg C].
        ph: pH as read.
        salinity_g_kg: salinity [g/kg].
        salt: what the salt is; it decides the formula.
        scale: pH scale in sea salt; ``FREE`` when the keeper does not know (a meter set on
            ordinary buffers then errs about 8 % to the safe side).

    Returns:
        The share [0 to 1] by the default, and by its rivals.
    """
    emerson = MethodAnswer(
        EMERSON75, unionised_fraction_emerson75(temperature_c, ph, salinity_g_kg)
    )
    saline = MethodAnswer(
        CLEGG_WHITFIELD95[scale],
        unionised_fraction_clegg_whitfield95(temperature_c, ph, salinity_g_kg, scale=scale),
    )
    if salt is Salt.SEA and salinity_g_kg >= FRESH_G_KG:
        why = f"sea salt from {FRESH_G_KG:g} g/kg up; pH taken on the {scale} scale"
        return _choose(saline, why, emerson)
    trussell = MethodAnswer(
        TRUSSELL72, unionised_fraction_trussell72(temperature_c, ph, salinity_g_kg)
    )
    why = "fresh water: the equation behind the printed tables, widest range"
    if salt is Salt.COMMON and salinity_g_kg >= FRESH_G_KG:
        why = (
            "common salt in fresh water: no formula was made for it; the fresh-water one "
            "overstates the toxic share (by about a quarter at 3 g/L), which is the safe side"
        )
    return _choose(emerson, why, trussell)


def oxygen_saturation(temperature_c: float, salinity_g_kg: float, pressure_atm: float) -> Choice:
    """Choose how to reckon oxygen in balance with air [mg/L]; Weiss holds at 1 atm only."""
    benson = oxygen_saturation_benson_krause84(temperature_c, salinity_g_kg, pressure_atm)
    weiss = oxygen_saturation_weiss70(temperature_c, salinity_g_kg)
    return _choose(
        MethodAnswer(BENSON_KRAUSE84, benson),
        "the modern measurements, with a pressure term",
        MethodAnswer(WEISS70, weiss),
    )


def free_carbon_dioxide(temperature_c: float, ph: float, alkalinity_mg_l_caco3: float) -> Choice:
    """Choose how to reckon free CO2 [mg/L] from pH and alkalinity."""
    reading = (temperature_c, ph, alkalinity_mg_l_caco3)
    return _choose(
        MethodAnswer(CO2_IDEAL, co2_ideal_mg_l(*reading)),
        "the number of the printed factor tables, about 5 % on the safe side",
        MethodAnswer(CO2_ACTIVITY, co2_activity_mg_l(*reading)),
    )


def ammonia_from_food(food_g: float, protein_share: float) -> Choice:
    """Choose how to reckon total ammonia as nitrogen made from food [g]."""
    return _choose(
        MethodAnswer(TAN_TIMMONS, ammonia_produced_timmons(food_g, protein_share)),
        "allows for growth and faeces",
        MethodAnswer(TAN_ALL_FED, ammonia_produced_all_fed(food_g, protein_share)),
    )
