"""Back up a journal while it is used, and restore a backup to a new place.

A backup is a journal in a SQLite file, whichever database it comes from, with its manifest beside
it. It is read back from the disk and looked over whole before it counts.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, select

from tankside.records.journal.copying import case_count, copy_journal
from tankside.records.journal.engine import journal_engine, looking_engine, reading_engine
from tankside.records.journal.entry_rows import end_of
from tankside.records.journal.manifest import (
    BackupManifest,
    damaged_backup,
    fingerprint,
    manifest_path,
    read_manifest,
)
from tankside.records.journal.new_database import check_new, empty_database, new_file
from tankside.records.journal.opening import no_journal
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.refusals import refusing
from tankside.records.journal.safe_place import check_place
from tankside.records.journal.schema import JOURNAL, REVISION
from tankside.records.journal.start_check import check_schema, revision_of
from tankside.records.journal.verify import verify
from tankside.records.whole_file import write_whole


def back_up(place: JournalPlace, target: Path) -> BackupManifest:
    """Write what the journal holds at this moment into a new file, and read it back.

    Raises:
        BadInput: E-PATH-03 when the file is there already, E-PATH-02 without a journal.
        CouldNotSave: E-DB-02 to E-DB-04; there is no backup then.
        NotPossible: E-DB-05 to E-DB-10; a journal that is broken is not backed up.
    """
    check_new(target)
    with _source(place) as source:
        check_schema(source, place)
        with new_file(target) as made:
            copy_journal(source, made, place)
            identity = made.execute(select(JOURNAL.c.identity)).scalar_one()
            entries, head = end_of(made)
            cases = case_count(made)
    size, digest = fingerprint(target)
    now = datetime.now(UTC).isoformat(timespec="seconds")
    manifest = BackupManifest(identity, REVISION, entries, cases, head, size, digest, now)
    write_whole(manifest_path(target), manifest.encode())
    check_backup(target)
    return manifest


def check_backup(backup: Path) -> BackupManifest:
    """Look over a backup as it stands on the disk.

    Raises:
        NotPossible: E-DB-10 damaged, E-DB-06 another schema, E-DB-07 something else.
    """
    manifest = read_manifest(backup)
    with _backup_source(backup) as source:
        _check_content(source, backup, manifest)
    return manifest


def restore(backup: Path, place: JournalPlace) -> BackupManifest:
    """Make the journal of a backup at a new place; nothing that is there is touched.

    Raises:
        BadInput: E-PATH-03 when a journal is at the place already.
        CouldNotSave: E-DB-02 to E-DB-04; there is nothing at the new place then.
        NotPossible: E-DB-10 damaged, E-DB-06 another schema, E-DB-07 something else.
    """
    manifest = read_manifest(backup)
    if place.file:
        check_place(place.file)
        check_new(place.file)
    with _backup_source(backup) as source:
        _check_content(source, backup, manifest)
        target = new_file(place.file) if place.file else empty_database(place)
        with target as made:
            copy_journal(source, made, JournalPlace(backup))
            said = verify(made, place)
            if said.faults or (said.entries, said.head) != (manifest.entries, manifest.head):
                raise damaged_backup(backup, "; ".join(said.faults) or "another last entry")
    return manifest


def drill(backup: Path) -> BackupManifest:
    """Restore a backup into a folder that is thrown away, to see that it can be done.

    Raises:
        NotPossible: as ``restore``.
    """
    with tempfile.TemporaryDirectory(prefix="drill") as folder:
        return restore(backup, JournalPlace(Path(folder) / "journal.db"))


def _check_content(source: Connection, backup: Path, manifest: BackupManifest) -> None:
    place = JournalPlace(backup)
    check_schema(source, place)
    said = verify(source, place)
    identity = source.execute(select(JOURNAL.c.identity)).scalar_one()
    if said.faults:
        raise damaged_backup(backup, said.faults[0])
    held = (identity, said.entries, said.cases, said.head)
    if held != (manifest.identity, manifest.entries, manifest.cases, manifest.head):
        raise damaged_backup(backup, "its manifest is of another backup")


@contextmanager
def _source(place: JournalPlace) -> Iterator[Connection]:
    if place.file and not place.file.exists():
        raise no_journal(place)
    engine = looking_engine(place.file) if place.file else journal_engine(place)
    with refusing(place), engine.connect() as connection, connection.begin():
        if revision_of(connection, place) is None:
            raise no_journal(place)
        yield connection


@contextmanager
def _backup_source(backup: Path) -> Iterator[Connection]:
    place = JournalPlace(backup)
    engine = reading_engine(backup, apart=True)
    with refusing(place), engine.connect() as connection, connection.begin():
        yield connection
