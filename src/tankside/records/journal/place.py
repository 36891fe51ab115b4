"""Which journal is meant: a file of SQLite or a database of PostgreSQL.

``TANKSIDE_JOURNAL`` names it; without it, it stands in the user's data folder.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path

from tankside.errors import BadInput

VARIABLE = "TANKSIDE_JOURNAL"
FILE = "journal.db"
_SERVER = re.compile(r"postgres(?:ql)?(?:\+psycopg)?://(?P<rest>.+)", re.DOTALL)
_SECRET = re.compile(r":[^:@/]*@")


@dataclass(frozen=True, slots=True)
class JournalPlace:
    """Where a journal stands.

    Args:
        file: the SQLite file; None for a server.
        url: the address of a PostgreSQL database, without its scheme; "" for a file.
    """

    file: Path | None
    url: str = ""

    def __str__(self) -> str:
        return str(self.file) if self.file else "postgresql://" + _SECRET.sub(":***@", self.url, 1)


def data_folder() -> Path:
    """Return the folder of this user's data: the one of the journal, where that is a file."""
    stated = os.environ.get(VARIABLE)
    if stated and not _SERVER.fullmatch(stated):
        return Path(stated).absolute().parent
    return user_data_path("tankside")


def journal_place(text: str | Path | None = None) -> JournalPlace:
    """Return the place of the journal.

    Args:
        text: a path or URL as typed; None for the one of this user.

    Raises:
        BadInput: E-PATH-01 for another kind of URL or no name at all.
    """
    typed = str(text or os.environ.get(VARIABLE) or data_folder() / FILE)
    server = _SERVER.fullmatch(typed)
    if server:
        return JournalPlace(None, server["rest"])
    if "://" in typed or not Path(typed).name:
        raise BadInput(
            "E-PATH-01",
            "This names no journal.",
            given=_SECRET.sub(":***@", typed, count=1),
            needed="a file, or postgresql://USER@HOST/DATABASE",
            next_step=f"Correct --journal or the variable {VARIABLE}.",
            field="journal",
        )
    return JournalPlace(Path(typed).absolute())
