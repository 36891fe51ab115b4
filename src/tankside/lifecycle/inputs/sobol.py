"""Scrambled Sobol points: fill a cube more evenly than chance.

The same points as ``scipy.stats.qmc.Sobol``, whose package takes half a second to load.
Sobol's sequence in the order of Antonov and Saleev (1979), with the direction numbers of Joe and
Kuo (2008), scrambled by a random lower-triangular matrix and a random shift (Matousek 1998).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tankside.claims import whole_setting
from tankside.lifecycle.inputs.sobol_directions import ROWS
from tankside.lifecycle.inputs.types import Floats

BITS = whole_setting(30, "binary digits of a point")
LINES = ROWS.split("\n")[1:-1]
TABLED = len(LINES) + 1
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
    if dimensions > TABLED:
        from scipy.stats import qmc

        power = int(np.ceil(np.log2(rows)))
        return np.asarray(qmc.Sobol(dimensions, seed=seed).random_base2(power)[:rows])
    chance = np.random.default_rng(seed)
    digits = chance.integers(0, 2, (dimensions, BITS), np.uint32)
    shift = digits @ (np.uint32(1) << np.arange(BITS, dtype=np.uint32))
    lower = np.tril(chance.integers(0, 2, (dimensions, BITS, BITS), np.uint32))
    vectors = _scrambled(_vectors()[:dimensions], lower)
    # Point n differs from point n - 1 by the vector of the lowest binary digit set in n.
    number = np.arange(1, rows, dtype=np.int64)
    lowest = np.bitwise_count((number & -number) - 1)
    steps = np.concatenate([shift[np.newaxis], vectors[:, lowest].T])
    return np.asarray(np.bitwise_xor.accumulate(steps, axis=0) * 2.0**-BITS)


@lru_cache(maxsize=1)
def _vectors() -> Words:
    """Return the direction vectors of each dimension, the first digit highest."""
    table = np.ones((TABLED, BITS), dtype=np.uint32)
    for vector, line in zip(table[1:], LINES, strict=True):
        polynomial, *first = (int(word) for word in line.split())
        degree = len(first)
        taps = [k for k in range(1, degree + 1) if polynomial >> (degree - k) & 1]
        values = [*first, *[0] * (BITS - degree)]
        for j in range(degree, BITS):
            values[j] = values[j - degree]
            for k in taps:
                values[j] ^= values[j - k] << k
        vector[:] = values
    return table << np.arange(BITS, dtype=np.uint32)[::-1]


def _scrambled(vectors: Words, lower: Words) -> Words:
    """Multiply the binary digits of each vector by a matrix with ones on the diagonal."""
    places = np.arange(BITS, dtype=np.uint32)[::-1]
    digits = vectors[:, :, np.newaxis] >> places & np.uint32(1)
    np.einsum("dii->di", lower)[:] = 1
    # Counts of at most 30: exact in single precision, which has a fast product.
    counts = digits.astype(np.float32) @ lower.transpose(0, 2, 1).astype(np.float32)
    mixed = counts.astype(np.uint32) & np.uint32(1)
    return np.asarray((mixed << places).sum(axis=2, dtype=np.uint32))
