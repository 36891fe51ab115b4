"""Stays in scaled time: draw how long, and find the hour in which a clock reaches a value."""

from __future__ import annotations

import numpy as np

from tankside.claims import setting, whole_setting
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.layout import ZERO, Array, Real, Whole, Word

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
def stay(table: Array, bits: Word) -> Real:
    """Return a stay (mean or median 1) from 32 random bits by inverse distribution."""
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
    hour = np.int64(inverse[np.int64(value * per_unit)])
    while clock[hour + 1] <= value:
        hour += 1
    return hour


@compiled
def fill_inverse(clock: Array, inverse: Array) -> Real:
    """Fill a guide table for :func:`hour_of`; return cells per unit of the clock."""
    hours = clock.size - 1
    cells = inverse.size - 1
    end = clock[hours]
    if end <= 0:
        inverse[:] = hours - 1
        return 0.0
    per_unit = cells / end
    hour = 0
    for cell in range(cells + 1):
        while hour < hours - 1 and clock[hour + 1] * per_unit <= cell:
            hour += 1
        inverse[cell] = hour
    return per_unit


@compiled
def first_above(cumulative: Array, low: Whole, high: Whole, value: Real) -> Whole:
    """Return the first hour h in [low, high) with cumulative[h + 1] > value, else high."""
    while low < high:
        middle = (low + high) // 2
        if cumulative[middle + 1] > value:
            high = middle
        else:
            low = middle + 1
    return low


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
