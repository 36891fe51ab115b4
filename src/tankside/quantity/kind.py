"""Kinds of quantity: two numbers of different kinds are never added, compared or converted."""

from __future__ import annotations

from enum import StrEnum


class Kind(StrEnum):
    """What a number measures. A dissolved substance is a kind of its own, with its basis."""

    LENGTH = "length"
    VOLUME = "volume"
    MASS = "mass"
    DENSITY = "density"
    TEMPERATURE = "temperature"
    TIME = "time"
    FLOW = "flow"
    RATE = "rate"
    PH = "pH"
    MASS_CONCENTRATION = "mass per volume"
    VOLUME_CONCENTRATION = "volume per volume"
    STRENGTH_W_W = "strength by mass"
    STRENGTH_W_V = "strength, mass per volume"
    STRENGTH_V_V = "strength by volume"
    SALINITY = "salinity"
    PRACTICAL_SALINITY = "practical salinity"
    OXYGEN = "oxygen"
    OXYGEN_SATURATION = "oxygen saturation"
    AMMONIA = "total ammonia"
    NITRITE = "nitrite"
    NITRATE = "nitrate"
    ALKALINITY = "alkalinity"
    HARDNESS = "hardness"
    CHLORIDE = "chloride"
    CHLORINE = "chlorine"
    CARBON_DIOXIDE = "carbon dioxide"
    COPPER = "copper"
    CONDUCTIVITY = "conductivity"
    FEED_DOSE = "mass per weight of fish and day"
    FEED_CONTENT = "mass per weight of food"
    RATION = "ration"
    FOOD = "food of a day"


AMOUNT = (Kind.MASS, Kind.VOLUME)
"""Kinds that a scale or a syringe measures out."""

DOSE = (Kind.MASS_CONCENTRATION, Kind.VOLUME_CONCENTRATION)
"""Kinds in which a strength in the water is told."""

IN_FOOD = (Kind.FEED_DOSE, Kind.FEED_CONTENT)
"""Kinds in which a dose in food is told."""

STRENGTH = (Kind.STRENGTH_W_W, Kind.STRENGTH_W_V, Kind.STRENGTH_V_V)
"""Kinds in which a label tells how strong its contents are."""
