"""Compiled code kept on disk, so that the loop is compiled once; a help, never a must.

Kept code is run as it stands. It is taken only from a folder and a file of this account in which
nobody else may write, and only when it is, byte for byte, what was kept for the same source,
compiler and processor. Whatever is wrong, the code is compiled anew. No result depends on it, so
this one module of the science rooms knows files.
"""

# The compiler carries no types.
# mypy: disable-error-code="no-untyped-call, import-untyped, attr-defined"

from __future__ import annotations

import os
import pickle
import stat
import sys
from contextlib import suppress
from hashlib import sha256
from typing import Any

import llvmlite
import numba
import platformdirs
from numba.core.compiler import CompileResult
from numba.core.serialize import dumps

from tankside.claims import whole_setting

MOST_KEPT = whole_setting(8, "versions kept side by side, about a megabyte each")
SEAL_BYTES = sha256().digest_size
SUFFIX = ".code"
OWNER_ONLY_FILE, OWNER_ONLY_FOLDER = stat.S_IRUSR | stat.S_IWUSR, stat.S_IRWXU
_OTHERS_WRITE = stat.S_IWGRP | stat.S_IWOTH
_READ = os.O_RDONLY | sum(getattr(os, n, 0) for n in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY"))
Handle = Any


def folder() -> str:
    """Return where compiled code is kept: below ``NUMBA_CACHE_DIR``, or the account's own place."""
    base = numba.config.CACHE_DIR or platformdirs.user_cache_dir("tankside", appauthor=False)
    return os.path.join(base, "compiled")


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
    return os.path.join(folder(), key.hex() + SUFFIX)


def sealed(key: bytes, data: bytes) -> bytes:
    """Return the bytes of a file: a fingerprint of key and data, then the data."""
    return sha256(key + data).digest() + data


def fetch(function: Handle, kinds: tuple[Handle, ...], stamp: int) -> Handle | None:
    """Return the code kept for this function, or None when there is none that may be used."""
    key = key_of(function, kinds, stamp)
    try:
        data = _private_bytes(path_of(key))
        if data != sealed(key, data[SEAL_BYTES:]):
            return None
        return CompileResult._rebuild(function.targetctx, *pickle.loads(data[SEAL_BYTES:]))
    except Exception:
        # What was kept may fail in any way at all; compiling anew is always right.
        return None


def keep(function: Handle, kinds: tuple[Handle, ...], stamp: int) -> str:
    """Keep the code of a function that was compiled for these types.

    Returns:
        Why it could not be kept; empty when it was.
    """
    key = key_of(function, kinds, stamp)
    path = path_of(key)
    beside = f"{path}.{os.getpid()}.new"
    try:
        _make_private(folder())
        _write(beside, sealed(key, dumps(function.overloads[kinds]._reduce())))
        os.replace(beside, path)
        _leave_newest(folder())
    except Exception as refused:  # keeping is a gain of time alone: its failure is only told
        with suppress(OSError):
            os.unlink(beside)
        return getattr(refused, "strerror", None) or str(refused) or type(refused).__name__
    return ""


def _is_private(status: os.stat_result) -> bool:
    """Say whether it is this account's own; on Windows the rights of the folder decide."""
    own_id = getattr(os, "getuid", None)
    return own_id is None or (status.st_uid == own_id() and not status.st_mode & _OTHERS_WRITE)


def _private_bytes(path: str) -> bytes:
    if not _is_private(os.stat(os.path.dirname(path), follow_symlinks=False)):
        raise PermissionError(path)
    with os.fdopen(os.open(path, _READ), "rb") as file:
        status = os.fstat(file.fileno())
        if not (stat.S_ISREG(status.st_mode) and _is_private(status)):
            raise PermissionError(path)
        return file.read()


def _make_private(place: str) -> None:
    """Make the folder; close one of our own that stood open, refuse one of somebody else."""
    os.makedirs(place, mode=OWNER_ONLY_FOLDER, exist_ok=True)
    if not _is_private(os.stat(place, follow_symlinks=False)):
        os.chmod(place, OWNER_ONLY_FOLDER)
    if not _is_private(os.stat(place, follow_symlinks=False)):
        raise PermissionError("the folder belongs to somebody else")


def _write(path: str, data: bytes) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(path, flags, OWNER_ONLY_FILE), "wb") as file:
        file.write(data)


def _leave_newest(place: str) -> None:
    """Drop what was kept longest ago for other sources, compilers and processors."""
    with os.scandir(place) as listing:
        kept = sorted((entry.stat().st_mtime, entry.path) for entry in listing if entry.is_file())
    for _, path in kept[:-MOST_KEPT]:
        os.unlink(path)
