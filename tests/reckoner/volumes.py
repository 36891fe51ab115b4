"""How much water a description of a system tells, by hand."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import prod

from tests.reckoner.pool import Volumes
from tests.reckoner.printed_rates import Shelf
from tests.reckoner.typed_words import FLOW_L_MIN, LENGTH_CM, MASS_MG, MINUTES, VOLUME_L, needed

SIDES = ("inside-length", "inside-width", "water-height")
CM3_PER_L = 1000


def volume_of(words: Sequence[str], shelf: Shelf) -> Volumes | None:
    """Return the smaller, the point and the larger volume [L]; None when nothing was measured.

    One method alone may be out by the difference at which two are questioned; of two, the chosen
    one is the point and both are edges.
    """
    ways = by_method(words)
    chosen = dict(word.split("=", 1) for word in words if "=" in word).get("volume-by")
    if not ways:
        return None
    first = chosen if chosen in ways else next(iter(ways))
    point = ways.pop(first)
    if not ways:
        error = 1 + shelf.one_method_error
        return point / error, point, point * error
    second = next(iter(ways.values()))
    if abs(second - point) / min(second, point) > shelf.stop_difference:
        return None
    return min(point, second), point, max(point, second)


def by_method(words: Sequence[str]) -> dict[str, Fraction]:
    """Return the litres of each way of measuring, in the order of the form."""
    keys = dict(word.split("=", 1) for word in words if "=" in word)
    ways: dict[str, Fraction] = {}
    if all(side in keys for side in SIDES):
        box = prod((needed(keys[side], LENGTH_CM) for side in SIDES), start=Fraction(1))
        ways["geometry"] = box / CM3_PER_L + beside(words)
    if "hose" in keys:
        flow, _, time = keys["hose"].partition(" for ")
        ways["hose"] = needed(flow, FLOW_L_MIN) * needed(time, MINUTES)
    if "salt-rise" in keys:
        mass, rise = keys["salt-rise"].split(" raised ")
        rise_g_l = Fraction(rise.removesuffix(" g/L"))
        ways["salt-rise"] = needed(mass, MASS_MG) / CM3_PER_L / rise_g_l
    if "meter" in keys:
        ways["meter"] = needed(keys["meter"], VOLUME_L)
    return ways


def beside(words: Sequence[str]) -> Fraction:
    """Return the litres that stand outside the box less what takes up room in it."""
    litres = Fraction(0)
    for word in words:
        key, _, text = word.partition("=")
        amount = " ".join(text.split()[:2])
        if key == "adds":
            litres += needed(amount, VOLUME_L)
        elif key == "takes-away":
            litres -= needed(amount, VOLUME_L)
    return litres
