"""Begin a new journal: its schema, its guards and its identity, whole or not at all."""

from __future__ import annotations

import os
import secrets
from datetime import UTC, datetime

from sqlalchemy import Connection, insert

from tankside.errors import CouldNotSave
from tankside.records.journal.engine import WRITES, journal_engine
from tankside.records.journal.handle import OpenJournal
from tankside.records.journal.migrate import upgrade
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.refusals import refusing
from tankside.records.journal.schema import JOURNAL
from tankside.records.journal.start_check import revision_of
from tankside.records.whole_file import OWNER_ONLY, only_writer, put_new

IDENTITY_BYTES = 16


def begin_file(place: JournalPlace) -> None:
    """Make a SQLite journal; it has its name only when it is complete.

    Raises:
        CouldNotSave: E-DB-02 to E-DB-04; there is no journal then.
    """
    file = place.file
    assert file is not None
    beside = file.with_name(f".{file.name}.new")
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as refused:
        raise CouldNotSave(
            "E-DB-04",
            "The folder of the journal cannot be made.",
            given=f"{file.parent}: {refused.strerror}",
            needed="a folder that may be written to",
            next_step="Set --journal or TANKSIDE_JOURNAL to another place.",
            field="journal",
        ) from None
    with only_writer(file):
        if file.exists():
            return
        beside.unlink(missing_ok=True)
        os.close(os.open(beside, os.O_RDWR | os.O_CREAT | os.O_EXCL, OWNER_ONLY))
        with refusing(place):
            engine = journal_engine(JournalPlace(beside))
            with engine.connect() as connection, connection.begin():
                begin(connection)
        put_new(beside, file)


def begin_database(journal: OpenJournal) -> None:
    """Make the journal of an empty PostgreSQL database.

    Raises:
        CouldNotSave: E-DB-04 when the role may make no tables.
    """
    with refusing(journal.place), journal.engine.connect() as connection:
        connection = connection.execution_options(**{WRITES: True})
        with connection.begin():
            if revision_of(connection, journal.place) is None:
                begin(connection)


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
