"""Parasites on the fish of one history: settling, staying, leaving."""

from __future__ import annotations

from math import log

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.bottom import removed_before
from tankside.lifecycle.kernel.chance import at, unit
from tankside.lifecycle.kernel.clock import hour_of, stay
from tankside.lifecycle.kernel.compiled import compiled
from tankside.lifecycle.kernel.fish import BY_THRESHOLD, NEVER, fill_choice, fix_death
from tankside.lifecycle.kernel.layout import Column, Flag, Real, Truth, Whole, Word, World

HOST_STAY = int(Column.HOST_STAY)
IMMUNE_PRIOR = int(Column.IMMUNE_PRIOR)
IMMUNE_ONSET = int(Column.IMMUNE_ONSET)
IMMUNE_COLD = int(Column.IMMUNE_COLD)
IMMUNE_WARM = int(Column.IMMUNE_WARM)
CAP = int(Column.CAP)
TIMED_HOST = int(Flag.TIMED_HOST)
DEATH_LAW = int(Flag.DEATH_LAW)
REMOVAL = int(Flag.HOST_REMOVAL)
RIPEN = int(Flag.RIPEN)
LAND, LAND_LUCK, REFUSE, ONSET = range(
    whole_setting(10, "first stream"), whole_setting(14, "last stream and one")
)
LOW_BITS = np.uint64(whole_setting(2**32 - 1, "lower half of a draw"))
SHIFT = np.uint64(whole_setting(32, "upper half of a draw"))
PLACE_BITS = np.int64(whole_setting(1023, "ten low bits give the position within the hour"))
PLACE_UNIT = setting(2.0**-10, "unit of those bits")
SPREAD = setting(0.2, "spread of the onset of immunity between fish, see the claim's note")
MANY = whole_setting(64, "arrivals per fish and hour that are drawn one by one")


@compiled
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
    length = stay(w.table[0], bits)
    if start >= 0:
        length *= 1 - start
    begin = clock[hour] + part * (clock[hour + 1] - clock[hour])
    value = begin + length * w.values[HOST_STAY]
    w.burden[i] += many
    w.group_count[group, 1] += many
    when = hours
    if value < clock[hours]:
        when = hour_of(clock, w.host_inverse[group], w.host_per[group], value)
        if start < 0:
            when = max(when, hour + 1)
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
            later = max(gone, hour + 1) if start < 0 else gone
            if later < hours:
                w.fish_lost[later, i] += many
            return
    if when < hours:
        w.fish_ring[when, i] += many


@compiled
def refused(w: World, i: Whole, hour: Whole, luck: Word) -> Truth:
    """Whether an immune or overfull fish refuses a settling parasite."""
    if w.values[CAP] > 0 and w.burden[i] + w.rated[i] >= w.values[CAP] * w.area[i]:
        return True
    group = w.group_of[i]
    if w.immune_clock[group, hour] < w.immune_from[i]:
        return False
    warm = w.warmth[group, hour]
    strength = w.values[IMMUNE_COLD] + warm * (w.values[IMMUNE_WARM] - w.values[IMMUNE_COLD])
    return unit(luck) < strength


@compiled
def note_exposure(w: World, i: Whole, hour: Whole, many: Whole) -> Whole:
    """Count what settled on a fish; start its immunity and, past its burden, its death."""
    before = w.exposure[i]
    w.exposure[i] = before + many
    if before < w.values[IMMUNE_PRIOR] <= w.exposure[i] and w.values[IMMUNE_ONSET] > 0:
        luck = unit(at(w.keys[ONSET], i))
        spread = (luck / (1 - luck)) ** (SPREAD / 2)
        clock = w.immune_clock[w.group_of[i], hour]
        w.immune_from[i] = clock + w.values[IMMUNE_ONSET] * spread
    heavy = w.burden[i] + w.rated[i] > w.tolerance[i]
    if heavy and w.flags[DEATH_LAW] == BY_THRESHOLD and w.due[i] == NEVER:
        return fix_death(w, i, hour)
    return NEVER


@compiled
def land(w: World, body: Whole, hour: Whole, number: Whole) -> Whole:
    """Let swimmers that settle in this hour choose fish; return the earliest new hour of death."""
    if w.choice_stale[body]:
        fill_choice(w, body, hour)
    size = w.choice_size[body]
    if size == 0:
        return NEVER
    w.total[0] += number
    slot = hour * w.choice_size.size + body
    key = at(w.keys[LAND], slot)
    luck_key = at(w.keys[LAND_LUCK], slot)
    refuse_key = at(w.keys[REFUSE], slot)
    lots = min(number, MANY * size)
    wide = np.uint64(size)
    timed = w.flags[TIMED_HOST] == 1
    first = NEVER
    for lot in range(lots):
        many = number // lots + (1 if lot < number % lots else 0)
        bits = at(key, lot)
        spot = (bits & LOW_BITS) * wide
        k = np.int64(spot >> SHIFT)
        rest = np.uint32(spot & LOW_BITS)
        i = w.choice_own[body, k] if rest < w.choice_cut[body, k] else w.choice_other[body, k]
        if refused(w, i, hour, at(refuse_key, lot)):
            continue
        if timed:
            part = np.float64(np.int64(spot) & PLACE_BITS) * PLACE_UNIT
            luck = at(luck_key, lot)
            place = (i, hour, part)
            settle_one(w, place, -1.0, bits >> SHIFT, luck, many)
        else:
            w.rated[i] += many
        first = min(first, note_exposure(w, i, hour, many))
    return first


@compiled
def leave_fish(w: World, hour: Whole) -> None:
    """Take off what leaves each fish in this hour; fill ``leaving``."""
    w.leaving[:] = 0
    removal = w.flags[REMOVAL] == 1
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
        w.leaving[group] = 0 if ripen else total
        w.group_count[group, 1] -= total + lost
