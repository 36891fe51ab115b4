"""Residence in scaled time: draw how long, and find the hour in which a clock reaches a value."""

from __future__ import annotations

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.layout import ONE, ZERO, Array, Real, Whole, Word

NEAR = np.uint64(whole_setting(8, "hours compared at once before a search"))
UNIT = np.uint64(1)  # positions in tables are unsigned, which spares a test at every use
CELLS = whole_setting(1024, "cells of a quantile table; its two end cells have tables of their own")
LOW_TABLE = CELLS + 1
HIGH_TABLE = 2 * CELLS + 2
MAIN_SHIFT = np.uint64(whole_setting(22, "32 bits less the 10 that choose a cell"))
MAIN_MASK = np.uint64(whole_setting(2**22 - 1, "bits below the cell"))
MAIN_UNIT = setting(2.0**-22, "unit of those bits")
FINE_SHIFT = np.uint64(whole_setting(12, "the next 10 bits choose a fine cell"))
FINE_MASK = np.uint64(whole_setting(1023, "10 bits"))
REST_MASK = np.uint64(whole_setting(4095, "12 bits are left"))
REST_UNIT = setting(2.0**-12, "unit of those bits")


@inlined
def residence(table: Array, bits: Word) -> Real:
    """Return a residence time (mean or median 1) from 32 random bits by inverse distribution."""
    cell = np.int64(bits >> MAIN_SHIFT)
    rest = np.float64(np.int64(bits & MAIN_MASK)) * MAIN_UNIT
    if cell == 0 or cell == CELLS - 1:
        rest = np.float64(np.int64(bits & REST_MASK)) * REST_UNIT
        fine = np.int64((bits >> FINE_SHIFT) & FINE_MASK)
        cell = LOW_TABLE + fine if cell == 0 else HIGH_TABLE + fine
    return table[cell] + rest * (table[cell + 1] - table[cell])


@inlined
def hour_of(clock: Array, inverse: Array, per_unit: Real, value: Real) -> Whole:
    """Return the hour in which a non-decreasing clock passes a value below its last."""
    hour = np.uint64(inverse[np.uint64(value * per_unit)])
    hour += np.uint64(clock[hour + UNIT] <= value)
    while clock[hour + UNIT] <= value:
        hour += UNIT
    return hour


@inlined
def hour_near(clock: Array, guess: Whole, value: Real) -> Whole:
    """Return the hour in which a rising clock passes a value below its last, from a guess."""
    while clock[guess] > value:
        guess -= UNIT
    while clock[guess + UNIT] <= value:
        guess += UNIT
    return guess


@inlined
def exposure(cumulative: Array, jump: Array, hour: Whole, part: Real) -> Real:
    """Return the hazard added up to a part of an hour, whose jump comes at its start."""
    after = cumulative[hour] + jump[hour]
    return after + part * (cumulative[hour + 1] - after)


@compiled
def hour_removed(cumulative: Array, hour: Whole, value: Real) -> Whole:
    """Return the first hour from this one on whose end is above a value that is passed later."""
    low = np.uint64(hour)
    last = np.uint64(cumulative.size - 2)
    if low + NEAR <= last:
        passed = ZERO
        for ahead in range(NEAR):
            passed += cumulative[low + UNIT + np.uint64(ahead)] <= value
        low += np.uint64(passed)
        if passed < np.int64(NEAR):
            return np.int64(low)
    step = UNIT
    high = low
    while cumulative[high + UNIT] <= value:
        low = high + UNIT
        high = min(high + step, last)
        step += step
    while low < high:
        middle = (low + high) >> UNIT
        if cumulative[middle + UNIT] > value:
            high = middle
        else:
            low = middle + UNIT
    return np.int64(low)


@inlined
def shared(total: Whole, lots: Whole) -> tuple[Whole, Whole]:
    """Return how many each of so many lots has, and how many lots have one more."""
    if total == lots:
        return ONE, ZERO
    return total // lots, total % lots


@compiled
def first_at_least(clock: Array, value: Real) -> Whole:
    """Return the first position at which a non-decreasing clock reaches ``value``, or its size."""
    low = ZERO
    high = ZERO + clock.size
    while low < high:
        middle = (low + high) // 2
        if clock[middle] < value:
            low = middle + 1
        else:
            high = middle
    return low
