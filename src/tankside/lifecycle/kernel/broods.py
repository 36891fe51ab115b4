"""How many of one brood will settle: a table of the law, filled as far as it is asked.

The answer is a quantile of the law, so it rises with the uniform number and with the chance to
settle, and a course that leaves fewer swimmers can only take settlers away. The law is binomial for
a fixed number of offspring and negative binomial for a spread one.
"""

from __future__ import annotations

from math import exp, log1p

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.clock import UNIT
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.layout import ZERO, Real, Whole, World
from tankside.lifecycle.kernel.positions import BroodLaw, Column

OFFSPRING = int(Column.OFFSPRING)
SHAPE = int(Column.OFFSPRING_SHAPE)
CHANCE = int(BroodLaw.CHANCE)
FILLED = int(BroodLaw.FILLED)
LAST = int(BroodLaw.LAST)
HALF = setting(0.5, "the rarer outcome is counted")
BLOCK = whole_setting(32, "entries filled together")
TINY = setting(1e-300, "end a table that has run out of probability")


@compiled
def begin_table(w: World, chance: Real) -> None:
    """Begin the table for a chance to settle, unless it is there."""
    if w.brood_law[CHANCE] == chance:
        return
    if w.values[SHAPE] > 0:
        none = exp(-w.values[SHAPE] * log1p(w.values[OFFSPRING] * chance / w.values[SHAPE]))
    else:
        rare = min(chance, 1 - chance)
        none = exp(np.floor(w.values[OFFSPRING]) * log1p(-rare)) if rare > 0 else 1.0
    w.brood_law[CHANCE] = chance
    w.brood_law[FILLED] = 0.0
    w.brood_law[LAST] = none
    _fill_block(w, chance)
    k = ZERO
    for cell in range(w.brood_guide.size):
        while w.brood[k] * w.brood_guide.size < cell:
            k += 1
            if k >= w.brood_law[FILLED]:
                _fill_block(w, chance)
        w.brood_guide[cell] = k


@inlined
def settling_of_one(w: World, chance: Real, uniform: Real) -> Whole:
    """Return how many of one brood settle at this uniform number, with the table of this chance."""
    often = w.values[SHAPE] <= 0 and chance > HALF
    if often:
        uniform = 1 - uniform
    cells = w.brood_guide.size
    many = np.uint64(w.brood_guide[min(np.int64(uniform * cells), cells - 1)])
    many += np.uint64(uniform > w.brood[many])
    while True:
        if many >= w.brood_law[FILLED]:
            _fill_block(w, chance)
        if uniform <= w.brood[many]:
            break
        many += UNIT
    return np.int64(w.values[OFFSPRING]) - np.int64(many) if often else np.int64(many)


@compiled
def _fill_block(w: World, chance: Real) -> None:
    """Fill one more block of the table: k holds the chance of at most k."""
    first = np.int64(w.brood_law[FILLED])
    term = w.brood_law[LAST]
    total = w.brood[first - 1] if first > 0 else 0.0
    shape = w.values[SHAPE]
    number = np.floor(w.values[OFFSPRING])
    if shape > 0:
        mean = w.values[OFFSPRING] * chance
        ratio = mean / (mean + shape)
        number = np.float64(w.brood.size)
    else:
        rare = min(chance, 1 - chance)
        mean = number * rare
        ratio = rare / (1 - rare)
    for k in range(first, first + BLOCK):
        total += term
        ends = k >= min(number, w.brood.size - 1) or (term < TINY and k > mean)
        w.brood[k] = 2.0 if ends else total
        term *= ((k + shape) if shape > 0 else (number - k)) / (k + 1) * ratio
    w.brood_law[FILLED] = first + BLOCK
    w.brood_law[LAST] = term
