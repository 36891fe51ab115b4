"""The case file on disk: whole old or whole new, never half; two writers never lose an entry."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tankside.case import Entry, decode, fold
from tankside.errors import BadInput, CouldNotSave
from tankside.quantity.strict_json import LARGEST_BYTES
from tankside.records.case_path import check_case_path
from tankside.records.kept_photo import KeptPhoto
from tankside.records.photo_folder import photo_folder, write_photos
from tankside.records.stored_case import StoredCase, digest_of, keepable
from tankside.records.whole_file import only_writer, replace


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


def create_case(
    path: str | Path, entries: Sequence[Entry], photos: Sequence[KeptPhoto] = ()
) -> StoredCase:
    """Write a new case file, and the pictures its entries came with.

    Raises:
        BadInput: E-PATH-03 when the file exists already; E-CASE-* when the entries do not fold;
            E-FILE-01 when they could not be read again.
        CouldNotSave: E-DB-02 to E-DB-04; nothing was written.
    """
    place = check_case_path(path)
    fold(entries)
    data = keepable(None, entries)
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
        write_photos(photo_folder(place), photos)
        replace(place, data)
    return _stored(place, data)


def append_entries(
    stored: StoredCase, new: Sequence[Entry], photos: Sequence[KeptPhoto] = ()
) -> StoredCase:
    """Add entries to the case as it was read; all of them or none.

    When this returns, the entries are on disk.

    Args:
        stored: the case as the writer last read it.
        new: entries numbered on from ``stored.version``.
        photos: the pictures they came with, which are on disk before the entries are.

    Raises:
        BadInput: when the entries do not fold, or could not be read again.
        CouldNotSave: E-WEB-04 when the file changed since it was read; E-DB-02 to E-DB-04 when
            the disk refused. The old file is intact.
    """
    entries = (*stored.entries, *new)
    view = fold(entries)
    data = keepable(stored, new)
    place = Path(stored.reference)
    with only_writer(place):
        if not place.exists() or digest_of(_bytes(place)) != stored.digest:
            raise CouldNotSave(
                "E-WEB-04",
                "The case was changed by somebody else since it was read.",
                given=f"{place}, read at entry {stored.version}",
                needed="the present version",
                next_step="Read the case again, look at what was added, then enter yours.",
                field="case",
            )
        write_photos(photo_folder(place), photos)
        replace(place, data)
    return StoredCase(place, entries, digest_of(data), folded=view)


def _stored(path: Path, data: bytes) -> StoredCase:
    entries = decode(data)
    return StoredCase(path, entries, digest_of(data), folded=fold(entries))


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
