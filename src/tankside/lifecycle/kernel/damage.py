"""Damage of a fish by parasites that grow on it: one state, which heals, and a threshold.

A parasite that has stayed a part x of a stay has done g(x) = (1 - k) x + k x^2 of the harm of a
whole stay, k being the share of its harm that grows with it. With L the lethal load of the fish,

    dD/dt = sum over parasites of g'(x) dx/dt / L - r D,

and the fish dies when D passes its own threshold z, which is log-logistic with median 1. The
sum over parasites needs only their number and the sum of the hours of the clock at which they
settled. Damage is taken from the middle of one hour to the middle of the next, with what is on
the fish after the events of the first: parasites come and go at the middle of an hour on average.
"""

from __future__ import annotations

import numpy as np

from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import ZERO, Array, Real, Truth, Whole, World
from tankside.lifecycle.kernel.positions import Column, HazardHour

SLOPE = int(Column.LETHAL_SLOPE)
GROWTH = int(Column.HARM_GROWTH)
KEPT = int(Column.DAMAGE_KEPT)
HOST_RESIDENCE = int(Column.HOST_RESIDENCE)
ADDED = int(HazardHour.ADDED)


@compiled
def begin_damage(w: World, i: Whole) -> None:
    """Give a fish the damage of the ages of its parasites, and a threshold that is above it.

    The fish is alive at hour 0, so its threshold is drawn given that it is above the damage D of
    that hour: 1 + z^b = (1 + D^b) / (1 - u). Without parasites D = 0 and z is log-logistic.
    """
    growth, stay = w.values[GROWTH], w.values[HOST_RESIDENCE]
    clock = w.host_clock[w.clock_of[w.group_of[i]], 0]
    ages = (w.burden[i] * clock - w.settled_sum[i]) / stay
    w.damage[i] = (1 - growth) * ages + growth * w.squared_ages[i] / (stay * stay)
    loads = w.damage[i] / w.tolerance[i]
    slope = w.values[SLOPE]
    odds = (1 + loads**slope) / (1 - w.place[i]) - 1
    w.threshold[i] = w.tolerance[i] * odds ** (1 / slope)


@compiled
def add_damage(w: World, hour: Whole) -> Truth:
    """Add the damage up to the middle of this hour; return whether a fish dies of it."""
    gap = hour - w.hazard_hour[ADDED]
    w.hazard_hour[ADDED] = hour
    kept = w.values[KEPT] ** np.float64(gap)
    dead = False
    for group in range(w.group_alive.size):
        even, late = 0.0, 0.0
        if gap > 0:
            even, late = _harm(w, w.host_clock[w.clock_of[group]], hour)
        for i in range(w.first[group], w.first[group + 1]):
            w.damage[i] = w.damage[i] * kept + even * w.burden[i] - late * w.settled_sum[i]
            if w.damage[i] > w.threshold[i]:
                dead = True
    return dead


@compiled
def _harm(w: World, clock: Array, hour: Whole) -> tuple[Real, Real]:
    """Return (harm per parasite, less harm per unit of the sum of settling clocks) of an hour."""
    growth, stay = w.values[GROWTH], w.values[HOST_RESIDENCE]
    before = (clock[hour - 1] + clock[hour]) / 2 if hour > 0 else clock[ZERO]
    after = (clock[hour] + clock[hour + 1]) / 2
    speed = (after - before) / stay
    return speed * (1 - growth + growth * (before + after) / stay), 2 * growth * speed / stay


@compiled
def any_carried(w: World) -> Truth:
    """Whether any fish carries a parasite that does harm."""
    carried = ZERO
    for i in range(w.burden.size):
        carried += w.burden[i]
    return carried > 0
