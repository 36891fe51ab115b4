"""A file on disk is the whole old one or the whole new one, and has one writer at a time.

Where a system lacks a step (a folder that can be synced, permission bits, refusing links), the
step is left out there: on Windows the rights of the folder decide who may read a file.
"""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from filelock import FileLock, Timeout, UnixFileLock

from tankside.errors import CouldNotSave

OWNER_ONLY = 0o600
LONGEST_WAIT_S = 5.0
WAIT_STEP_S = 0.02
ON_WINDOWS = os.name == "nt"
_FULL = {errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)}
# Without O_BINARY, Windows writes every line end as two signs.
_FLAGS = os.O_WRONLY | os.O_CREAT | os.O_TRUNC
_FLAGS |= getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)


def write_whole(path: Path, data: bytes) -> None:
    """Write any file so that a crash leaves the old bytes or the new, never a mixture.

    Raises:
        CouldNotSave: E-DB-02 to E-DB-04; the old file is intact.
    """
    with only_writer(path):
        replace(path, data)


def replace(path: Path, data: bytes) -> None:
    """Write beside, sync, put in place of the old, sync the folder; the caller holds the lock.

    Raises:
        CouldNotSave: E-DB-02 or E-DB-04; the old file is intact.
    """
    beside = path.with_name(f".{path.name}.new")
    try:
        _write_synced(beside, data)
        _put_in_place(beside, path)
        _sync_folder(path.parent)
    except OSError as refused:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise _not_saved(path, refused) from None


def put_new(beside: Path, path: Path) -> None:
    """Give a finished file its name, to stay; the caller holds the lock and wrote it beside.

    Raises:
        CouldNotSave: E-DB-02 or E-DB-04; the file beside is gone.
    """
    try:
        handle = os.open(beside, os.O_RDWR)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
        _put_in_place(beside, path)
        _sync_folder(path.parent)
    except OSError as refused:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise _not_saved(path, refused) from None


@contextmanager
def only_writer(path: Path) -> Iterator[None]:
    """Hold the lock of a file; the system lets it go when the process ends, however it ends.

    Raises:
        CouldNotSave: E-DB-03 when another writer keeps it; E-DB-04 when the folder refuses.
    """
    beside = path.with_name(f".{path.name}.lock")
    lock = FileLock(
        beside, LONGEST_WAIT_S, OWNER_ONLY, poll_interval=WAIT_STEP_S, fallback_to_soft=False
    )
    _take(lock, path)
    try:
        yield
    finally:
        if isinstance(lock, UnixFileLock):
            # Only here does the library leave the file. Whoever waits for it sees that it is gone
            # and makes a new one.
            beside.unlink(missing_ok=True)
        lock.release()


def _take(lock: FileLock, path: Path) -> None:
    try:
        path.parent.stat()  # the library would make a folder that is missing
        lock.acquire()
    except Timeout:
        raise CouldNotSave(
            "E-DB-03",
            "Somebody else is writing this file.",
            given=path,
            needed="one writer at a time",
            next_step="Try again in a moment; nothing was saved.",
            field="case",
        ) from None
    except OSError as refused:
        raise _not_saved(path, refused) from None


def _write_synced(path: Path, data: bytes) -> None:
    handle = os.open(path, _FLAGS, OWNER_ONLY)
    try:
        if not ON_WINDOWS:
            os.fchmod(handle, OWNER_ONLY)
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def _put_in_place(beside: Path, path: Path) -> None:
    """Replace the old file; Windows refuses for as long as anybody reads it, so wait a little."""
    deadline = time.monotonic() + (LONGEST_WAIT_S if ON_WINDOWS else 0.0)
    while True:
        try:
            os.replace(beside, path)
        except PermissionError:
            if time.monotonic() >= deadline:
                raise
            time.sleep(WAIT_STEP_S)
        else:
            return


def _sync_folder(folder: Path) -> None:
    """Make the new name last; Windows opens no folder, and keeps names in its own journal."""
    if ON_WINDOWS:
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _not_saved(path: Path, refused: OSError) -> CouldNotSave:
    full = refused.errno in _FULL
    return CouldNotSave(
        "E-DB-02" if full else "E-DB-04",
        "Not saved, disk full." if full else "Not saved, the disk refused.",
        given=f"{path}: {refused.strerror}",
        needed="room on the disk" if full else "a folder that may be written to",
        next_step="What was there before is unchanged. Make room or choose another place.",
        field="case",
    )
