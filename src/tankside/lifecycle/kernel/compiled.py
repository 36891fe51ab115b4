"""How the loop is compiled: no reference counting, because it never creates an array."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar, cast

import numba
from numba import njit

from tankside.lifecycle.kernel import kept

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


class Made(NamedTuple):
    """A function as machine code, and why it could not be kept for the next start (or "")."""

    call: Callable[..., None]
    not_kept: str


def ready(function: Handle, kinds: tuple[Handle, ...], stamp: int) -> Made:
    """Return a function of :data:`door` as machine code, kept from before or made now.

    Args:
        function: what is called from outside.
        kinds: types of its arguments.
        stamp: changes with the source of everything it calls.
    """
    if "pipeline_class" not in OUTER:
        # The usual code refers to the compiler's own helpers, which must be set up first.
        function.targetctx.refresh()
    code = kept.fetch(function, kinds, stamp)
    if code is not None:
        return Made(code.entry_point, "")
    function.compile(kinds)
    return Made(cast("Callable[..., None]", function), kept.keep(function, kinds, stamp))
