"""A copy of every row of a journal of any schema into a SQLite file, before its schema changes."""

from __future__ import annotations

from itertools import count
from pathlib import Path

from sqlalchemy import LargeBinary, MetaData, String, insert, select, text

from tankside.records.journal.engine import journal_engine, looking_engine
from tankside.records.journal.new_database import new_file
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.refusals import refusing
from tankside.records.journal.schema import APPLICATION_ID

AT_A_TIME = 20
"""Rows: a picture is one of them."""


def copy_before(place: JournalPlace, revision: str, folder: Path) -> Path:
    """Write all rows as they stand into a new file and return it.

    Args:
        place: of the journal.
        revision: its schema, for the name of the file.
        folder: where the copy of a server's journal goes; a file's stands beside it.

    Raises:
        CouldNotSave: E-DB-02 to E-DB-04; there is no copy then.
    """
    if place.file:
        folder, name = place.file.parent, place.file.stem
        engine = looking_engine(place.file)
    else:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        name, engine = "journal", journal_engine(place)
    target = next(
        path
        for number in count(1)
        if not (path := folder / f"{name}-schema-{revision}-{number}.db").exists()
    )
    with refusing(place), engine.connect() as source, source.begin(), new_file(target) as made:
        tables = MetaData()
        tables.reflect(source)
        made.execute(text(f"PRAGMA application_id = {APPLICATION_ID}"))
        for column in (column for table in tables.sorted_tables for column in table.columns):
            if isinstance(column.type, String):
                column.type.collation = None  # SQLite does not know those of a server
            elif isinstance(column.type, LargeBinary):
                column.type = LargeBinary()
        tables.create_all(made)
        for table in tables.sorted_tables:
            held = source.execution_options(yield_per=AT_A_TIME).execute(select(table))
            for rows in held.mappings().partitions():
                made.execute(insert(table), [dict(row) for row in rows])
    return target
