"""Swimmers of one history: release, those that will settle on a fish, and the rest.

A released swimmer either will settle (its hour is drawn at release, then thinned by whatever
removes swimmers) or never will and only waits to die, counted when anyone looks. When fish die
the hazards change, and every swimmer alive is dealt again, which memoryless hazards allow.
"""

from __future__ import annotations

from math import exp

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.broods import OFFSPRING, SHAPE, begin_table, settling_of_one
from tankside.lifecycle.kernel.chance import at, binomial, gamma, poisson, unit
from tankside.lifecycle.kernel.clock import exposure, hour_near, hour_removed, residence, shared
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.finding import leaving_part
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
from tankside.lifecycle.kernel.positions import Released, Stream, Work

BROOD = int(Stream.BROOD)
CONTACT = int(Stream.CONTACT)
REDEAL = int(Stream.REDEAL)
BROODS = int(Released.BROODS)
SETTLING = int(Released.SETTLING)
PART = int(Released.PART)
SETTLING_SWIMMERS = int(Work.SETTLING_SWIMMERS)
LOW_BITS = np.uint64(whole_setting(2**32 - 1, "lower half of a draw"))
SHIFT = np.uint64(whole_setting(32, "upper half of a draw"))
UNIT_32 = setting(2.0**-32, "unit of a 32-bit fraction")
BROOD_BITS = whole_setting(13, "room for 8192 settling swimmers per brood in the index")
TRIES = whole_setting(256, "redraws before a settling swimmer is taken as it is")
STRIDE = whole_setting(16, "names written at once, those beyond the last are not used")
LOTS = np.int64(whole_setting(128, "lots into which a very large number is split"))
MANY = np.int64(whole_setting(512, "settling swimmers of one hour that are drawn one by one"))


@compiled
def place_settling(
    w: World, place: tuple[Whole, Whole, Whole], key: Word, lots: Whole, total: Whole
) -> None:
    """Put swimmers at the hour each settles, unless something removes it before.

    The time is drawn from the exponential of the leaving clock and accepted with the share that
    settles.

    Args:
        w: everything the loop knows; ``dealt`` holds the names of the draws.
        place: (body, hour, 1 released evenly within the hour or 0 there at its start).
        key: of the draws.
        lots: draws.
        total: swimmers, dealt evenly to the draws.
    """
    body, hour, fresh = place
    w.pending[body] += total
    clock, land, dealt, busy = w.leave_clock[body], w.land[body], w.dealt, w.busy
    table = w.swim_table
    removal = w.active[w.active.shape[0] - 1, body] == 1
    even = w.find_new[body, hour] >= w.share_top[body]
    begin, end = clock[hour], clock[land.size]
    width = (clock[hour + 1] - begin) * fresh
    speed = 1 / w.leave[body, hour]
    last, here = np.uint64(land.size - 1), np.uint64(hour)
    each, more = shared(total, lots)
    for lot in range(lots):
        bits = at(key, dealt[lot])
        many = each + 1 if lot < more else each
        part = np.float64(np.int64(bits & LOW_BITS)) * UNIT_32
        value = begin + part * width + residence(table, bits >> SHIFT)
        if not even:
            part, value = _accepted(w, place, bits, part, value)
        if removal and _is_removed(w, place, bits, (part, value, many)):
            continue
        if value < end:
            guess = here + np.uint64((value - begin) * speed)
            when = hour_near(clock, min(guess, last), value)
            land[when] += many
            busy[when] = 1


@compiled
def _accepted(
    w: World, place: tuple[Whole, Whole, Whole], bits: Word, part: Real, value: Real
) -> tuple[Real, Real]:
    """Return (part of the hour, clock value) once the share that settles then accepts it."""
    body, hour, fresh = place
    clock, share = w.leave_clock[body], w.share[body]
    begin = clock[hour]
    width = (clock[hour + 1] - begin) * fresh
    last = share.size - 1
    for _ in range(TRIES):
        when = last
        if value < clock[last]:
            guess = hour + np.int64((value - begin) / w.leave[body, hour])
            when = np.int64(hour_near(clock, np.uint64(min(guess, last)), value))
        if unit(at(bits, TWO)) * w.share_top[body] < share[when]:
            break
        bits = at(bits, ONE + TWO)
        part = np.float64(np.int64(bits & LOW_BITS)) * UNIT_32
        value = begin + part * width + residence(w.swim_table, bits >> SHIFT)
    return part, value


@inlined
def _is_removed(
    w: World, place: tuple[Whole, Whole, Whole], bits: Word, lot: tuple[Real, Real, Whole]
) -> Truth:
    """Whether something removes a swimmer before it settles; it is counted as gone then."""
    body, hour, fresh = place
    part, value, many = lot
    clock = w.leave_clock[body]
    water = w.cumulative.shape[0] - 1
    cumulative, jump = w.cumulative[water, body], w.jump[water, body]
    seen = exposure(cumulative, jump, hour, part) if fresh else cumulative[hour]
    seen += residence(w.swim_table, at(bits, ONE) >> SHIFT)
    if seen >= cumulative[jump.size]:
        return False
    when = hour_removed(cumulative, hour, seen)
    if value < clock[when + 1]:
        left = (value - clock[when]) / w.leave[body, when]
        if left < 0 or seen >= exposure(cumulative, jump, when, left):
            return False
    w.gone[body, when] += many
    return True


@compiled
def _deal(
    w: World, place: tuple[Whole, Whole, Whole], key: Word, most: Whole, total: Whole
) -> None:
    """Place swimmers in numbered draws, at most so many."""
    lots = min(total, most)
    for lot in range(lots):
        w.dealt[lot] = lot
    place_settling(w, place, key, lots, total)


@compiled
def _survival(w: World, body: Whole, since: Whole, hour: Whole) -> Real:
    """Return the chance to live until an hour, of one that never settles, from another hour."""
    loss = w.leave_clock[body, hour] - w.leave_clock[body, since]
    water = w.cumulative.shape[0] - 1
    if w.active[water + 1, body]:
        loss += w.cumulative[water, body, hour] - w.cumulative[water, body, since]
    never = (1 - w.find[body, hour]) / max(1 - w.find[body, since], UNIT_32)
    return min(exp(-loss) * never, 1.0)


@compiled
def advance_pool(w: World, body: Whole, hour: Whole) -> None:
    """Let the swimmers that never settle live on to the start of this hour."""
    since = w.pool_at[body]
    w.pool_at[body] = hour
    if w.pool[body] > 0 and hour > since:
        w.pool[body] = binomial(w.state, w.pool[body], _survival(w, body, since, hour))
    for before in range(since, hour):
        w.pending[body] -= w.gone[body, before]
        w.gone[body, before] = 0
        if w.released[body, before, BROODS] > 0:
            w.pool[body] += _never_settling(w, body, before, hour)
            w.released[body, before, BROODS] = 0.0
    for before in range(since, hour + 1):
        if w.turned[body, before] > 0:
            back = w.turned[body, before]
            w.pool[body] += binomial(w.state, back, _survival(w, body, before, hour))
            w.turned[body, before] = 0


@compiled
def _never_settling(w: World, body: Whole, since: Whole, hour: Whole) -> Whole:
    """Return how many swimmers released in one hour never settle and live until another."""
    broods = w.released[body, since, BROODS]
    settling = w.released[body, since, SETTLING]
    part = w.released[body, since, PART]
    water = w.cumulative.shape[0] - 1
    find = w.find_new[body, since] * part
    hazard = w.leave[body, since]
    loss = w.leave_clock[body, hour] - w.leave_clock[body, since + 1]
    if w.active[water + 1, body]:
        total = w.cumulative[water, body]
        hazard += total[since + 1] - total[since] - w.jump[water, body, since]
        loss += total[hour] - total[since + 1]
    alive = part * (1 - leaving_part(hazard)) * (1 - w.find[body, hour]) * exp(-loss)
    if w.values[SHAPE] > 0:
        rate = w.values[SHAPE] / max(w.values[OFFSPRING], UNIT_32) + find
        gamma_draw = gamma(w.state, w.values[SHAPE] * broods + settling) / rate
        return poisson(w.state, gamma_draw * alive)
    rest = np.int64(w.values[OFFSPRING]) * np.int64(broods) - np.int64(settling)
    return binomial(w.state, rest, min(alive / max(1 - find, UNIT_32), 1.0))


@compiled
def _settling_of_many(w: World, chance: Real, broods: Whole, state: Array) -> Whole:
    if w.values[SHAPE] > 0:
        gamma_draw = gamma(state, w.values[SHAPE] * broods) / w.values[SHAPE]
        return poisson(state, gamma_draw * w.values[OFFSPRING] * chance)
    return binomial(state, np.int64(w.values[OFFSPRING]) * broods, chance)


@compiled
def release(w: World, body: Whole, hour: Whole, broods: Whole, part: Real) -> None:
    """Release ``broods`` broods, each thinned to ``part``, in one hour of one body."""
    at_hour = hour * PLACES + body
    chance = w.find_new[body, hour] * part
    brood_key = at(w.keys[BROOD], at_hour)
    key = at(w.keys[CONTACT], at_hour)
    place = (body, hour, ONE)
    settling = ZERO
    if w.values[OFFSPRING] * chance * broods > MANY:
        settling = _settling_of_many(w, chance, broods, w.state)
        _deal(w, place, key, LOTS, settling)
    elif chance > 0:
        begin_table(w, chance)
        dealt = ZERO
        for brood in range(broods):
            many = settling_of_one(w, chance, unit(at(brood_key, brood)))
            if dealt + many + STRIDE > w.dealt.size:
                place_settling(w, place, key, dealt, dealt)
                dealt = ZERO
            for k in range(STRIDE):
                w.dealt[np.uint64(dealt + k)] = (brood << BROOD_BITS) + k
            for k in range(STRIDE, many):
                w.dealt[np.uint64(dealt + k)] = (brood << BROOD_BITS) + k
            dealt += many
            settling += many
        place_settling(w, place, key, dealt, dealt)
    w.total[SETTLING_SWIMMERS] += settling
    w.released[body, hour, BROODS] = broods
    w.released[body, hour, SETTLING] = settling
    w.released[body, hour, PART] = part


@compiled
def deal_again(w: World, body: Whole, hour: Whole) -> None:
    """Deal every swimmer alive at the start of this hour again, after hazards have changed.

    The pool must have been brought to this hour under the old hazards.
    """
    alive = w.pool[body] + w.pending[body]
    w.land[body, hour:] = 0
    w.gone[body, hour:] = 0
    w.pending[body] = 0
    settling = binomial(w.state, alive, w.find[body, hour])
    w.pool[body] = alive - settling
    key = at(w.keys[REDEAL], hour * PLACES + body)
    _deal(w, (body, hour, ZERO), key, MANY, settling)


@compiled
def swim_on(w: World, body: Whole, hour: Whole, key: Word, many: Whole) -> None:
    """Let swimmers whose fish has died go on: some will settle later, the others never."""
    later = hour + 1
    settling = ZERO
    if later < w.land.shape[1]:
        settling = binomial(w.state, many, w.find[body, later])
        _deal(w, (body, later, ZERO), key, ONE, settling)
    w.turned[body, later] += many - settling
