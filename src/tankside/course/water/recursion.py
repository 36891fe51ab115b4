"""Solve first-order recursions for many series at once, by forward substitution."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def recur(keep: Floats, gain: Floats) -> Floats:
    """Solve ``x[h] = keep[h] * x[h - 1] + gain[h]`` along the last axis.

    The recursion is a unit lower bidiagonal system; forward substitution is the plain loop, run
    by LAPACK over all series at once. ``keep[..., 0]`` is taken as 0, so ``gain[..., 0]`` holds
    the first value.

    Args:
        keep: share of the previous value that remains, shape (..., hours).
        gain: what is added, same shape. All values must be finite.

    Returns:
        The series, same shape.
    """
    from scipy.linalg.lapack import dtbtrs

    size = gain.size
    band = np.empty((2, size), order="F")
    band[0] = 1.0
    lower = band[1].reshape(gain.shape)
    np.negative(keep[..., 1:], out=lower[..., :-1])
    lower[..., -1] = 0.0
    solved, problem = dtbtrs(band, gain.reshape(size, 1), uplo="L", diag="U")
    if problem:
        raise ArithmeticError(f"recursion could not be solved: LAPACK info {problem}")
    answer: Floats = solved.reshape(gain.shape)
    return answer
