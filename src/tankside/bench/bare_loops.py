"""Bare loops to measure the life-cycle loop against: a draw, a draw by alias, a whole event.

Imported only by the measurement, because it needs the compiler.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import numpy as np
from numba import njit

from tankside.lifecycle.kernel.chance import at
from tankside.lifecycle.kernel.clock import hour_of, residence

S23, S41, S17, S45, S19 = (np.uint64(n) for n in (23, 41, 17, 45, 19))
LOW = np.uint64(2**32 - 1)
SHIFT = np.uint64(32)
PLACE = np.int64(1023)
Array = Any
Word = Any
Body = TypeVar("Body", bound=Callable[..., Any])
OPTIONS: dict[str, Any] = {"cache": False}
compiled: Callable[[Body], Body] = njit(**OPTIONS)


@compiled
def xoshiro(s0: Word, s1: Word, s2: Word, s3: Word) -> tuple[Word, Word, Word, Word, Word]:
    """Return 64 bits of xoshiro256++ (Blackman and Vigna 2021) and the next state."""
    x = s0 + s3
    bits = ((x << S23) | (x >> S41)) + s0
    t = s1 << S17
    s2 ^= s0
    s3 ^= s1
    s1 ^= s2
    s0 ^= s3
    s2 ^= t
    s3 = (s3 << S45) | (s3 >> S19)
    return bits, s0, s1, s2, s3


@compiled
def draws(number: int) -> Array:
    """Draw numbers and fold them together."""
    s0, s1, s2, s3 = np.uint64(1), np.uint64(2), np.uint64(3), np.uint64(4)
    folded = np.uint64(0)
    for _ in range(number):
        bits, s0, s1, s2, s3 = xoshiro(s0, s1, s2, s3)
        folded ^= bits
    return folded


@compiled
def alias_draws(number: int, cut: Array, other: Array) -> Array:
    """Draw cells of a discrete distribution by Walker's alias method."""
    s0, s1, s2, s3 = np.uint64(1), np.uint64(2), np.uint64(3), np.uint64(4)
    cells = np.uint64(cut.size)
    folded = np.int64(0)
    for _ in range(number):
        bits, s0, s1, s2, s3 = xoshiro(s0, s1, s2, s3)
        cell = np.int64(((bits & LOW) * cells) >> SHIFT)
        folded += cell if np.uint32(bits >> SHIFT) < cut[cell] else other[cell]
    return folded


@compiled
def events(number: int, table: Array, clock: Array, guide: Array, ring: Array) -> Array:
    """Choose a fish, draw a residence time, find its last hour, add two counts; nothing else."""
    fish = ring.shape[1]
    hours = clock.size - 1
    burden = np.zeros(fish, np.int64)
    per_unit = (guide.size - 1) / clock[hours]
    key = np.uint64(12345)
    mean = clock[hours] / 6
    for k in range(number):
        hour = (k // 30) % (hours // 2)
        bits = at(key, k)
        spot = (bits & LOW) * np.uint64(fish)
        i = np.int64(spot >> SHIFT)
        part = np.float64(np.int64(spot) & PLACE) / 1024
        begin = clock[hour] + part * (clock[hour + 1] - clock[hour])
        value = begin + mean * residence(table, bits >> SHIFT)
        burden[i] += 1
        if value < clock[hours]:
            ring[hour_of(clock, guide, per_unit, value), i] += 1
    return burden.sum()
