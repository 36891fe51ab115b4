"""What the database role of the program may do to a PostgreSQL journal that somebody else owns."""

from __future__ import annotations

import re

from sqlalchemy import Connection, text

from tankside.errors import BadInput, NotPossible
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.projections import PROJECTIONS
from tankside.records.journal.start_check import VERSIONS

_ROLE = re.compile(r"[a-z_][a-z0-9_]{0,62}")


def grant_writing(connection: Connection, place: JournalPlace, role: str) -> None:
    """Let a role read and add, and nothing else: it can neither change nor take away an entry.

    Raises:
        BadInput: E-WORD-02 for a name that is no plain role.
        NotPossible: E-DB-09 for a journal in a file, which knows no roles.
    """
    if place.file:
        raise NotPossible(
            "E-DB-09",
            "A journal in a file knows no roles.",
            given=str(place),
            needed="a PostgreSQL database",
            next_step="Name it with --journal postgresql://OWNER@HOST/DATABASE.",
            field="journal",
        )
    if not _ROLE.fullmatch(role):
        raise BadInput(
            "E-WORD-02",
            "This cannot be the name of a role.",
            given=role,
            needed="small letters, digits and _",
            next_step="Name a role that the server has.",
            field="role",
        )
    made = [projection.table.name for projection in PROJECTIONS]
    for words in (
        f"SELECT ON {VERSIONS}, journal",
        "SELECT, INSERT ON entry, person, photo",
        "UPDATE (name, salt) ON person",
        f"SELECT, INSERT, DELETE ON projection, {', '.join(made)}",
    ):
        connection.execute(text(f'GRANT {words} TO "{role}"'))
