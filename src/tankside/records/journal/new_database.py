"""A new database that is filled in one transaction: it is there whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection

from tankside.errors import BadInput, CouldNotSave
from tankside.records.journal.engine import WRITES, journal_engine
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.refusals import refusing
from tankside.records.journal.start_check import revision_of
from tankside.records.whole_file import OWNER_ONLY, only_writer, put_new


@contextmanager
def new_file(target: Path) -> Iterator[Connection]:
    """Give a database beside a file; the file has its name when all of it is on the disk.

    Raises:
        BadInput: E-PATH-01 without a folder, E-PATH-03 when the file is there.
        CouldNotSave: E-DB-02 to E-DB-04; there is no file then.
    """
    beside = target.with_name(f".{target.name}.new")
    check_new(target)
    with only_writer(target):
        check_new(target)
        try:
            beside.unlink(missing_ok=True)
            os.close(os.open(beside, os.O_RDWR | os.O_CREAT | os.O_EXCL, OWNER_ONLY))
            place = JournalPlace(beside)
            engine = journal_engine(place)
            with refusing(place), engine.connect() as connection, connection.begin():
                yield connection
            put_new(beside, target)
        except OSError as refused:
            raise CouldNotSave(
                "E-DB-04",
                "Not saved, the disk refused.",
                given=f"{target}: {refused.strerror}",
                needed="a folder that may be written to",
                next_step="Choose another place.",
                field="file",
            ) from None
        finally:
            for ending in ("", "-journal", "-wal", "-shm"):
                beside.with_name(beside.name + ending).unlink(missing_ok=True)


@contextmanager
def empty_database(place: JournalPlace) -> Iterator[Connection]:
    """Give the connection of a PostgreSQL database in which nothing is yet, as its only writer.

    Raises:
        BadInput: E-PATH-03 when a journal is in it.
        NotPossible: E-DB-07 when something else is in it.
    """
    with refusing(place), journal_engine(place).connect() as connection:
        connection = connection.execution_options(**{WRITES: True})
        with connection.begin():
            if revision_of(connection, place) is not None:
                raise _taken(str(place))
            yield connection


def check_new(target: Path) -> None:
    """Refuse a place where something is, or where there is no folder.

    Raises:
        BadInput: E-PATH-01 or E-PATH-03.
    """
    if target.exists() or target.is_symlink():
        raise _taken(str(target))
    if not target.parent.is_dir():
        raise BadInput(
            "E-PATH-01",
            "The folder does not exist.",
            given=str(target),
            needed="a folder that exists",
            next_step="Make the folder, or name another one; nothing was written.",
            field="file",
        )


def _taken(place: str) -> BadInput:
    return BadInput(
        "E-PATH-03",
        "Something is at this place already; it is left as it is.",
        given=place,
        needed="a new place",
        next_step="Name another one; nothing was written.",
        field="file",
    )
