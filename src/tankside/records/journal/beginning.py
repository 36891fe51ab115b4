"""Begin a new journal: its schema, its guards and its identity, whole or not at all."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime

from sqlalchemy import Connection, insert

from tankside.errors import BadInput, CouldNotSave
from tankside.records.journal.migrate import upgrade
from tankside.records.journal.new_database import empty_database, new_file
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.schema import JOURNAL

IDENTITY_BYTES = 16


def begin_journal(place: JournalPlace) -> None:
    """Make an empty journal where there is none; one that somebody else made meanwhile stays.

    Raises:
        CouldNotSave: E-DB-02 to E-DB-04; there is no journal then.
        NotPossible: E-DB-07 or E-DB-09.
    """
    if place.file:
        _make_folder(place)
    new = new_file(place.file) if place.file else empty_database(place)
    try:
        with new as connection:
            begin(connection)
    except BadInput as there:
        if there.code != "E-PATH-03":
            raise


def begin(connection: Connection, identity: str = "", begun_at: str = "") -> None:
    """Make the tables within a transaction.

    Args:
        connection: an empty database.
        identity: of the journal that is restored; "" for a new one.
        begun_at: when that one began.
    """
    upgrade(connection)
    identity = identity or secrets.token_hex(IDENTITY_BYTES)
    begun_at = begun_at or datetime.now(UTC).isoformat(timespec="seconds")
    row = {"number": 1, "identity": identity, "begun_at": begun_at}
    connection.execute(insert(JOURNAL).values(row))


def _make_folder(place: JournalPlace) -> None:
    assert place.file is not None
    folder = place.file.parent
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as refused:
        raise CouldNotSave(
            "E-DB-04",
            "The folder of the journal cannot be made.",
            given=f"{folder}: {refused.strerror}",
            needed="a folder that may be written to",
            next_step="Set --journal or TANKSIDE_JOURNAL to another place.",
            field="journal",
        ) from None
