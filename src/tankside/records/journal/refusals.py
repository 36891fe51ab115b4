"""What a database or disk answers, as a mistake with a code; what is not foreseen stays a fault."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError

from tankside.errors import CouldNotSave, Mistake, NotPossible
from tankside.records.journal.place import JournalPlace

_SQLITE = {
    "SQLITE_FULL": "full",
    "SQLITE_IOERR_WRITE": "full",
    "SQLITE_IOERR_FSYNC": "full",
    "SQLITE_TOOBIG": "full",
    "SQLITE_BUSY": "busy",
    "SQLITE_LOCKED": "busy",
    "SQLITE_CORRUPT": "broken",
    "SQLITE_NOTADB": "broken",
    "SQLITE_FORMAT": "broken",
    "SQLITE_IOERR": "refused",
    "SQLITE_READONLY": "refused",
    "SQLITE_PERM": "refused",
    "SQLITE_AUTH": "refused",
    "SQLITE_CANTOPEN": "refused",
}
_POSTGRESQL = {
    "53": "full",
    "55P03": "busy",
    "40": "busy",
    "XX": "broken",
    "25006": "refused",
    "42501": "refused",
}


@contextmanager
def refusing(place: JournalPlace) -> Iterator[None]:
    """Turn what the database answers into a mistake.

    Raises:
        CouldNotSave: E-DB-02 disk full, E-DB-03 locked, E-DB-04 refused.
        NotPossible: E-DB-05 broken, E-DB-09 out of reach.
    """
    try:
        yield
    except DBAPIError as answer:
        raise _mistake(answer, place) from answer
    except sqlite3.Error as answer:
        raise _said(_sqlite_kind(answer), str(answer), place) or answer from answer
    except UnicodeDecodeError as answer:
        raise broken(place, f"text that is no text ({answer.reason})") from answer


def _mistake(answer: DBAPIError, place: JournalPlace) -> Exception:
    original = answer.orig
    if isinstance(original, sqlite3.Error):
        kind = _sqlite_kind(original)
    else:
        kind = _postgresql_kind(original, disconnected=answer.connection_invalidated)
    return _said(kind, str(original).partition("\n")[0], place) or answer


def _sqlite_kind(answer: sqlite3.Error) -> str:
    name = getattr(answer, "sqlite_errorname", "")
    if not name and "decode to UTF-8" in str(answer):
        return "broken"
    return _SQLITE.get(name) or _SQLITE.get("_".join(name.split("_")[:2]), "")


def _postgresql_kind(answer: BaseException | None, *, disconnected: bool) -> str:
    state = getattr(answer, "sqlstate", None) or ""
    kind = next((kind for start, kind in _POSTGRESQL.items() if state.startswith(start)), "")
    if not kind and (disconnected or not state or state[:2] in ("08", "57", "28", "3D")):
        return "away"
    return kind


def _said(kind: str, words: str, place: JournalPlace) -> Mistake | None:
    if kind == "full":
        return CouldNotSave(
            "E-DB-02",
            "Not saved, disk full.",
            given=f"{place}: {words}",
            needed="room on the disk",
            next_step="What was there before is unchanged. Make room, then save again.",
            field="journal",
        )
    if kind == "busy":
        return CouldNotSave(
            "E-DB-03",
            "Somebody else is writing the journal.",
            given=f"{place}: {words}",
            needed="one writer at a time",
            next_step="Try again in a moment; nothing was saved.",
            field="journal",
        )
    if kind == "refused":
        return CouldNotSave(
            "E-DB-04",
            "The journal cannot be written.",
            given=f"{place}: {words}",
            needed="a file and folder, or a database role, that may write",
            next_step="What was there before is unchanged. Ask who looks after the computer.",
            field="journal",
        )
    if kind == "broken":
        return broken(place, words)
    return out_of_reach(place, words) if kind == "away" else None


def broken(place: JournalPlace, words: str) -> NotPossible:
    """Return the refusal of a journal that holds something else than was written."""
    return NotPossible(
        "E-DB-05",
        "The journal is broken: it does not hold what was written.",
        given=f"{words} ({place})",
        needed="a journal as this program wrote it",
        next_step="Leave it as it is, and restore the last backup to a new place: "
        "tankside records restore BACKUP --to PLACE.",
        field="journal",
    )


def out_of_reach(place: JournalPlace, words: str) -> NotPossible:
    """Return the refusal when the database does not answer."""
    return NotPossible(
        "E-DB-09",
        "The database cannot be reached.",
        given=f"{words} ({place})",
        needed="a database that answers",
        next_step="Check the address and the server. If this came while saving, look whether "
        "the entry is there before it is sent again.",
        field="journal",
    )
