"""Fetch the compiled loop, compiling it on first use."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from hashlib import sha256
from importlib.util import find_spec
from pkgutil import iter_modules
from typing import TYPE_CHECKING, Any

from tankside.claims import whole_setting

if TYPE_CHECKING:
    from tankside.lifecycle.kernel.compiled import Made

STAMP_BYTES = whole_setting(7, "a stamp that fits a signed 64-bit number")
PACKAGE = __name__.rpartition(".")[0]
TOLD = "compiling the life cycle, on first use only"
NOT_KEPT = "compiled code could not be kept ({}), so the next start compiles again"
Progress = Callable[[str, int, int], None]
Handle = Any


def prepare(progress: Progress | None = None) -> None:
    """Have the compiled loop at hand.

    Args:
        progress: told before and after, when the loop must be compiled; not when it was kept.
    """
    if progress is None or _made.cache_info().currsize:
        _made()
        return
    with _collector_paused():
        from numba.core.event import install_listener

        listener = _listener(progress)
        with install_listener("numba:compile", listener):
            not_kept = _made().not_kept
    if listener.begun:
        progress(TOLD, 1, 1)
    if not_kept:
        progress(NOT_KEPT.format(not_kept), 1, 1)


def _listener(tell: Progress) -> Handle:
    """Return what hears the compiler begin, and tells it once."""
    from numba.core.event import Event, Listener

    class CompileListener(Listener):
        """Told of every function; the first one counts."""

        begun = False

        def on_start(self, event: Event) -> None:
            """Tell it once."""
            if not self.begun:
                tell(TOLD, 0, 1)
            self.begun = True

        def on_end(self, event: Event) -> None:
            """Leave it: the loop ends last."""

    return CompileListener()


def loop() -> Callable[..., None]:
    """Return the compiled loop over histories."""
    return _made().call


@lru_cache(maxsize=1)
def _made() -> Made:
    """Have the loop compiled; the compiler is imported here and not before."""
    with _collector_paused():
        from numba import types

        from tankside.lifecycle.kernel.compiled import ready
        from tankside.lifecycle.kernel.history import run_rows
        from tankside.lifecycle.kernel.world import WORLD

        return ready(run_rows, (WORLD, types.int64[::1], types.int64), source_stamp())


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Leave garbage for later: a compilation makes millions of small objects that stay."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


def source_stamp() -> int:
    """Return a number that changes with the text of any module of the kernel."""
    digest = sha256()
    folder = find_spec(PACKAGE)
    assert folder is not None
    for module in iter_modules(folder.submodule_search_locations, f"{PACKAGE}."):
        spec = find_spec(module.name)
        source = spec and spec.loader.get_source(module.name)  # type: ignore[union-attr]  # a module found has a loader
        digest.update(f"{module.name}\n{source}\n".encode())
    return int.from_bytes(digest.digest()[:STAMP_BYTES], "big")


def world_of(arrays: dict[str, Any]) -> object:
    """Return the arrays as the one object compiled code takes."""
    from tankside.lifecycle.kernel.world import World

    return World(arrays)
