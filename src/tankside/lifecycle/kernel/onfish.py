"""Parasites on the fish of one history: settling, residence, leaving."""

from __future__ import annotations

from math import inf

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.chance import at, unit
from tankside.lifecycle.kernel.clock import UNIT, exposure, hour_of, hour_removed, residence, shared
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.fish import fill_choice
from tankside.lifecycle.kernel.layout import (
    ONE,
    PLACES,
    TWO,
    ZERO,
    Array,
    Real,
    Truth,
    Whole,
    Word,
    World,
)
from tankside.lifecycle.kernel.positions import Column, DeathLaw, Flag, Grown, Stream, Work
from tankside.lifecycle.kernel.swimmers import swim_on

HOST_RESIDENCE = int(Column.HOST_RESIDENCE)
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
STAGES = int(Flag.STAGES)
BY_DAMAGE = int(DeathLaw.DAMAGE)
LAND = int(Stream.LAND)
ONSET = int(Stream.ONSET)
LANDINGS = int(Work.LANDINGS)
VISIBLE = np.int64(Grown.VISIBLE)  # typed: handed on to a function
LEAVES_DEAD = np.int64(Grown.LEAVES_DEAD)
LOW_BITS = np.uint64(whole_setting(2**32 - 1, "lower half of a draw"))
SHIFT = np.uint64(whole_setting(32, "upper half of a draw"))
PLACE_BITS = np.int64(whole_setting(1023, "ten low bits give the position within the hour"))
PLACE_UNIT = setting(2.0**-10, "unit of those bits")
FRESH, ANY = setting(-2.0, "settles now"), setting(-1.0, "any share of the residence time is over")
SPREAD = setting(0.2, "spread of the onset of immunity between fish, see the claim's note")
MANY = whole_setting(6, "arrivals per fish and hour that are drawn one by one")


@compiled
def settle(w: World, hour: Whole, number: Whole, age: Real) -> None:
    """Let the parasites listed in ``taken`` begin their residence on their fish.

    Args:
        w: everything the loop knows.
        hour: they settle within it, or are there at its start.
        number: entries of the list; those of one entry share a draw.
        age: share of the residence time over, or FRESH for those that settle, ANY for any share.
    """
    clocks, ring, busy, leaves = w.host_clock, w.fish_ring, w.busy, w.leaves
    alike = clocks.shape[0] == 1
    hours = np.uint64(ring.shape[0])
    here = np.uint64(hour)
    next_hour = here + UNIT if age == FRESH else here
    middle = w.values[HOST_RESIDENCE]
    watched = w.flags[LOOK_AT_SPOTS] + w.flags[PART_LEAVES_DEAD] + w.flags[REMOVAL] > 0
    watched = watched or w.flags[DEATH_LAW] == BY_DAMAGE
    for entry in range(number):
        i, many, bits = np.uint64(w.taken_fish[entry]), w.taken_many[entry], w.taken_bits[entry]
        row = np.uint64(0 if alike else w.clock_of[w.group_of[i]])
        clock = clocks[row]
        length = residence(w.table[0], bits >> SHIFT) * middle
        part: Real = np.float64(np.int64(bits) & PLACE_BITS) * PLACE_UNIT
        left = length
        if age != FRESH:
            part = 0.0
            left *= 1 - (age if age >= 0 else unit(at(bits, TWO)))
        value = clock[here] + part * (clock[here + UNIT] - clock[here]) + left
        when = hours
        if value < clock[hours]:
            when = hour_of(clock, w.host_inverse[row], w.host_per[row], value)
            when = max(when, next_hour)
        if watched:
            _settle_watched(w, (entry, hour, np.int64(next_hour)), (value, length, part), when)
        elif when < hours:
            ring[when, i] += many
            busy[when] = 1
            leaves[when] = 1


@compiled
def _settle_watched(
    w: World, place: tuple[Whole, Whole, Whole], stay_of: tuple[Real, Real, Real], end: Whole
) -> None:
    """Settle what may be removed from the fish, or changes with age, see :func:`settle`."""
    entry, hour, next_hour = place
    value, length, part = stay_of
    i, many = w.taken_fish[entry], w.taken_many[entry]
    group = w.group_of[i]
    clock = w.host_clock[w.clock_of[group]]
    hours = clock.size - 1
    ring = w.fish_ring
    when = np.int64(end)
    if w.flags[REMOVAL] and w.active[0, group]:
        cumulative, jump = w.host_cumulative[group], w.host_jump[group]
        seen = exposure(cumulative, jump, hour, part)
        seen += residence(w.swim_table, at(w.taken_bits[entry], ONE) >> SHIFT)
        until = cumulative[hours]
        if when < hours:
            width = clock[when + 1] - clock[when]
            part = max((value - clock[when]) / width, 0.0) if width > 0 else 0.0
            until = exposure(cumulative, jump, when, part)
        if seen < until:
            ring = w.fish_lost
            when = max(hour_removed(cumulative, hour, seen), next_hour)
    if when < hours:
        ring[when, i] += many
        w.busy[when] = 1
        w.leaves[when] = 1
    if w.flags[DEATH_LAW] == BY_DAMAGE:
        settled_at = (value - length) * many
        w.settled_sum[i] += settled_at
        if hour == 0:
            w.squared_ages[i] += (clock[0] - (value - length)) ** 2 * many
        if when < hours:
            w.settled_ring[when, i] += settled_at
    if w.flags[LOOK_AT_SPOTS]:
        grow(w, (VISIBLE, i, next_hour), value - w.values[UNSEEN_LEFT] * length, when, many)
    if w.flags[PART_LEAVES_DEAD]:
        grow(w, (LEAVES_DEAD, i, next_hour), value - w.values[DEAD_EARLY] * length, when, many)


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
    kind, i, next_hour = place
    row = w.clock_of[w.group_of[i]]
    clock = w.host_clock[row]
    hours = clock.size - 1
    if at_age <= clock[next_hour]:
        w.grown[kind, i] += many
    elif at_age < clock[hours]:
        first = hour_of(clock, w.host_inverse[row], w.host_per[row], at_age)
        if first >= end:
            return
        w.grown_ring[kind, first, i] += many
        w.busy[first] = 1
        w.leaves[first] = 1
    else:
        return
    if end < hours:
        w.grown_ring[kind, end, i] -= many


@compiled
def refused(w: World, i: Whole, hour: Whole, word: Word) -> Truth:
    """Whether a fish that is immune, or fed with what hinders settling, refuses a parasite."""
    group = w.group_of[i]
    strength = 0.0
    if w.immune_clock[group, hour] >= w.immune_from[i]:
        warm = w.warmth[group, hour]
        strength = w.values[IMMUNE_COLD] + warm * (w.values[IMMUNE_WARM] - w.values[IMMUNE_COLD])
    strength += (1 - strength) * w.values[FED_REFUSED] * w.fed[group, hour]
    return unit(word) < strength


@compiled
def set_watch(w: World, i: Whole) -> None:
    """Set the burden above which a fish must be looked at: immunity, no more room."""
    limit = w.values[CAP] * w.area[i] if w.values[CAP] > 0 else inf
    if w.values[IMMUNE_ONSET] > 0 and w.immune_from[i] == inf:
        limit = min(limit, w.values[IMMUNE_PRIOR] - 1)
    w.watch_at[i] = limit


@compiled
def passed_watch(w: World, i: Whole, hour: Whole) -> None:
    """Start the immunity of a fish whose burden has just passed what starts it."""
    number = w.burden[i] + w.rated[i]
    if w.values[IMMUNE_ONSET] > 0 and w.immune_from[i] == inf and number >= w.values[IMMUNE_PRIOR]:
        uniform = unit(at(w.keys[ONSET], i))
        spread = (uniform / (1 - uniform)) ** (SPREAD / 2)
        clock = w.immune_clock[w.group_of[i], hour]
        w.immune_from[i] = clock + w.values[IMMUNE_ONSET] * spread
        w.immune_first[0] = min(w.immune_first[0], w.immune_from[i])
    set_watch(w, i)


@inlined
def full(w: World, i: Whole) -> Truth:
    """Whether a fish carries as many as the evidence for settling goes to."""
    return w.values[CAP] > 0 and w.burden[i] + w.rated[i] >= w.values[CAP] * w.area[i]


@compiled
def land(w: World, body: Whole, hour: Whole, number: Whole) -> None:
    """Let swimmers that settle in this hour choose fish."""
    if w.choice_stale[body]:
        fill_choice(w, body, hour)
    size = w.choice_size[body]
    if size == 0:
        return
    key = at(w.keys[LAND], hour * PLACES + body)
    cut, choice_own, other = w.choice_cut[body], w.choice_own[body], w.choice_other[body]
    lots = min(number, MANY * size)
    each, more = shared(number, lots)
    wary = w.immune_first[0] < inf or w.flags[FED] == 1
    timed = w.flags[TIMED_HOST] == 1
    taken = ZERO
    for lot in range(lots):
        bits = at(key, lot)
        spot = (bits & LOW_BITS) * np.uint64(size)
        k = spot >> SHIFT
        i = np.uint64(choice_own[k] if np.uint32(spot & LOW_BITS) < cut[k] else other[k])
        many = each + 1 if lot < more else each
        if not w.alive[i]:
            swim_on(w, body, hour, at(bits, TWO), many)
            continue
        if wary and refused(w, i, hour, at(bits, TWO)):
            continue
        carried = w.burden[i] + w.rated[i] + many
        if carried > w.watch_at[i] and full(w, i):
            continue
        w.total[LANDINGS] += many
        if timed:
            w.burden[i] += many
            w.taken_fish[taken] = i
            w.taken_many[taken] = many
            w.taken_bits[taken] = bits
            taken += 1
        else:
            w.rated[i] += many
        if carried > w.watch_at[i]:
            passed_watch(w, np.int64(i), hour)
    settle(w, hour, taken, FRESH)


@compiled
def leave_fish(w: World, hour: Whole) -> None:
    """Take off the fish what leaves in this hour or is killed, and let it fall to the bottom."""
    for group in range(w.group_alive.size):
        if w.flags[RIPEN]:
            for i in range(w.first[group], w.first[group + 1]):
                w.rated[i] += w.fish_ring[hour, i]
        left = _take_off(w, w.fish_ring, group, hour)
        body = w.where[group, hour]
        if body >= 0 and w.flags[STAGES] > 0 and not w.flags[RIPEN]:
            w.arrive[0, body] += left
        if w.flags[REMOVAL]:
            _take_off(w, w.fish_lost, group, hour)
        if w.flags[LOOK_AT_SPOTS] + w.flags[PART_LEAVES_DEAD] > 0:
            _grow_older(w, group, hour)
        if w.flags[DEATH_LAW] == BY_DAMAGE:
            for i in range(w.first[group], w.first[group + 1]):
                w.settled_sum[i] -= w.settled_ring[hour, i]
                w.settled_ring[hour, i] = 0.0


@inlined
def _take_off(w: World, ring: Array, group: Whole, hour: Whole) -> Whole:
    """Take what is due in one hour of a ring off the fish of a group; return how many."""
    row, burden = ring[hour], w.burden
    total = ZERO
    for fish in range(w.first[group], w.first[group + 1]):
        i = np.uint64(fish)
        burden[i] -= row[i]
        total += row[i]
        row[i] = 0
    return total


@compiled
def _grow_older(w: World, group: Whole, hour: Whole) -> None:
    """Take over this hour's change of the numbers old enough to be seen or to leave the dead."""
    for kind in range(w.grown.shape[0]):
        for i in range(w.first[group], w.first[group + 1]):
            w.grown[kind, i] += w.grown_ring[kind, hour, i]
            w.grown_ring[kind, hour, i] = 0
