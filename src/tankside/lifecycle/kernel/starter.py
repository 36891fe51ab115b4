"""Fetch the compiled loop, compiling it on first use."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import lru_cache
from hashlib import sha256
from typing import Any

from tankside.claims import whole_setting

STAMP_BYTES = whole_setting(7, "a stamp that fits a signed 64-bit number")
PACKAGE = __name__.rpartition(".")[0]


@lru_cache(maxsize=1)
def loop() -> Callable[..., None]:
    """Return the compiled loop over histories; the compiler is imported here and not before."""
    from tankside.lifecycle.kernel.history import door_for

    return door_for(source_stamp())


def source_stamp() -> int:
    """Return a number that changes with any function or constant of the compiled modules."""
    digest = sha256()
    for name in sorted(n for n in sys.modules if n.startswith(f"{PACKAGE}.")):
        for key, value in sorted(vars(sys.modules[name]).items()):
            code = getattr(getattr(value, "py_func", None), "__code__", None)
            if code is not None:
                digest.update(code.co_code + repr((code.co_consts, code.co_names)).encode())
            elif key.isupper():
                digest.update(f"{key}={value!r}".encode())
    return int.from_bytes(digest.digest()[:STAMP_BYTES], "big")


def world_of(arrays: dict[str, Any]) -> object:
    """Return the arrays as the one object compiled code takes."""
    from tankside.lifecycle.kernel.world import World

    return World(arrays)
