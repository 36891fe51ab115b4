"""Compiled code kept on disk, so that the loop is compiled once; a help, never a must.

Kept code is run as it stands, so it is taken only as the room ``sealed`` allows: private, and byte
for byte what was kept for the same source, compiler and processor. Whatever is wrong, the code is
compiled anew. No result depends on it, so this one module of the science rooms knows files.
"""

# The compiler carries no types.
# mypy: disable-error-code="no-untyped-call, import-untyped, attr-defined"

from __future__ import annotations

import pickle
import sys
from hashlib import sha256
from typing import Any

import llvmlite
import numba
from numba.core.compiler import CompileResult
from numba.core.serialize import dumps

from tankside import sealed
from tankside.claims import whole_setting

MOST_KEPT = whole_setting(8, "versions kept side by side, about a megabyte each")
SUFFIX = ".code"
Handle = Any


def folder() -> str:
    """Return where compiled code is kept: below ``NUMBA_CACHE_DIR``, or the account's own place."""
    return sealed.place("compiled", numba.config.CACHE_DIR)


def key_of(function: Handle, kinds: tuple[Handle, ...], stamp: int) -> bytes:
    """Return what the code depends on, as a fingerprint.

    Args:
        function: a compiled function, before or after it was compiled.
        kinds: types of its arguments.
        stamp: changes with the source of everything the function calls.
    """
    made_by = numba.__version__, llvmlite.__version__, sys.version, sys.platform
    asked = numba.config.BOUNDSCHECK, str(numba.config.OPT), numba.config.DEBUGINFO_DEFAULT
    machine = function.targetctx.codegen().magic_tuple()
    named = function.py_func.__module__, function.py_func.__qualname__
    return sha256(repr((made_by, asked, machine, named, kinds, stamp)).encode()).digest()


def path_of(key: bytes) -> str:
    """Return the file for this source, compiler and processor."""
    return f"{folder()}/{key.hex()}{SUFFIX}"


def fetch(function: Handle, kinds: tuple[Handle, ...], stamp: int) -> Handle | None:
    """Return the code kept for this function, or None when there is none that may be used."""
    key = key_of(function, kinds, stamp)
    data = sealed.fetch(path_of(key), key)
    if data is None:
        return None
    try:
        return CompileResult._rebuild(function.targetctx, *pickle.loads(data))
    except Exception:
        # What was kept may fail in any way at all; compiling anew is always right.
        return None


def keep(function: Handle, kinds: tuple[Handle, ...], stamp: int) -> str:
    """Keep the code of a function that was compiled for these types.

    Returns:
        Why it could not be kept; empty when it was.
    """
    key = key_of(function, kinds, stamp)
    try:
        data = dumps(function.overloads[kinds]._reduce())
    except Exception as refused:  # keeping is a gain of time alone: its failure is only told
        return str(refused) or type(refused).__name__
    return sealed.keep(path_of(key), key, data, MOST_KEPT)
