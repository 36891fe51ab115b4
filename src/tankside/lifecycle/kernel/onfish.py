"""Parasites on the fish of one history: settling, staying, leaving."""

from __future__ import annotations

from math import inf, log

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.bottom import removed_before
from tankside.lifecycle.kernel.chance import at, unit
from tankside.lifecycle.kernel.clock import hour_of, stay
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.fish import BY_THRESHOLD, NEVER, fill_choice, fix_death
from tankside.lifecycle.kernel.layout import (
    ONE,
    PLACES,
    ZERO,
    Column,
    Flag,
    Real,
    Truth,
    Whole,
    Word,
    World,
)
from tankside.lifecycle.kernel.swimmers import swim_on

HOST_STAY = int(Column.HOST_STAY)
UNSEEN_LEFT = int(Column.UNSEEN_LEFT)
DEAD_EARLY = int(Column.DEAD_EARLY)
IMMUNE_PRIOR = int(Column.IMMUNE_PRIOR)
IMMUNE_ONSET = int(Column.IMMUNE_ONSET)
IMMUNE_COLD = int(Column.IMMUNE_COLD)
IMMUNE_WARM = int(Column.IMMUNE_WARM)
FED_REFUSED = int(Column.FED_REFUSED)
FED = int(Flag.FED)
CAP = int(Column.CAP)
TIMED_HOST = int(Flag.TIMED_HOST)
DEATH_LAW = int(Flag.DEATH_LAW)
REMOVAL = int(Flag.HOST_REMOVAL)
LOOK_AT_SPOTS = int(Flag.LOOK_AT_SPOTS)
PART_LEAVES_DEAD = int(Flag.PART_LEAVES_DEAD)
RIPEN = int(Flag.RIPEN)
LAND, LAND_LUCK, REFUSE, ONSET = range(
    whole_setting(10, "first stream"), whole_setting(14, "last stream and one")
)
LOW_BITS = np.uint64(whole_setting(2**32 - 1, "lower half of a draw"))
SHIFT = np.uint64(whole_setting(32, "upper half of a draw"))
PLACE_BITS = np.int64(whole_setting(1023, "ten low bits give the position within the hour"))
PLACE_UNIT = setting(2.0**-10, "unit of those bits")
SPREAD = setting(0.2, "spread of the onset of immunity between fish, see the claim's note")
MANY = whole_setting(6, "arrivals per fish and hour that are drawn one by one")


@inlined
def settle_one(
    w: World, place: tuple[Whole, Whole, Real], start: Real, bits: Word, luck: Word, many: Whole
) -> None:
    """Let ``many`` parasites sharing one draw begin their stay on a fish.

    Args:
        w: everything the loop knows.
        place: (fish, hour, part of the hour gone).
        start: share of the stay already over, or -1 for a fresh arrival.
        bits: 32 random bits that choose the length of the stay.
        luck: 64 random bits that decide removal.
        many: parasites.
    """
    i, hour, part = place
    group = w.group_of[i]
    clock = w.host_clock[group]
    hours = clock.size - 1
    length = stay(w.table[0], bits) * w.values[HOST_STAY]
    begin = clock[hour] + part * (clock[hour + 1] - clock[hour])
    value = begin + (length if start < 0 else length * (1 - start))
    w.burden[i] += many
    w.group_count[group, 1] += many
    when = hours
    if value < clock[hours]:
        when = hour_of(clock, w.host_inverse[group], w.host_per[group], value)
        if start < 0:
            when = max(when, hour + 1)
    gone = -1
    if w.flags[REMOVAL] and w.active[0, group]:
        part_until = 0.0
        if when < hours and clock[when + 1] > clock[when]:
            part_until = max((value - clock[when]) / (clock[when + 1] - clock[when]), 0.0)
        gone = removed_before(
            w.host_cumulative[group],
            w.host_jump[group],
            hour,
            part,
            when,
            part_until,
            -log(unit(luck)),
        )
    if gone >= 0:
        when = max(gone, hour + 1) if start < 0 else gone
        if when < hours:
            w.fish_lost[when, i] += many
    elif when < hours:
        w.fish_ring[when, i] += many
    coming = hour + 1 if start < 0 else hour
    if w.flags[LOOK_AT_SPOTS]:
        grow(w, (ZERO, i, coming), value - w.values[UNSEEN_LEFT] * length, when, many)
    if w.flags[PART_LEAVES_DEAD]:
        grow(w, (ONE, i, coming), value - w.values[DEAD_EARLY] * length, when, many)


@compiled
def grow(
    w: World, place: tuple[Whole, Whole, Whole], at_age: Real, end: Whole, many: Whole
) -> None:
    """Count parasites as grown from the hour in which the clock passes ``at_age`` to their end.

    Args:
        w: everything the loop knows.
        place: (0 to be seen or 1 to leave a dead fish, fish, next hour to be played).
        at_age: host clock at which they are old enough.
        end: hour at which they leave or are killed.
        many: parasites.
    """
    kind, i, coming = place
    group = w.group_of[i]
    clock = w.host_clock[group]
    hours = clock.size - 1
    if at_age <= clock[coming]:
        w.grown[kind, i] += many
    elif at_age < clock[hours]:
        first = hour_of(clock, w.host_inverse[group], w.host_per[group], at_age)
        if first >= end:
            return
        w.grown_ring[kind, first, i] += many
    else:
        return
    if end < hours:
        w.grown_ring[kind, end, i] -= many


@compiled
def refused(w: World, i: Whole, hour: Whole, luck: Word) -> Truth:
    """Whether a fish that is immune, or fed with what hinders settling, refuses a parasite."""
    group = w.group_of[i]
    strength = 0.0
    if w.immune_clock[group, hour] >= w.immune_from[i]:
        warm = w.warmth[group, hour]
        strength = w.values[IMMUNE_COLD] + warm * (w.values[IMMUNE_WARM] - w.values[IMMUNE_COLD])
    strength += (1 - strength) * w.values[FED_REFUSED] * w.fed[group, hour]
    return unit(luck) < strength


@compiled
def set_watch(w: World, i: Whole) -> None:
    """Set the burden above which a fish must be looked at: immunity, death, no more room."""
    limit = w.values[CAP] * w.area[i] if w.values[CAP] > 0 else inf
    if w.flags[DEATH_LAW] == BY_THRESHOLD and w.due[i] == NEVER:
        limit = min(limit, w.tolerance[i])
    if w.values[IMMUNE_ONSET] > 0 and w.immune_from[i] == inf:
        limit = min(limit, w.values[IMMUNE_PRIOR] - 1)
    w.watch_at[i] = limit


@compiled
def passed_watch(w: World, i: Whole, hour: Whole) -> Whole:
    """Start immunity or death of a fish whose burden has just passed; return the hour of death."""
    number = w.burden[i] + w.rated[i]
    death = NEVER
    if w.values[IMMUNE_ONSET] > 0 and w.immune_from[i] == inf and number >= w.values[IMMUNE_PRIOR]:
        luck = unit(at(w.keys[ONSET], i))
        spread = (luck / (1 - luck)) ** (SPREAD / 2)
        clock = w.immune_clock[w.group_of[i], hour]
        w.immune_from[i] = clock + w.values[IMMUNE_ONSET] * spread
        w.immune_first[0] = min(w.immune_first[0], w.immune_from[i])
    if number > w.tolerance[i] and w.flags[DEATH_LAW] == BY_THRESHOLD and w.due[i] == NEVER:
        death = fix_death(w, i, hour)
    set_watch(w, i)
    return death


@inlined
def full(w: World, i: Whole) -> Truth:
    """Whether a fish carries as many as the evidence for settling goes to."""
    return w.values[CAP] > 0 and w.burden[i] + w.rated[i] >= w.values[CAP] * w.area[i]


@compiled
def land(w: World, body: Whole, hour: Whole, number: Whole) -> Whole:
    """Let swimmers that settle in this hour choose fish; return the earliest new hour of death."""
    if w.choice_stale[body]:
        fill_choice(w, body, hour)
    size = w.choice_size[body]
    if size == 0:
        return NEVER
    w.total[0] += number
    slot = hour * PLACES + body
    key = at(w.keys[LAND], slot)
    luck_key = at(w.keys[LAND_LUCK], slot)
    refuse_key = at(w.keys[REFUSE], slot)
    cut, own, other = w.choice_cut[body], w.choice_own[body], w.choice_other[body]
    lots = min(number, MANY * size)
    each = number // lots
    more = number - each * lots
    wary = w.immune_first[0] < inf or w.flags[FED] == 1
    first = NEVER
    for lot in range(lots):
        bits = at(key, lot)
        spot = (bits & LOW_BITS) * np.uint64(size)
        k = np.int64(spot >> SHIFT)
        i = own[k] if np.uint32(spot & LOW_BITS) < cut[k] else other[k]
        many = each + 1 if lot < more else each
        if not w.alive[i]:
            swim_on(w, body, hour, at(luck_key, lot), many)
            continue
        if wary and refused(w, i, hour, at(refuse_key, lot)):
            continue
        place = (i, hour, np.float64(np.int64(spot) & PLACE_BITS) * PLACE_UNIT)
        death = arrive_on(w, place, bits >> SHIFT, luck_key, lot, many)
        first = min(first, death)
    return first


@inlined
def arrive_on(
    w: World, place: tuple[Whole, Whole, Real], bits: Word, luck_key: Word, lot: Whole, many: Whole
) -> Whole:
    """Let parasites settle on one fish; return its hour of death when this decides it."""
    i, hour, _ = place
    if w.burden[i] + w.rated[i] + many > w.watch_at[i] and full(w, i):
        return NEVER
    if w.flags[TIMED_HOST] == 1:
        settle_one(w, place, -1.0, bits, at(luck_key, lot), many)
    else:
        w.rated[i] += many
    if w.burden[i] + w.rated[i] > w.watch_at[i]:
        return passed_watch(w, i, hour)
    return NEVER


@compiled
def leave_fish(w: World, hour: Whole) -> None:
    """Take off what leaves each fish in this hour; fill ``leaving``."""
    w.leaving[:] = 0
    removal = w.flags[REMOVAL] == 1
    grown = w.flags[LOOK_AT_SPOTS] + w.flags[PART_LEAVES_DEAD] > 0
    ripen = w.flags[RIPEN] == 1
    for group in range(w.leaving.size):
        if w.group_count[group, 1] == 0:
            continue
        total = 0
        lost = 0
        for i in range(w.first[group], w.first[group + 1]):
            number = w.fish_ring[hour, i]
            w.fish_ring[hour, i] = 0
            w.burden[i] -= number
            total += number
            if ripen:
                w.rated[i] += number
            if removal:
                killed = w.fish_lost[hour, i]
                w.fish_lost[hour, i] = 0
                w.burden[i] -= killed
                lost += killed
        if grown:
            _grow_older(w, group, hour)
        w.leaving[group] = 0 if ripen else total
        w.group_count[group, 1] -= total + lost


@compiled
def _grow_older(w: World, group: Whole, hour: Whole) -> None:
    """Take over this hour's change of the numbers old enough to be seen or to leave the dead."""
    for kind in range(w.grown.shape[0]):
        for i in range(w.first[group], w.first[group + 1]):
            w.grown[kind, i] += w.grown_ring[kind, hour, i]
            w.grown_ring[kind, hour, i] = 0
