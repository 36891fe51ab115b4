"""Fetch the compiled loop, compiling it on first use."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any


@lru_cache(maxsize=1)
def loop() -> Callable[..., None]:
    """Return the compiled loop over histories; the compiler is imported here and not before."""
    from tankside.lifecycle.kernel.history import run_rows

    play: Callable[..., None] = run_rows
    return play


def world_of(arrays: dict[str, Any]) -> object:
    """Return the arrays as the one object compiled code takes."""
    from tankside.lifecycle.kernel.world import World

    return World(arrays)
