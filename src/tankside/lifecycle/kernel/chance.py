"""Random numbers by name: every draw is a hash of (seed, history, stream, hour, index).

A draw addressed by its index does not move when other draws are added or left out, so two
courses share their random numbers and more kill can only take parasites away. The generator is the
SplitMix64 finaliser; the binomial is Hoermann's transformed rejection, the gamma Marsaglia's and
Tsang's, the Poisson Hoermann's.
"""

from __future__ import annotations

from math import exp, floor, lgamma, log, log1p, sqrt

import numpy as np

from tankside.claims import cited, setting, whole_setting
from tankside.lifecycle.kernel.compiled import compiled, inlined
from tankside.lifecycle.kernel.layout import Array, Real, Whole, Word

STEP = np.uint64(whole_setting(0x9E3779B97F4A7C15, "SplitMix64 increment"))
MIX_1 = np.uint64(whole_setting(0xBF58476D1CE4E5B9, "SplitMix64 first multiplier"))
MIX_2 = np.uint64(whole_setting(0x94D049BB133111EB, "SplitMix64 second multiplier"))
S30 = np.uint64(whole_setting(30, "SplitMix64 shift"))
S27 = np.uint64(whole_setting(27, "SplitMix64 shift"))
S31 = np.uint64(whole_setting(31, "SplitMix64 shift"))
S11 = np.uint64(whole_setting(11, "keep 53 bits for a float in (0, 1)"))
UNIT_53 = setting(2.0**-53, "one unit of a 53-bit fraction")
HALF = setting(0.5, "centre of a cell")
TWO_PI = setting(6.283185307179586, "2 pi")
SMALL_MEAN = setting(10.0, "below this mean inversion is quicker than rejection")
TINY = setting(1e-300, "stop an inversion that has run out of probability")
A0 = cited(-0.0873, "hoermann_1993", "algorithm BTRS")
A1 = cited(0.0248, "hoermann_1993", "algorithm BTRS")
A2 = cited(0.01, "hoermann_1993", "algorithm BTRS")
B0 = cited(1.15, "hoermann_1993", "algorithm BTRS")
B1 = cited(2.53, "hoermann_1993", "algorithm BTRS")
V0 = cited(0.92, "hoermann_1993", "algorithm BTRS")
V1 = cited(4.2, "hoermann_1993", "algorithm BTRS")
K0 = cited(2.83, "hoermann_1993", "algorithm BTRS")
K1 = cited(5.1, "hoermann_1993", "algorithm BTRS")
SQUEEZE = cited(0.07, "hoermann_1993", "algorithm BTRS")
P_B0 = cited(0.931, "hoermann_poisson_1993", "algorithm PTRS")
P_A0 = cited(-0.059, "hoermann_poisson_1993", "algorithm PTRS")
P_A1 = cited(0.02483, "hoermann_poisson_1993", "algorithm PTRS")
P_I0 = cited(1.1239, "hoermann_poisson_1993", "algorithm PTRS")
P_I1 = cited(1.1328, "hoermann_poisson_1993", "algorithm PTRS")
P_I2 = cited(3.4, "hoermann_poisson_1993", "algorithm PTRS")
P_V0 = cited(0.9277, "hoermann_poisson_1993", "algorithm PTRS")
P_V1 = cited(3.6224, "hoermann_poisson_1993", "algorithm PTRS")
P_C = cited(0.445, "hoermann_poisson_1993", "algorithm PTRS")
P_OUT = cited(0.013, "hoermann_poisson_1993", "algorithm PTRS")
THIRD = cited(1.0 / 3.0, "marsaglia_tsang_2000", "section 2")
NINE = cited(9.0, "marsaglia_tsang_2000", "section 2")


@inlined
def mix(z: Word) -> Word:
    """Scramble 64 bits."""
    z = (z ^ (z >> S30)) * MIX_1
    z = (z ^ (z >> S27)) * MIX_2
    return z ^ (z >> S31)


@compiled
def name_key(seed: Whole, history: Whole, stream: Whole) -> Word:
    """Return the key of a named stream of one history."""
    z = mix(np.uint64(seed) * STEP + MIX_2)
    z = mix(z + np.uint64(history) * MIX_1 + STEP)
    return mix(z + (np.uint64(stream) + np.uint64(1)) * STEP)


@inlined
def at(key: Word, index: Whole) -> Word:
    """Return the 64-bit draw with this index under a key."""
    return mix(key + (np.uint64(index) + np.uint64(1)) * STEP)


@inlined
def unit(bits: Word) -> Real:
    """Return a number in (0, 1) from 64 bits."""
    return (np.float64(np.int64(bits >> S11)) + HALF) * UNIT_53


@inlined
def following(state: Array) -> Real:
    """Return the next uniform of a sequential stream kept in a one-element array."""
    state[0] = state[0] + STEP
    return unit(mix(state[0]))


@compiled
def normal(state: Array) -> Real:
    """Return a standard normal deviate."""
    return sqrt(-2 * log(following(state))) * np.cos(TWO_PI * following(state))


@compiled
def gamma(state: Array, shape: Real) -> Real:
    """Return a gamma deviate with unit scale (Marsaglia and Tsang)."""
    boost = 1.0
    if shape < 1:
        boost = following(state) ** (1 / shape)
        shape = shape + 1
    d = shape - THIRD
    c = 1 / sqrt(NINE * d)
    while True:
        x = normal(state)
        v = 1 + c * x
        if v <= 0:
            continue
        v = v * v * v
        if log(following(state)) < HALF * x * x + d - d * v + d * log(v):
            return d * v * boost


@compiled
def poisson(state: Array, mean: Real) -> Whole:
    """Return a Poisson deviate."""
    if mean <= 0:
        return 0
    if mean < SMALL_MEAN:
        left = following(state)
        term = exp(-mean)
        k = 0
        while left > term:
            left -= term
            k += 1
            term *= mean / k
            if term < TINY:
                break
        return k
    return _poisson_large(state, mean)


@compiled
def _poisson_large(state: Array, mean: Real) -> Whole:
    b = P_B0 + K_SQRT * sqrt(mean)
    a = P_A0 + P_A1 * b
    inverse = P_I0 + P_I1 / (b - P_I2)
    v_r = P_V0 - P_V1 / (b - 2)
    log_mean = log(mean)
    while True:
        u = following(state) - HALF
        v = following(state)
        us = HALF - abs(u)
        k = floor((2 * a / us + b) * u + mean + P_C)
        if us >= SQUEEZE and v <= v_r:
            return np.int64(k)
        if k < 0 or (us < P_OUT and v > us):
            continue
        if log(v * inverse / (a / (us * us) + b)) <= k * log_mean - mean - lgamma(k + 1):
            return np.int64(k)


K_SQRT = cited(2.53, "hoermann_poisson_1993", "algorithm PTRS")


@compiled
def _binomial_small(state: Array, n: Whole, p: Real) -> Whole:
    left = following(state)
    if left <= 1 - n * p:  # not more than the chance of 0, by Bernoulli's inequality
        return 0
    ratio = p / (1 - p)
    term = exp(n * log1p(-p))
    k = 0
    while left > term:
        left -= term
        k += 1
        if k > n:
            return n
        term *= (n + 1 - k) / k * ratio
        if term < TINY:
            break
    return k


@compiled
def _binomial_large(state: Array, n: Whole, p: Real) -> Whole:
    q = 1 - p
    spq = sqrt(n * p * q)
    b = B0 + B1 * spq
    a = A0 + A1 * b + A2 * p
    centre = n * p + HALF
    v_r = V0 - V1 / b
    while True:
        v = following(state)
        u = following(state) - HALF
        us = HALF - abs(u)
        k = floor((2 * a / us + b) * u + centre)
        if us >= SQUEEZE and v <= v_r:
            return np.int64(k)
        if k < 0 or k > n:
            continue
        alpha = (K0 + K1 / b) * spq
        m = floor((n + 1) * p)
        bound = lgamma(m + 1) + lgamma(n - m + 1) - lgamma(k + 1) - lgamma(n - k + 1)
        bound += (k - m) * log(p / q)
        if log(v * alpha / (a / (us * us) + b)) <= bound:
            return np.int64(k)


@compiled
def binomial(state: Array, n: Whole, p: Real) -> Whole:
    """Return an exact binomial deviate for any n and p."""
    if n <= 0 or p <= 0:
        return np.int64(0)
    if p >= 1:
        return np.int64(n)
    small = p if p <= HALF else 1 - p
    k = (
        np.int64(_binomial_small(state, n, small))
        if n * small < SMALL_MEAN
        else _binomial_large(state, n, small)
    )
    return k if p <= HALF else np.int64(n) - k
