"""Weight of a fish from its length and body shape, with how far off that may be."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tankside.claims import cited
from tankside.water.ranged import Floats, Method, Range, Ranged, Values, array

_FROESE = "froese_2014"
_PLACE = "priors by body shape, in the authors' script"

FROESE14 = Method(
    "weight_froese14",
    "weight of one fish, g",
    "W = a L^b, log10 a and b by body shape",
    _FROESE,
    (Range("length_cm", 1, cited(150, _FROESE, "species covered"), "total length [cm]"),),
    "Total length. 95 % of fish of one shape lie within a factor of about 2.2. Fancy goldfish and "
    "long-finned strains do not fit: weigh them, or measure without the tail.",
)


class Shape(StrEnum):
    """Body shape, seen from the side."""

    EEL_LIKE = "eel_like"
    ELONGATED = "elongated"
    FUSIFORM = "fusiform"
    SHORT_DEEP = "short_deep"
    ANY = "any"


@dataclass(frozen=True, slots=True)
class Prior:
    """Mean and spread of log10 a and of b for one body shape (g, cm, total length)."""

    log10_a: float
    log10_a_sd: float
    b: float
    b_sd: float


PRIORS = {
    Shape.EEL_LIKE: Prior(
        cited(-2.99, _FROESE, _PLACE),
        cited(0.175, _FROESE, _PLACE),
        cited(3.06, _FROESE, _PLACE),
        cited(0.0896, _FROESE, _PLACE),
    ),
    Shape.ELONGATED: Prior(
        cited(-2.41, _FROESE, _PLACE),
        cited(0.171, _FROESE, _PLACE),
        cited(3.12, _FROESE, _PLACE),
        cited(0.09, _FROESE, _PLACE),
    ),
    Shape.FUSIFORM: Prior(
        cited(-1.95, _FROESE, _PLACE),
        cited(0.173, _FROESE, _PLACE),
        cited(3.04, _FROESE, _PLACE),
        cited(0.0857, _FROESE, _PLACE),
    ),
    Shape.SHORT_DEEP: Prior(
        cited(-1.7, _FROESE, _PLACE),
        cited(0.175, _FROESE, _PLACE),
        cited(3.01, _FROESE, _PLACE),
        cited(0.0905, _FROESE, _PLACE),
    ),
    Shape.ANY: Prior(
        cited(-2.0, _FROESE, _PLACE),
        cited(0.313, _FROESE, _PLACE),
        cited(3.04, _FROESE, _PLACE),
        cited(0.119, _FROESE, _PLACE),
    ),
}


@dataclass(frozen=True, slots=True)
class WeightRange:
    """Weight of one fish [g]: most likely value and the edges that hold 95 % of fish."""

    low: Ranged
    point: Ranged
    high: Ranged


def weight_froese14(length_cm: Values, shape: Shape) -> WeightRange:
    """Weight of one fish from its total length and body shape.

    Args:
        length_cm: total length [cm].
        shape: body shape; ``ANY`` when it is not known (a factor of 4 each way).

    Returns:
        Weight [g] with 95 % edges (spread of a only, at the mean b).

    Equation:
        W = a L^b

    Where it holds:
        1 to 150 cm total length, fish of ordinary fins. Outside: a warning.

    Source:
        Froese, Thorson & Reyes 2014, J Appl Ichthyol 30:78-85, doi 10.1111/jai.12299; priors
        read from the authors' script.
    """
    prior = PRIORS[shape]
    length = array(length_cm)
    middle: Floats = np.power(10.0, prior.log10_a) * length**prior.b
    reach = np.power(10.0, cited(1.96, _FROESE, "95 % of a normal spread") * prior.log10_a_sd)
    return WeightRange(
        low=FROESE14.result(middle / reach, length_cm=length),
        point=FROESE14.result(middle, length_cm=length),
        high=FROESE14.result(middle * reach, length_cm=length),
    )


def weight_power_law_g(length_cm: Values, a: Values, b: Values) -> Floats:
    """Return a weight [g] from a species' own a and b (g, cm, total length), W = a L^b."""
    weight: Floats = array(a) * array(length_cm) ** array(b)
    return weight
