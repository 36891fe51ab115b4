"""How the loop is compiled: no reference counting, because it never creates an array."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from numba import njit

Body = TypeVar("Body", bound=Callable[..., Any])

INNER: dict[str, Any] = {
    "_nrt": False,
    "error_model": "numpy",
    "no_cpython_wrapper": True,
    "no_cfunc_wrapper": True,
}
OUTER: dict[str, Any] = {"_nrt": False, "error_model": "numpy", "nogil": True, "cache": True}
compiled: Callable[[Body], Body] = njit(**INNER)
inlined: Callable[[Body], Body] = njit(**INNER, forceinline=True)
door: Callable[[Body], Body] = njit(**OUTER)
