"""Stages on the bottom in one history: arrival, finishing, removal.

Each arrival draws the hour it will finish and, where something removes bottom stages, whether
and when it is removed before that. Siphoning and agents therefore cost nothing per hour.
"""

from __future__ import annotations

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.chance import at, unit
from tankside.lifecycle.kernel.clock import exposure, hour_of, hour_removed, residence, shared
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.layout import (
    ONE,
    PLACES,
    TWO,
    ZERO,
    Place,
    Real,
    Truth,
    Whole,
    Word,
    World,
)
from tankside.lifecycle.kernel.positions import Column, Stream, Work

BOTTOM_RESIDENCE = int(Column.BOTTOM_RESIDENCE)
ENTER = int(Stream.ENTER)
BOTTOM_ENTRIES = int(Work.BOTTOM_ENTRIES)
LOW_BITS = np.uint64(whole_setting(2**32 - 1, "lower half of a draw"))
SHIFT = np.uint64(whole_setting(32, "upper half of a draw"))
UNIT_32 = setting(2.0**-32, "unit of a 32-bit fraction")
MANY = whole_setting(128, "arrivals of one hour that are drawn one by one")


@compiled
def enter(w: World, place: Place, key: Word, total: Whole, aged: Whole) -> None:
    """Let individuals enter a bottom stage.

    Args:
        w: everything the loop knows.
        place: (stage, body, hour).
        key: of the draws.
        total: individuals; very many share draws.
        aged: 1 if they are at any part of their residence, 0 at its beginning.
    """
    stage, body, hour = place
    clock, inverse = w.low_clock[stage, body], w.low_inverse[stage, body]
    per_unit = w.low_per[stage, body]
    ring, busy = w.low_ring[stage, body], w.busy
    removal = w.active[1 + stage, body] == 1
    hours = ring.size
    begin, end = clock[hour], clock[hours]
    width = clock[hour + 1] - begin
    middle = w.values[BOTTOM_RESIDENCE + stage]
    lots = total if aged else min(total, MANY)
    each, more = shared(total, lots)
    w.low_count[stage, body] += total
    for lot in range(lots):
        many = each + 1 if lot < more else each
        bits = at(key, lot)
        part = np.float64(np.int64(bits & LOW_BITS)) * UNIT_32
        length = residence(w.table[1 + stage], bits >> SHIFT) * middle
        if aged:
            part = part * 0
            length *= 1 - unit(at(bits, TWO))
        value = begin + part * width + length
        if removal and _is_removed(w, place, bits, (part, value, many)):
            continue
        if value < end:
            when = hour_of(clock, inverse, per_unit, value)
            ring[when] += many
            busy[when] = 1


@inlined
def _is_removed(w: World, place: Place, bits: Word, lot: tuple[Real, Real, Whole]) -> Truth:
    """Whether something removes an individual before its residence ends; it is lost then."""
    stage, body, hour = place
    part, value, many = lot
    clock = w.low_clock[stage, body]
    cumulative, jump = w.cumulative[stage, body], w.jump[stage, body]
    seen = exposure(cumulative, jump, hour, part) + residence(w.swim_table, at(bits, ONE) >> SHIFT)
    if seen >= cumulative[jump.size]:
        return False
    when = hour_removed(cumulative, hour, seen)
    if value < clock[when + 1]:
        width = clock[when + 1] - clock[when]
        left = (value - clock[when]) / width
        if left < 0 or seen >= exposure(cumulative, jump, when, left):
            return False
    w.low_lost[stage, body, when] += many
    w.busy[when] = 1
    return True


@compiled
def arrive(w: World, place: Place) -> None:
    """Let everything that arrived in this hour enter a bottom stage."""
    stage, body, hour = place
    number = w.arrive[stage, body]
    w.arrive[stage, body] = 0
    w.total[BOTTOM_ENTRIES] += number
    slot = (hour * PLACES + body) * PLACES + stage
    enter(w, place, at(w.keys[ENTER], slot), number, ZERO)


@compiled
def finish(w: World, place: Place) -> Whole:
    """Take out what finishes or is removed in this hour; return how many finish."""
    stage, body, hour = place
    done = w.low_ring[stage, body, hour]
    w.low_ring[stage, body, hour] = 0
    w.low_count[stage, body] -= done + w.low_lost[stage, body, hour]
    w.low_lost[stage, body, hour] = 0
    return np.int64(done)
