"""Ammonia made from food, and what its oxidation takes from the water."""

from __future__ import annotations

from tankside.claims import cited
from tankside.quantity.per import PER_THOUSAND
from tankside.water.ranged import Floats, Method, Range, Ranged, Values, array

_TIMMONS = "timmons_ebeling"
_EBELING = "ebeling_2006"

TAN_TIMMONS = Method(
    "ammonia_produced_timmons",
    "total ammonia as nitrogen made from food, g",
    "P = 0.092 F p",
    _TIMMONS,
    (
        Range(
            "protein_share",
            cited(0.2, _TIMMONS, "ordinary feeds"),
            cited(0.6, _TIMMONS, "ordinary feeds"),
            "protein share of the food",
        ),
    ),
    "0.092 = 0.16 N in protein x 0.80 digested x 0.80 excreted x 0.90 as ammonia. A rival 0.128 "
    "counts all nitrogen fed and runs 39 % higher.",
)
TAN_ALL_FED = Method(
    "ammonia_produced_all_fed",
    "total ammonia as nitrogen made from food, g",
    "P = 0.16 x 0.80 F p",
    _TIMMONS,
    TAN_TIMMONS.ranges,
    "Rival, cautious: nothing kept in growth, no faeces.",
)


def ammonia_produced_timmons(food_g: Values, protein_share: Values) -> Ranged:
    """Total ammonia made from food.

    Args:
        food_g: food eaten [g].
        protein_share: protein share of the food [0 to 1].

    Returns:
        Total ammonia as nitrogen [g].

    Equation:
        P = 0.092 F p (0.16 x 0.80 x 0.80 x 0.90)

    Where it holds:
        growing fish on formulated food. Fasting fish still make some. Outside the protein range:
        a warning.

    Source:
        Timmons & Ebeling, Recirculating Aquaculture (coefficient from memory, seen quoted).
    """
    share = cited(0.092, _TIMMONS, "ammonia from feed")
    return TAN_TIMMONS.result(
        array(food_g) * array(protein_share) * share, protein_share=protein_share
    )


def ammonia_produced_all_fed(food_g: Values, protein_share: Values) -> Ranged:
    """Total ammonia as nitrogen [g] if no nitrogen is kept or egested: the cautious rival.

    Equation:
        P = 0.16 x 0.80 F p
    """
    share = cited(0.16, _TIMMONS, "N in protein") * cited(0.80, _TIMMONS, "variant")
    return TAN_ALL_FED.result(
        array(food_g) * array(protein_share) * share, protein_share=protein_share
    )


def nitrification_oxygen_g(ammonia_g_n: Values) -> Floats:
    """Return oxygen taken to oxidise ammonia to nitrate [g], 4.57 g per g N, no cell growth.

    Source:
        Ebeling, Timmons & Bisogni 2006, Aquaculture 257:346-358 (from memory).
    """
    return array(ammonia_g_n) * cited(4.57, _EBELING, "stoichiometry")


def nitrification_alkalinity_g(ammonia_g_n: Values) -> Floats:
    """Return alkalinity taken to oxidise ammonia [g as CaCO3], 7.05 g per g N with cell growth.

    Source:
        Ebeling, Timmons & Bisogni 2006, Aquaculture 257:346-358 (from memory).
    """
    return array(ammonia_g_n) * cited(7.05, _EBELING, "stoichiometry")


def strength_rise_mg_l(amount_g: Values, volume_l: Values) -> Floats:
    """Return the rise [mg/L] that an amount [g] makes in a volume [L]."""
    return array(amount_g) * PER_THOUSAND / array(volume_l)
