"""Nitrite against chloride: how much salt a chosen chloride ratio needs."""

from __future__ import annotations

import numpy as np

from tankside.water.physical import CHLORIDE_PER_SALT, NITRITE_PER_N
from tankside.water.ranged import Floats, Method, Ranged, Values, array

CHLORIDE_RATIO = Method(
    name="salt_for_nitrite",
    gives="common salt to add, mg/L",
    equation="salt = max(0, r NO2 - Cl) / 0.6066, NO2 = 3.284 x nitrite as N",
    source="srac_462",
    note="The ratio r is by mass of the nitrite ion, not of its nitrogen. Sources print 5, 6, 10 "
    "and, for sick fish, 20. Chloride does not protect every species (none seen in largemouth "
    "bass); it does not take the nitrite out.",
)


def nitrite_ion_mg_l(nitrite_mg_l_n: Values) -> Floats:
    """Return nitrite as the ion NO2 [mg/L] from nitrite as nitrogen [mg/L]."""
    return array(nitrite_mg_l_n) * NITRITE_PER_N


def nitrite_nitrogen_mg_l(nitrite_mg_l_ion: Values) -> Floats:
    """Return nitrite as nitrogen [mg/L] from nitrite as the ion NO2 [mg/L]."""
    return array(nitrite_mg_l_ion) / NITRITE_PER_N


def salt_for_nitrite(
    nitrite_mg_l_n: Values, chloride_mg_l: Values, chloride_to_nitrite: Values
) -> Ranged:
    """Common salt that brings chloride to a chosen ratio to the nitrite ion.

    Args:
        nitrite_mg_l_n: nitrite as nitrogen [mg/L].
        chloride_mg_l: chloride already there [mg/L].
        chloride_to_nitrite: chosen ratio by mass, chloride to the ion NO2; a claim
            (``water.nitrite.chloride_ratio``), never a constant here.

    Returns:
        Sodium chloride to add [mg per L of water], 0 when there is enough chloride.

    Equation:
        salt = max(0, r NO2 - Cl) / 0.6066, NO2 = 3.284 N

    Where it holds:
        fresh water; species that take nitrite up through the gill (not bluegill, eel,
        killifish). No measured upper edge.

    Source:
        SRAC Publication 462 (10 to 1 for catfish), read second-hand; the rest is arithmetic.
    """
    wanted = array(chloride_to_nitrite) * nitrite_ion_mg_l(nitrite_mg_l_n)
    missing = np.maximum(wanted - array(chloride_mg_l), 0)
    return CHLORIDE_RATIO.result(missing / CHLORIDE_PER_SALT)
