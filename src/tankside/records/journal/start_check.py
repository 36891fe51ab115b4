"""What is looked at each time a journal is opened: schema, guards, structure, the end of the chain.

The whole chain is for ``records verify``.
"""

from __future__ import annotations

from sqlalchemy import Connection, func, select, text

from tankside.errors import NotPossible
from tankside.records.journal.entry_rows import rows_between
from tankside.records.journal.guards import missing_guards
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.refusals import broken
from tankside.records.journal.schema import APPLICATION_ID, ENTRY, REVISION
from tankside.records.journal.shape import shape_of
from tankside.records.journal.walk import ChainWalk

LAST_ENTRIES = 1000
LARGEST_CHECKED_BYTES = 32_000_000
VERSIONS = "alembic_version"


def check_start(connection: Connection, place: JournalPlace) -> None:
    """Refuse a journal that is not as this program wrote it.

    Raises:
        NotPossible: E-DB-05 broken, E-DB-06 another schema, E-DB-07 no journal.
    """
    check_schema(connection, place)
    check_structure(connection, place)
    last = connection.execute(select(func.max(ENTRY.c.sequence))).scalar() or 0
    begin = max(last - LAST_ENTRIES, 0)
    walk = ChainWalk(connection)
    for row in rows_between(connection, begin, last):
        walk.follow(row)
    if walk.faults:
        raise broken(place, str(walk.faults[0]))


def check_schema(connection: Connection, place: JournalPlace) -> None:
    """Refuse another schema than this program's, or one whose guards are gone.

    Raises:
        NotPossible: E-DB-05 to E-DB-07.
    """
    check_revision(connection, place)
    gone = missing_guards(connection)
    if gone:
        raise broken(place, "guards are gone or changed: " + ", ".join(gone))
    differing = shape_of(connection).differences(VERSIONS)
    if differing:
        raise broken(place, "tables or indexes differ: " + ", ".join(differing))


def revision_of(connection: Connection, place: JournalPlace) -> str | None:
    """Return the schema revision of a database; None when nothing was ever put into it.

    Raises:
        NotPossible: E-DB-07 when it holds something else than a journal.
    """
    tables = set(shape_of(connection).columns)
    marked = connection.dialect.name != "sqlite" or (
        connection.execute(text("PRAGMA application_id")).scalar() == APPLICATION_ID
    )
    if not tables and (not marked or connection.dialect.name != "sqlite"):
        return None
    if VERSIONS not in tables or "entry" not in tables or not marked:
        raise not_a_journal(place)
    return str(connection.execute(text(f"SELECT version_num FROM {VERSIONS}")).scalar())  # noqa: S608 (a constant)


def check_revision(connection: Connection, place: JournalPlace) -> None:
    """Refuse a schema that this program does not write.

    Raises:
        NotPossible: E-DB-06 or E-DB-07.
    """
    revision = revision_of(connection, place)
    if revision is None:
        raise not_a_journal(place)
    if revision != REVISION:
        newer = revision > REVISION
        raise NotPossible(
            "E-DB-06",
            "The journal was written by a newer version of the program."
            if newer
            else "The journal has an older schema.",
            given=f"schema {revision} ({place})",
            needed=f"schema {REVISION}",
            next_step="Open it with the newer version; nothing was changed."
            if newer
            else "Bring it up to date with: tankside records migrate (a backup is made first).",
            field="journal",
        )


def check_structure(connection: Connection, place: JournalPlace) -> None:
    """Let SQLite look over its own pages; a large file is left to ``records verify``.

    Raises:
        NotPossible: E-DB-05.
    """
    if connection.dialect.name != "sqlite":
        return
    pages = int(connection.execute(text("PRAGMA page_count")).scalar() or 0)
    size = int(connection.execute(text("PRAGMA page_size")).scalar() or 0)
    if pages * size > LARGEST_CHECKED_BYTES:
        return
    said = connection.execute(text("PRAGMA quick_check(1)")).scalar()
    if said != "ok":
        raise broken(place, str(said))


def not_a_journal(place: JournalPlace) -> NotPossible:
    """Return the refusal of a database that is something else."""
    return NotPossible(
        "E-DB-07",
        "This is not a journal of Tankside.",
        given=str(place),
        needed="a file or database that this program made",
        next_step="Name another file or database; nothing was changed.",
        field="journal",
    )
