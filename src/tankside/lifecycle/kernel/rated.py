"""A stage that lives by rates on each fish: young, losses, eggs, moves to another fish.

Births and losses over an hour are drawn from the exact law of the linear birth-death process,
so the hour adds no error; moves and eggs are taken once per hour.
"""

from __future__ import annotations

from math import exp

import numpy as np

from tankside.claims import setting
from tankside.lifecycle.kernel.chance import binomial, following, gamma, poisson
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.fish import fill_choice
from tankside.lifecycle.kernel.layout import Array, Real, Whole, World
from tankside.lifecycle.kernel.onfish import passed_watch
from tankside.lifecycle.kernel.positions import Column, RateFactor

BIRTH = int(Column.BIRTH)
LOSS = int(Column.LOSS)
LAY = int(Column.LAY)
TRANSFER = int(Column.TRANSFER)
IMMUNE_LOSS = int(Column.IMMUNE_LOSS)
CAP = int(Column.CAP)
BIRTH_FACTOR = int(RateFactor.BIRTH)
LOSS_FACTOR = int(RateFactor.LOSS)
LAY_FACTOR = int(RateFactor.LAY)
SERIES = setting(1e-9, "equal birth and loss rates: use the limit of the formula")


@compiled
def after_an_hour(state: Array, number: Whole, birth: Real, loss: Real) -> Whole:
    """Return the size of a linear birth-death process after one hour, exactly.

    With E = exp(b - d): each line dies out with chance d (E - 1) / (b E - d); a surviving line
    is geometric with parameter b (E - 1) / (b E - d). Equal rates: both are b / (1 + b).
    """
    if number == 0:
        return np.int64(0)
    if abs(birth - loss) < SERIES:
        out = loss / (1 + loss)
        grow = birth / (1 + birth)
    else:
        growth = exp(birth - loss)
        out = loss * (growth - 1) / (birth * growth - loss)
        grow = birth * (growth - 1) / (birth * growth - loss)
    lines = binomial(state, number, 1 - out)
    if lines == 0 or grow <= 0:
        return lines
    return lines + poisson(state, gamma(state, np.float64(lines)) * grow / (1 - grow))


@compiled
def live_an_hour(w: World, hour: Whole) -> None:
    """Let the rated stage live one hour on every fish."""
    state = w.state
    for i in range(w.rated.size):
        number = w.rated[i]
        if number == 0:
            continue
        group = w.group_of[i]
        body = w.where[group, hour]
        birth = w.values[BIRTH] * w.rate_factor[BIRTH_FACTOR, group, hour]
        loss = w.values[LOSS] * w.rate_factor[LOSS_FACTOR, group, hour]
        if w.immune_clock[group, hour] >= w.immune_from[i]:
            loss += w.values[IMMUNE_LOSS]
        if w.active[0, group]:
            total = w.host_cumulative[group]
            loss += total[hour + 1] - total[hour]
        if w.values[CAP] > 0 and number >= w.values[CAP] * w.area[i]:
            birth = min(birth, loss)
        later = after_an_hour(state, number, birth, loss)
        w.rated[i] = later
        lay = w.values[LAY] * w.rate_factor[LAY_FACTOR, group, hour]
        if lay > 0 and body >= 0:
            w.arrive[0, body] += poisson(state, lay * (number + later) / 2)
        if later > number and later > w.watch_at[i]:
            passed_watch(w, i, hour)
        if w.values[TRANSFER] > 0 and body >= 0 and later > 0:
            _move(w, i, hour)


@compiled
def _move(w: World, i: Whole, hour: Whole) -> None:
    """Let some of the parasites of one fish move to other fish of the same body.

    One that would move to a fish that has died stays where it is.
    """
    body = w.where[w.group_of[i], hour]
    if w.choice_stale[body]:
        fill_choice(w, body, hour)
    size = w.choice_size[body]
    if size == 0:
        return
    moving = binomial(w.state, w.rated[i], 1 - exp(-w.values[TRANSFER]))
    for _ in range(moving):
        place = following(w.state) * size
        k = min(np.int64(place), size - 1)
        heavy = (place - k) * CUT_SCALE >= w.choice_cut[body, k]
        to = np.int64(w.choice_other[body, k] if heavy else w.choice_own[body, k])
        if not w.alive[to]:
            continue
        w.rated[i] -= 1
        w.rated[to] += 1
        if to != i and w.rated[to] > w.watch_at[to]:
            passed_watch(w, to, hour)


CUT_SCALE = setting(4294967296.0, "2 to the 32, scale of the alias cuts")
