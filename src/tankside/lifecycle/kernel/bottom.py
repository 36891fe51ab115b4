"""Stages on the bottom in one history: arrival, finishing, removal.

Each arrival draws the hour it will finish and, where something removes bottom stages, whether
and when it is removed before that. Siphoning and agents therefore cost nothing per hour.
"""

from __future__ import annotations

from math import log

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.chance import at, unit
from tankside.lifecycle.kernel.clock import first_above, hour_of, stay
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.layout import (
    ONE,
    PLACES,
    ZERO,
    Array,
    Column,
    Place,
    Real,
    Whole,
    Word,
    World,
)

BOTTOM_STAY = int(Column.BOTTOM_STAY)
ENTER, ENTER_LUCK = range(
    whole_setting(8, "first stream"), whole_setting(10, "last stream and one")
)
LOW_BITS = np.uint64(whole_setting(2**32 - 1, "lower half of a draw"))
SHIFT = np.uint64(whole_setting(32, "upper half of a draw"))
UNIT_32 = setting(2.0**-32, "unit of a 32-bit fraction")
MANY = whole_setting(128, "arrivals of one hour that are drawn one by one")


@compiled
def removed_before(
    cumulative: Array,
    jump: Array,
    hour: Whole,
    part: Real,
    until: Whole,
    part_until: Real,
    luck: Real,
) -> Whole:
    """Return the hour at which something present from (hour, part) is removed, or -1.

    ``until`` and ``part_until`` are the hour and position at which it would leave by itself.
    """
    hours = jump.size
    after = cumulative[hour] + jump[hour]
    begin = after + part * (cumulative[hour + 1] - after)
    if until >= hours:
        end = cumulative[hours]
    else:
        if until > hour:
            after = cumulative[until] + jump[until]
        end = after + part_until * (cumulative[until + 1] - after)
    if begin + luck >= end:
        return -1
    return first_above(cumulative, hour, min(until, hours - 1), begin + luck)


@inlined
def enter_one(w: World, place: Place, start: Real, key: Word, many: Whole) -> None:
    """Let ``many`` individuals sharing one draw enter a bottom stage.

    Args:
        w: everything the loop knows.
        place: (stage, body, hour).
        start: share of the stay already over, or -1 for a fresh arrival.
        key: of the draw.
        many: individuals.
    """
    stage, body, hour = place
    clock = w.low_clock[stage, body]
    hours = clock.size - 1
    bits = at(key, ZERO)
    part: Real = np.float64(np.int64(bits & LOW_BITS)) * UNIT_32
    length = stay(w.table[1 + stage], bits >> SHIFT) * w.values[BOTTOM_STAY + stage]
    if start >= 0:
        length *= 1 - start
        part = 0.0
    value = clock[hour] + part * (clock[hour + 1] - clock[hour]) + length
    when = hours
    part_until = 0.0
    if value < clock[hours]:
        when = hour_of(clock, w.low_inverse[stage, body], w.low_per[stage, body], value)
        part_until = (value - clock[when]) / (clock[when + 1] - clock[when])
    w.low_count[stage, body] += many
    if w.active[1 + stage, body]:
        luck = -log(unit(at(key, ONE)))
        total = w.cumulative[stage, body]
        jump = w.jump[stage, body]
        gone = removed_before(total, jump, hour, part, when, part_until, luck)
        if gone >= 0:
            w.low_lost[stage, body, gone] += many
            return
    if when < hours:
        w.low_ring[stage, body, when] += many


@compiled
def enter(w: World, place: Place) -> None:
    """Let everything that arrived in this hour enter a bottom stage."""
    stage, body, hour = place
    number = w.arrive[stage, body]
    w.arrive[stage, body] = 0
    w.total[1] += number
    slot = (hour * PLACES + body) * PLACES + stage
    key = at(w.keys[ENTER], slot)
    lots = min(number, MANY)
    for lot in range(lots):
        many = number // lots + (1 if lot < number % lots else 0)
        enter_one(w, place, -1.0, at(key, lot), many)


@compiled
def finish(w: World, place: Place) -> Whole:
    """Take out what finishes or is removed in this hour; return how many finish."""
    stage, body, hour = place
    done = w.low_ring[stage, body, hour]
    w.low_ring[stage, body, hour] = 0
    w.low_count[stage, body] -= done + w.low_lost[stage, body, hour]
    w.low_lost[stage, body, hour] = 0
    return np.int64(done)
