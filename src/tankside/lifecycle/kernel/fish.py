"""The fish of one history: who they are, which one a swimmer takes, when one dies."""

from __future__ import annotations

from math import inf, log

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.chance import binomial, following, gamma
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.layout import ZERO, Truth, Whole, World
from tankside.lifecycle.kernel.positions import (
    Column,
    Flag,
    GroupSum,
    Grown,
    HazardHour,
    Stream,
    Work,
)

SHAPE = int(Column.SPREAD_OF_SUSCEPTIBILITY)
PULL = int(Column.SPREAD_OF_ATTRACTION)
SLOPE = int(Column.LETHAL_SLOPE)
HAZARD = int(Column.HAZARD)
DEAD_SHARE = int(Column.DEAD_SHARE)
RATED_HOST = int(Flag.RATED_HOST)
PART_LEAVES_DEAD = int(Flag.PART_LEAVES_DEAD)
TRAITS = int(Stream.TRAITS)
ADDED = int(HazardHour.ADDED)
SAFE = int(HazardHour.SAFE)
SETTLED = int(HazardHour.SETTLED)
AREA = int(GroupSum.AREA)
SUSCEPTIBLE_AREA = int(GroupSum.SUSCEPTIBLE_AREA)
LEAVES_DEAD = int(Grown.LEAVES_DEAD)
LANDINGS = int(Work.LANDINGS)
NEVER = whole_setting(2**60, "an hour that is not reached")
FULL = setting(4294967295.0, "largest 32-bit number")
WHOLE = setting(4294967296.0, "2 to the 32")


@compiled
def make_fish(w: World, row: Whole) -> None:
    """Draw the traits of every fish of a history."""
    state = w.state
    state[0] = w.keys[TRAITS]
    w.group_sums[:] = 0.0
    w.group_alive[:] = 0
    for i in range(w.area.size):
        group = w.group_of[i]
        catch = gamma(state, w.values[SHAPE]) / w.values[SHAPE] if w.values[SHAPE] > 0 else 1.0
        pull = gamma(state, w.values[PULL]) / w.values[PULL] if w.values[PULL] > 0 else 1.0
        w.area[i] = w.given_area[row, group] * pull
        w.susceptibility[i] = w.given_susceptibility[row, group] * catch
        w.place[i] = following(state)
        w.tolerance[i] = w.given_lethal[row, group]
        w.threshold[i] = -log(following(state))
        w.immune_from[i] = inf
        w.group_sums[group, AREA] += w.area[i]
        w.group_sums[group, SUSCEPTIBLE_AREA] += w.area[i] * w.susceptibility[i]
        w.group_alive[group] += 1
    w.hazard[:] = 0.0
    w.hazard_rate[:] = 0.0
    w.hazard_hour[:] = 0
    w.hazard_hour[SETTLED] = -1
    w.damage[:] = 0.0
    w.settled_sum[:] = 0.0
    w.squared_ages[:] = 0.0
    w.alive[:] = 1
    w.counted[:] = 1
    w.burden[:] = 0
    w.rated[:] = 0
    w.grown[:] = 0
    w.immune_first[0] = inf
    w.choice_stale[:] = 1


@compiled
def fill_choice(w: World, body: Whole, hour: Whole) -> None:
    """Build the alias table of the fish counted in one body, by area and susceptibility.

    Fish that died since swimmers were last dealt are still in it: a contact with one of them
    does not happen, and the swimmer goes on.
    """
    size = ZERO
    total = 0.0
    for i in range(w.area.size):
        if w.counted[i] and w.where[w.group_of[i], hour] == body:
            w.choice_own[body, size] = i
            w.choice_weight[size] = w.area[i] * w.susceptibility[i]
            total += w.choice_weight[size]
            size += 1
    w.choice_size[body] = size
    w.choice_stale[body] = 0
    if total <= 0:
        w.choice_size[body] = 0
        return
    small = ZERO
    large = ZERO
    for k in range(size):
        w.choice_weight[k] *= size / total
        if w.choice_weight[k] < 1:
            w.choice_stack[0, small] = k
            small += 1
        else:
            w.choice_stack[1, large] = k
            large += 1
    _pair(w, body, small, large)


@compiled
def _pair(w: World, body: Whole, small: Whole, large: Whole) -> None:
    """Pair the light with the heavy (Vose's construction)."""
    choice_own = w.choice_own[body]
    while small > 0 and large > 0:
        small -= 1
        light = w.choice_stack[0, small]
        heavy = w.choice_stack[1, large - 1]
        w.choice_cut[body, light] = np.uint32(min(w.choice_weight[light] * WHOLE, FULL))
        w.choice_other[body, light] = choice_own[heavy]
        w.choice_weight[heavy] -= 1 - w.choice_weight[light]
        if w.choice_weight[heavy] < 1:
            large -= 1
            w.choice_stack[0, small] = heavy
            small += 1
    for k in range(small):
        _alone(w, body, w.choice_stack[0, k])
    for k in range(large):
        _alone(w, body, w.choice_stack[1, k])


@compiled
def _alone(w: World, body: Whole, k: Whole) -> None:
    w.choice_cut[body, k] = np.uint32(FULL)
    w.choice_other[body, k] = w.choice_own[body, k]


@compiled
def add_hazard(w: World, hour: Whole) -> Truth:
    """Add the hazard of the hours up to the end of this one; return whether a fish dies of it."""
    hours = np.float64(hour + 1 - w.hazard_hour[ADDED])
    w.hazard_hour[ADDED] = hour + 1
    dead = False
    for i in range(w.hazard.size):
        w.hazard[i] += w.hazard_rate[i] * hours
        if w.hazard[i] > w.threshold[i]:
            dead = True
    return dead


@compiled
def set_hazard(w: World) -> None:
    """Set the hazard of every fish from what it now carries: most x^n / (1 + x^n)."""
    most = w.values[HAZARD]
    slope = w.values[SLOPE]
    if slope == 2:
        for i in range(w.burden.size):
            square = np.float64(w.burden[i] + w.rated[i]) ** 2
            w.hazard_rate[i] = most * square / (w.tolerance[i] * w.tolerance[i] + square)
        return
    for i in range(w.burden.size):
        x = ((w.burden[i] + w.rated[i]) / w.tolerance[i]) ** slope
        w.hazard_rate[i] = most * x / (1 + x)


@compiled
def safe_until(w: World) -> Whole:
    """Return an hour before which no fish can die of hazard; it holds until more settle."""
    same = w.hazard_hour[SETTLED] == w.total[LANDINGS] and not w.flags[RATED_HOST]
    if same and w.hazard_hour[SAFE] > w.hazard_hour[ADDED]:
        return w.hazard_hour[SAFE]
    least = inf
    top = 0.0
    for i in range(w.hazard.size):
        if w.hazard_rate[i] > 0:
            least = min(least, w.threshold[i] - w.hazard[i])
            top = max(top, w.hazard_rate[i])
    safe = w.hazard_hour[ADDED] + np.int64(least / top) if least < top * NEVER else NEVER
    w.hazard_hour[SAFE] = safe
    w.hazard_hour[SETTLED] = w.total[LANDINGS]
    return safe


@compiled
def bury(w: World, i: Whole, hour: Whole) -> Whole:
    """Take a dead fish out; return how many parasites leave it alive.

    Those with less than a part of their residence time left leave, in the share stated; others die.
    """
    group = w.group_of[i]
    able = w.grown[LEAVES_DEAD, i] if w.flags[PART_LEAVES_DEAD] else w.burden[i]
    leave = binomial(w.state, able, w.values[DEAD_SHARE])
    w.fish_ring[hour:, i] = 0
    w.fish_lost[hour:, i] = 0
    w.settled_ring[hour:, i] = 0.0
    w.grown_ring[:, hour:, i] = 0
    w.grown[:, i] = 0
    w.alive[i] = 0
    w.hazard[i] = -inf
    w.damage[i] = -inf
    w.settled_sum[i] = 0.0
    w.group_alive[group] -= 1
    w.group_sums[group, AREA] -= w.area[i]
    w.group_sums[group, SUSCEPTIBLE_AREA] -= w.area[i] * w.susceptibility[i]
    if w.group_alive[group] == 0:
        w.group_sums[group, :] = 0.0
    w.burden[i] = 0
    w.rated[i] = 0
    return leave
