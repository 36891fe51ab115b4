"""How the loop is compiled: no reference counting, because it never creates an array."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba
from numba import njit

Body = TypeVar("Body", bound=Callable[..., Any])
Handle = Any

INNER: dict[str, Any] = {
    "_nrt": False,
    "error_model": "numpy",
    "no_cpython_wrapper": True,
    "no_cfunc_wrapper": True,
}
OUTER: dict[str, Any] = {
    "_nrt": False,
    "error_model": "numpy",
    "nogil": True,
    "cache": True,
    "no_cfunc_wrapper": True,
}
# Our own steps reach into the compiler, so only the version they were tested with takes them;
# with any other the same loop is compiled the usual way, in twice the time.
STEPS_TESTED_WITH = "0.68."
if numba.__version__.startswith(STEPS_TESTED_WITH):
    from tankside.lifecycle.kernel.pipeline import PartCompiler, WholeCompiler

    INNER["pipeline_class"] = PartCompiler
    OUTER["pipeline_class"] = WholeCompiler
compiled: Callable[[Body], Body] = njit(**INNER)
inlined: Callable[[Body], Body] = njit(**INNER, forceinline=True)
door: Callable[[Body], Body] = njit(**OUTER)


def ready(function: Handle, kinds: tuple[Handle, ...]) -> Callable[..., None]:
    """Return a function of :data:`door` as machine code, kept from before or made now.

    Code that was kept is fetched past the compiler's own way, which would first set up its tables
    of everything it can compile.
    """
    if "pipeline_class" in OUTER:
        kept = function._cache._load_overload(kinds, function.targetctx)
        if kept is not None:
            entry: Callable[..., None] = kept.entry_point
            return entry
    function.compile(kinds)
    return cast("Callable[..., None]", function)
