"""A journal that was opened: its place, and the two kinds of transaction it is used by."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from sqlalchemy import Connection, Engine, text

from tankside.records.journal.engine import WRITES
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.refusals import refusing
from tankside.records.journal.schema import REVISION
from tankside.records.journal.start_check import check_revision


@dataclass(frozen=True, slots=True)
class OpenJournal:
    """A journal, read in one kind of transaction and written in the other."""

    place: JournalPlace
    engine: Engine

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one moment of the journal.

        Raises:
            NotPossible: E-DB-05 or E-DB-09.
        """
        with refusing(self.place), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection as the only writer; what it wrote is on disk when this ends.

        Raises:
            CouldNotSave: E-DB-02 to E-DB-04; nothing was written.
            NotPossible: E-DB-05, E-DB-06 or E-DB-09.
        """
        with refusing(self.place), self.engine.connect() as connection:
            connection = connection.execution_options(**{WRITES: True})
            with connection.begin():
                if _version(connection) != REVISION:
                    check_revision(connection, self.place)
                yield connection


def _version(connection: Connection) -> str:
    return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())
