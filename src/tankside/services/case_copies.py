"""A case as a file of its own, with its pictures: taken in from one, written to one."""

from __future__ import annotations

from pathlib import Path

from tankside.records.case_path import check_case_path
from tankside.records.case_store import create_case, read_case
from tankside.records.photo_folder import photo_folder, photos_there
from tankside.records.stored_case import StoredCase
from tankside.services.case_photos import kept_with, photos_kept
from tankside.services.cases import bytes_of, checked_entries


def import_case(source: str | Path, target: str | Path) -> StoredCase:
    """Check a case file line by line and through the fold, then write it as a new case.

    The pictures beside it that are as they were kept come along.

    Raises:
        BadInput: with the line number of the first broken line; nothing is imported.
    """
    file = check_case_path(source)
    entries = checked_entries(bytes_of(file))
    return create_case(target, entries, photos_there(photo_folder(file), kept_with(entries)))


def export_to(path: str | Path, target: str | Path) -> Path:
    """Write the canonical bytes of a case, and its pictures, to files that do not exist yet.

    Raises:
        BadInput: E-PATH-01 to E-PATH-03.
        CouldNotSave: the disk refused; nothing was written.
    """
    place = check_case_path(target)
    stored = read_case(path)
    create_case(place, stored.entries, photos_kept(stored))
    return place
