"""Rows of the log as they are read from the database."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, select

from tankside.records.journal.chain import ChainedEntry, first_hash
from tankside.records.journal.schema import ENTRY, JOURNAL

AT_A_TIME = 1000


def first_of(connection: Connection) -> str:
    """Return the hash that the first entry of this journal follows."""
    identity, begun_at = connection.execute(select(JOURNAL.c.identity, JOURNAL.c.begun_at)).one()
    return first_hash(identity, begun_at)


def end_of(connection: Connection) -> tuple[int, str]:
    """Return number and hash of the last entry; of an empty journal 0 and its first hash."""
    last = select(ENTRY.c.sequence, ENTRY.c.hash).order_by(ENTRY.c.sequence.desc()).limit(1)
    row = connection.execute(last).first()
    return (int(row[0]), str(row[1])) if row else (0, first_of(connection))


def rows_between(connection: Connection, after: int, last: int) -> Iterator[ChainedEntry]:
    """Yield the entries with sequence in (after, last], in order.

    They are fetched some at a time, so that a long log does not have to fit into memory.
    """
    while True:
        wanted = select(ENTRY).where(ENTRY.c.sequence > after, ENTRY.c.sequence <= last)
        rows = connection.execute(wanted.order_by(ENTRY.c.sequence).limit(AT_A_TIME)).all()
        for row in rows:
            yield ChainedEntry(*row)
        if len(rows) < AT_A_TIME:
            return
        after = int(rows[-1].sequence)


def rows_of_case(connection: Connection, number: int) -> list[ChainedEntry]:
    """Return the entries of a case, in order."""
    wanted = select(ENTRY).where(ENTRY.c.case_number == number).order_by(ENTRY.c.case_version)
    return [ChainedEntry(*row) for row in connection.execute(wanted)]


def columns_of(row: ChainedEntry) -> dict[str, object]:
    """Return an entry as the row of its table."""
    return {column.name: getattr(row, column.name) for column in ENTRY.columns}
