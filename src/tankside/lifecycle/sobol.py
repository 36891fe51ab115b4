"""Scrambled Sobol points: fill a cube more evenly than chance.

The same points as ``scipy.stats.qmc.Sobol``, whose package takes half a second to load.
Sobol's sequence in the order of Antonov and Saleev (1979), with the direction numbers of Joe and
Kuo (2008), scrambled by a random lower-triangular matrix and a random shift (Matousek 1998).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tankside.claims import whole_setting
from tankside.lifecycle.directions import ROWS
from tankside.lifecycle.types import Floats

BITS = whole_setting(30, "binary digits of a point")
Words = NDArray[np.uint32]


def sobol(dimensions: int, rows: int, seed: int) -> Floats:
    """Return the first rows of a scrambled Sobol sequence, strictly inside (0, 1).

    Args:
        dimensions: of the cube; beyond the 128 of the table the package is loaded after all.
        rows: points wanted, at most 2 to the 30.
        seed: of the scrambling.
    """
    edge = np.finfo(np.float64).eps
    return np.clip(_points(dimensions, rows, seed), edge, 1 - edge)


def _points(dimensions: int, rows: int, seed: int) -> Floats:
    given = [[int(word) for word in line.split()] for line in ROWS.split("\n") if line]
    if dimensions > len(given) + 1:
        from scipy.stats import qmc

        power = int(np.ceil(np.log2(rows)))
        return np.asarray(qmc.Sobol(dimensions, seed=seed).random_base2(power)[:rows])
    chance = np.random.default_rng(seed)
    digits = chance.integers(0, 2, (dimensions, BITS), np.uint32)
    shift = digits @ (np.uint32(1) << np.arange(BITS, dtype=np.uint32))
    lower = np.tril(chance.integers(0, 2, (dimensions, BITS, BITS), np.uint32))
    vectors = _scrambled(_vectors(given[: dimensions - 1]), lower)
    # Point n differs from point n - 1 by the vector of the lowest binary digit set in n.
    number = np.arange(1, rows, dtype=np.int64)
    lowest = np.bitwise_count((number & -number) - 1)
    steps = np.concatenate([shift[np.newaxis], vectors[:, lowest].T])
    return np.asarray(np.bitwise_xor.accumulate(steps, axis=0) * 2.0**-BITS)


def _vectors(given: list[list[int]]) -> Words:
    """Return the direction vectors of each dimension, the first digit highest."""
    table = np.ones((len(given) + 1, BITS), dtype=np.uint32)
    for vector, (polynomial, *first) in zip(table[1:], given, strict=True):
        degree = len(first)
        taps = [k for k in range(1, degree + 1) if polynomial >> (degree - k) & 1]
        vector[:degree] = first
        for j in range(degree, BITS):
            vector[j] = vector[j - degree]
            for k in taps:
                vector[j] ^= vector[j - k] << np.uint32(k)
    return table << np.arange(BITS, dtype=np.uint32)[::-1]


def _scrambled(vectors: Words, lower: Words) -> Words:
    """Multiply the binary digits of each vector by a matrix with ones on the diagonal."""
    places = np.arange(BITS, dtype=np.uint32)[::-1]
    digits = vectors[:, :, np.newaxis] >> places & np.uint32(1)
    np.einsum("dii->di", lower)[:] = 1
    mixed = digits @ lower.transpose(0, 2, 1) & np.uint32(1)
    return np.asarray((mixed << places).sum(axis=2, dtype=np.uint32))
