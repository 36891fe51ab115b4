"""One door to both stores: a case file, or a case of the journal by number or name.

What stands behind the journal is imported when a reference names a case of it, not before.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from tankside.case import Entry
from tankside.records import case_file
from tankside.records.kept_photo import KeptPhoto
from tankside.records.many_made import many_made
from tankside.records.one_reading import read_once
from tankside.records.photo_folder import photo_folder, read_photo
from tankside.records.stored_case import StoredCase, names_file


def read_case(reference: str | Path) -> StoredCase:
    """Read a case whole.

    Args:
        reference: the path of a case file, or the number, short name or name of a case of the
            journal.

    Raises:
        BadInput: E-PATH-01, E-PATH-02, E-CASE-* or E-DB-01; no such case, or a broken file.
        NotPossible: E-DB-05 to E-DB-09 when the journal cannot be used.
    """
    return read_once(reference, partial(_read, reference))


def _read(reference: str | Path) -> StoredCase:
    if names_file(reference):
        with many_made():
            return case_file.read_case(reference)
    from tankside.records.journal import cases

    with many_made():
        return cases.read_case(str(reference))


def create_case(
    reference: str | Path, entries: Sequence[Entry], photos: Sequence[KeptPhoto] = ()
) -> StoredCase:
    """Keep a new case: all its entries or nothing.

    Args:
        reference: the path of the file to make, or the short name it gets in the journal.
        entries: the opening first.
        photos: the pictures that they came with.

    Raises:
        BadInput: E-PATH-01, E-PATH-03 when the name is taken; E-CASE-* when the entries do not
            fold.
        CouldNotSave: E-DB-02 to E-DB-04; nothing was written.
    """
    if names_file(reference):
        return case_file.create_case(reference, entries, photos)
    from tankside.records.journal import cases

    return cases.create_case(str(reference), entries, photos=photos)


def sent_before(stored: StoredCase, submission: str | None) -> StoredCase | None:
    """Return the case as it stood before a save with this key; None when there was none.

    A case file remembers no keys.
    """
    if submission is None or not stored.in_journal:
        return None
    from tankside.records.journal import cases

    return cases.sent_before(stored, submission)


def append_entries(
    stored: StoredCase,
    new: Sequence[Entry],
    *,
    submission: str | None = None,
    photos: Sequence[KeptPhoto] = (),
) -> StoredCase:
    """Add entries to the case as it was read; all of them or none.

    When this returns, the entries are on disk.

    Args:
        stored: the case as the writer last read it.
        new: entries numbered on from ``stored.version``.
        submission: key of this save, for the journal: sent again with the same entries it
            changes nothing and gives the same answer.
        photos: the pictures that the new entries came with; saved with them or not at all.

    Raises:
        BadInput: when the entries do not fold; E-DUP-02 when the key was used for others.
        CouldNotSave: E-WEB-04 when the case changed since it was read; E-DB-02 to E-DB-04 when
            the disk refused. What was there is intact.
    """
    if not stored.in_journal:
        with many_made():
            return case_file.append_entries(stored, new, photos)
    from tankside.records.journal import cases

    with many_made():
        return cases.append_entries(stored, new, submission=submission, photos=photos)


def read_case_photo(stored: StoredCase, sha256: str) -> bytes | None:
    """Return the bytes of a picture that was kept with a case.

    Args:
        stored: the case.
        sha256: as its entry says.

    Returns:
        None when it is not there.

    Raises:
        NotPossible: E-DB-05 when the journal does not hold it as it was kept.
    """
    if not stored.in_journal:
        return read_photo(photo_folder(Path(stored.reference)), sha256)
    from tankside.records.journal import cases

    return cases.read_photo(sha256)
