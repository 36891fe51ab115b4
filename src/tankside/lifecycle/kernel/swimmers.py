"""Swimmers of one history: release, those that will settle on a fish, and the rest.

A released swimmer either will settle (its hour is drawn at release, then thinned by whatever
removes swimmers) or never will and only waits in the pool to die. When fish die the hazards
change, and every swimmer alive is dealt again, which memoryless hazards allow.
"""

from __future__ import annotations

from math import exp, log

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.bottom import removed_before
from tankside.lifecycle.kernel.chance import (
    at,
    binomial,
    binomial_inverse_from,
    binomial_none,
    gamma,
    negative_binomial_inverse_from,
    negative_binomial_none,
    poisson,
    unit,
)
from tankside.lifecycle.kernel.clock import hour_of, stay
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.finding import leaving_part
from tankside.lifecycle.kernel.layout import (
    ONE,
    PLACES,
    ZERO,
    Array,
    Column,
    Real,
    Whole,
    Word,
    World,
)

OFFSPRING = int(Column.OFFSPRING)
SHAPE = int(Column.OFFSPRING_SHAPE)
BROOD, CONTACT, CAUGHT, REDEAL = range(
    whole_setting(4, "first stream"), whole_setting(8, "last stream and one")
)
LOW_BITS = np.uint64(whole_setting(2**32 - 1, "lower half of a draw"))
SHIFT = np.uint64(whole_setting(32, "upper half of a draw"))
UNIT_32 = setting(2.0**-32, "unit of a 32-bit fraction")
BROOD_BITS = whole_setting(13, "room for 8192 settling swimmers per brood in the index")
TRIES = whole_setting(256, "redraws before a settling swimmer is put into its own hour")
LOTS = whole_setting(128, "lots into which a very large number is split")
MANY = whole_setting(512, "settling swimmers of one hour that are drawn one by one")


@inlined
def settle_hour(
    w: World, body: Whole, hour: Whole, key: Word, fresh: Whole
) -> tuple[Whole, Real, Real]:
    """Return (hour, exact clock value, start clock value) at which a swimmer settles.

    Drawn from the exponential of the leaving clock; accepted with the share that settles.
    """
    clock = w.leave_clock[body]
    hours = clock.size - 1
    top = w.share_top[body]
    start = 0.0
    for turn in range(TRIES):
        bits = at(key, turn)
        if turn == 0:
            place = np.float64(np.int64(bits & LOW_BITS)) * UNIT_32
            start = clock[hour] + (place * w.leave[body, hour] if fresh == 1 else 0.0)
        value = start + stay(w.swim_table, bits >> SHIFT)
        when = hours
        share = w.share[body, hours - 1]
        if value < clock[hours]:
            when = hour_of(clock, w.leave_inverse[body], w.leave_per[body], value)
            share = w.share[body, when]
        if share >= top or unit(at(key, TRIES + turn)) * top < share:
            return when, value, start
    return hour, start, start


@inlined
def place_settling(
    w: World, body: Whole, hour: Whole, key: Word, many: Whole, fresh: Whole
) -> None:
    """Put ``many`` swimmers that share one draw at the hour they settle or are removed.

    ``fresh`` swimmers are released evenly within the hour, others are there at its start.
    """
    when, value, start = settle_hour(w, body, hour, key, fresh)
    w.pending[body] += many
    hours = w.land.shape[1]
    if w.active[w.active.shape[0] - 1, body]:
        leave = w.leave[body]
        clock = w.leave_clock[body]
        part = (start - clock[hour]) / leave[hour]
        part_until = (value - clock[when]) / leave[when] if when < hours else 0.0
        luck = -log(unit(at(key, -ONE)))
        water = w.cumulative.shape[0] - 1
        gone = removed_before(
            w.cumulative[water, body],
            w.jump[water, body],
            hour,
            part,
            when,
            part_until,
            luck,
        )
        if gone >= 0:
            w.gone[body, gone] += many
            return
    if when < hours:
        w.land[body, when] += many


@compiled
def advance_pool(w: World, body: Whole, hour: Whole, state: Array) -> None:
    """Let the swimmers that never settle live on to the start of this hour."""
    since = w.pool_at[body]
    w.pool_at[body] = hour
    if w.pool[body] == 0 or hour <= since:
        return
    loss = w.leave_clock[body, hour] - w.leave_clock[body, since]
    water = w.cumulative.shape[0] - 1
    if w.active[water + 1, body]:
        loss += w.cumulative[water, body, hour] - w.cumulative[water, body, since]
    never = (1 - w.find[body, hour]) / max(1 - w.find[body, since], UNIT_32)
    w.pool[body] = binomial(state, w.pool[body], min(exp(-loss) * never, 1.0))


@compiled
def never_settling(
    w: World, body: Whole, hour: Whole, release: tuple[Whole, Whole, Real], state: Array
) -> Whole:
    """Return how many swimmers of this hour will never settle and outlive the hour.

    ``release`` holds (broods, settling so far, share of each brood released).
    """
    broods, settling, part = release
    water = w.cumulative.shape[0] - 1
    find = w.find_new[body, hour]
    hazard = w.leave[body, hour]
    if w.active[water + 1, body]:
        total = w.cumulative[water, body]
        hazard += total[hour + 1] - total[hour] - w.jump[water, body, hour]
    alive = part * (1 - leaving_part(hazard)) * (1 - w.find[body, hour + 1])
    if w.values[SHAPE] > 0:
        rate = w.values[SHAPE] / max(w.values[OFFSPRING], UNIT_32) + find * part
        luck = gamma(state, w.values[SHAPE] * broods + settling) / rate
        return poisson(state, luck * alive)
    rest = np.int64(w.values[OFFSPRING]) * broods - settling
    return binomial(state, rest, min(alive / max(1 - find * part, UNIT_32), 1.0))


@compiled
def brood_none(w: World, chance: Real) -> Real:
    """Return where the law of settling of one brood begins, the same for all broods of an hour."""
    if w.values[SHAPE] > 0:
        return negative_binomial_none(w.values[OFFSPRING] * chance, w.values[SHAPE])
    return binomial_none(np.int64(w.values[OFFSPRING]), chance)


@compiled
def brood_settling(w: World, chance: Real, none: Real, luck: Real) -> Whole:
    """Return how many of one brood will settle, as a quantile of its law."""
    if w.values[SHAPE] > 0:
        mean = w.values[OFFSPRING] * chance
        if mean <= 0:
            return ZERO
        return negative_binomial_inverse_from(none, luck, mean, w.values[SHAPE])
    number = np.int64(w.values[OFFSPRING])
    if number <= 0 or chance >= 1:
        return number
    return binomial_inverse_from(none, luck, number, chance)


@compiled
def _settling_of_many(w: World, chance: Real, broods: Whole, state: Array) -> Whole:
    if w.values[SHAPE] > 0:
        luck = gamma(state, w.values[SHAPE] * broods) / w.values[SHAPE]
        return poisson(state, luck * w.values[OFFSPRING] * chance)
    return binomial(state, np.int64(w.values[OFFSPRING]) * broods, chance)


@compiled
def spread_many(w: World, body: Whole, hour: Whole, key: Word, total: Whole) -> None:
    """Place a very large number of settling swimmers in equal lots (means stay exact)."""
    lots = LOTS
    for lot in range(lots):
        many = total // lots + (1 if lot < total % lots else 0)
        if many > 0:
            place_settling(w, body, hour, at(key, lot), many, ONE)


@compiled
def release(w: World, body: Whole, hour: Whole, broods: Whole, part: Real) -> None:
    """Release ``broods`` broods, each thinned to ``part``, in one hour of one body."""
    place = hour * PLACES + body
    chance = w.find_new[body, hour] * part
    brood_key = at(w.keys[BROOD], place)
    key = at(w.keys[CONTACT], place)
    settling = ZERO
    if w.values[OFFSPRING] * chance * broods > MANY:
        settling = _settling_of_many(w, chance, broods, w.state)
        spread_many(w, body, hour, key, settling)
    elif chance > 0:
        none = brood_none(w, chance)
        for brood in range(broods):
            many = brood_settling(w, chance, none, unit(at(brood_key, brood)))
            for one in range(many):
                index = (brood << BROOD_BITS) + one
                place_settling(w, body, hour, at(key, index), ONE, ONE)
            settling += many
    w.total[2] += settling
    advance_pool(w, body, hour + 1, w.state)
    w.pool[body] += never_settling(w, body, hour, (broods, settling, part), w.state)


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
    lots = min(settling, MANY)
    for lot in range(lots):
        many = settling // lots + (1 if lot < settling % lots else 0)
        place_settling(w, body, hour, at(key, lot), many, ZERO)


@compiled
def swim_on(w: World, body: Whole, hour: Whole, key: Word, many: Whole) -> None:
    """Let swimmers whose fish has died go on: some will settle later, the others never."""
    settling = binomial(w.state, many, w.find[body, hour + 1])
    w.pool[body] += many - settling
    if settling > 0:
        place_settling(w, body, min(hour + 1, w.land.shape[1] - 1), key, settling, ZERO)
