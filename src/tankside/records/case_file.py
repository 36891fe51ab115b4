"""The case file on disk: whole old or whole new, never half; two writers never lose an entry."""

from __future__ import annotations

import errno
import fcntl
import hashlib
import os
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tankside.case import CaseView, Entry, decode, encode, fold
from tankside.errors import BadInput, CouldNotSave
from tankside.quantity.strict_json import LARGEST_BYTES
from tankside.records.case_path import check_case_path

OWNER_ONLY = 0o600
LONGEST_WAIT_S = 5.0
WAIT_STEP_S = 0.02
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


@dataclass(frozen=True, slots=True)
class StoredCase:
    """A case file as it was read: its entries and the fingerprint of its bytes."""

    path: Path
    entries: tuple[Entry, ...]
    digest: str

    @property
    def version(self) -> int:
        """The number of the last entry."""
        return len(self.entries)

    def view(self) -> CaseView:
        """Fold the entries into the present state."""
        return fold(self.entries)


def read_case(path: str | Path) -> StoredCase:
    """Read a case file and check every line and the fold.

    Raises:
        BadInput: E-PATH-01, E-CASE-*, E-DB-01 or the code of the rule a line breaks.
    """
    place = check_case_path(path)
    if not place.exists():
        raise BadInput(
            "E-PATH-02",
            "There is no such case file.",
            given=place,
            needed="a case file that exists",
            next_step="Make one with: tankside case new FILE --name ... --keeper ...",
            field="case",
        )
    return _stored(place, _bytes(place))


def create_case(path: str | Path, entries: Sequence[Entry]) -> StoredCase:
    """Write a new case file.

    Raises:
        BadInput: E-PATH-03 when the file exists already; E-CASE-* when the entries do not fold.
        CouldNotSave: E-DB-02 to E-DB-04; nothing was written.
    """
    place = check_case_path(path)
    fold(entries)
    with _only_writer(place):
        if place.exists():
            raise BadInput(
                "E-PATH-03",
                "A file with this name exists already; it is left as it is.",
                given=place,
                needed="a new file name",
                next_step="Choose another name.",
                field="case",
            )
        data = encode(entries)
        _replace(place, data)
    return _stored(place, data)


def append_entries(stored: StoredCase, new: Sequence[Entry]) -> StoredCase:
    """Add entries to the case as it was read; all of them or none.

    When this returns, the entries are on disk.

    Args:
        stored: the case as the writer last read it.
        new: entries numbered on from ``stored.version``.

    Raises:
        BadInput: when the entries do not fold.
        CouldNotSave: E-WEB-04 when the file changed since it was read; E-DB-02 to E-DB-04 when
            the disk refused. The old file is intact.
    """
    entries = (*stored.entries, *new)
    fold(entries)
    data = encode(entries)
    with _only_writer(stored.path):
        if not stored.path.exists() or _digest(_bytes(stored.path)) != stored.digest:
            raise CouldNotSave(
                "E-WEB-04",
                "The case was changed by somebody else since it was read.",
                given=f"{stored.path}, read at entry {stored.version}",
                needed="the present version",
                next_step="Read the case again, look at what was added, then enter yours.",
                field="case",
            )
        _replace(stored.path, data)
    return StoredCase(stored.path, entries, _digest(data))


def _stored(path: Path, data: bytes) -> StoredCase:
    entries = decode(data)
    fold(entries)
    return StoredCase(path, entries, _digest(data))


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _bytes(path: Path) -> bytes:
    size = path.stat().st_size
    if size > LARGEST_BYTES:
        raise BadInput(
            "E-FILE-01",
            "This file is too large for a case.",
            given=f"{size} bytes",
            needed=f"at most {LARGEST_BYTES} bytes",
            next_step="Choose a file written by case export.",
            field="case",
        )
    return path.read_bytes()


def write_whole(path: Path, data: bytes) -> None:
    """Write any file so that a crash leaves the old bytes or the new, never a mixture.

    Write beside, sync, put in place of the old, sync the folder. Owner-only.

    Raises:
        CouldNotSave: E-DB-02 to E-DB-04; the old file is intact.
    """
    with _only_writer(path):
        _replace(path, data)


def _replace(path: Path, data: bytes) -> None:
    beside = path.with_name(f".{path.name}.new")
    try:
        _write_synced(beside, data)
        os.replace(beside, path)
        _sync_folder(path.parent)
    except OSError as refused:
        beside.unlink(missing_ok=True)
        raise _not_saved(path, refused) from None


def _write_synced(path: Path, data: bytes) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_NOFOLLOW
    handle = os.open(path, flags, OWNER_ONLY)
    try:
        os.fchmod(handle, OWNER_ONLY)
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def _only_writer(path: Path) -> Iterator[None]:
    """Hold the folder's lock; the system lets it go when the process ends, however it ends."""
    try:
        handle = os.open(path.parent, os.O_RDONLY)
    except OSError as refused:
        raise _not_saved(path, refused) from None
    try:
        _wait_for_lock(handle, path)
        yield
    finally:
        os.close(handle)


def _wait_for_lock(handle: int, path: Path) -> None:
    deadline = time.monotonic() + LONGEST_WAIT_S
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > deadline:
                raise CouldNotSave(
                    "E-DB-03",
                    "Somebody else is writing this case.",
                    given=path,
                    needed="one writer at a time",
                    next_step="Try again in a moment; nothing was saved.",
                    field="case",
                ) from None
            time.sleep(WAIT_STEP_S)
        else:
            return


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
