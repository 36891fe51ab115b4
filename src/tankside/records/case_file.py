"""The case file on disk: whole old or whole new, never half; two writers never lose an entry."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tankside.case import CaseView, Entry, decode, encode, fold
from tankside.errors import BadInput, CouldNotSave
from tankside.quantity.strict_json import LARGEST_BYTES
from tankside.records.case_path import check_case_path
from tankside.records.whole_file import only_writer, replace


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
    with only_writer(place):
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
        replace(place, data)
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
    with only_writer(stored.path):
        if not stored.path.exists() or _digest(_bytes(stored.path)) != stored.digest:
            raise CouldNotSave(
                "E-WEB-04",
                "The case was changed by somebody else since it was read.",
                given=f"{stored.path}, read at entry {stored.version}",
                needed="the present version",
                next_step="Read the case again, look at what was added, then enter yours.",
                field="case",
            )
        replace(stored.path, data)
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
