"""Open a journal: look first, write nothing into what is not one, then check it as it stands.

A journal that was opened is remembered by its place for as long as the process runs, so that one
command checks it once.
"""

from __future__ import annotations

from pathlib import Path

from tankside.errors import BadInput
from tankside.records.journal.beginning import begin_journal
from tankside.records.journal.engine import journal_engine, looking_engine
from tankside.records.journal.handle import OpenJournal
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.refusals import refusing
from tankside.records.journal.safe_place import check_place
from tankside.records.journal.start_check import check_revision, check_start, revision_of

_OPENED: dict[tuple[str, object], OpenJournal] = {}


def open_journal(place: JournalPlace | None = None, *, make: bool = False) -> OpenJournal:
    """Return the journal of a place, checked.

    Args:
        place: None for the one of this user.
        make: begin a new journal where there is none.

    Raises:
        BadInput: E-PATH-02 when there is none.
        CouldNotSave: E-DB-02 to E-DB-04 when it cannot be begun.
        NotPossible: E-DB-05 to E-DB-09 when it cannot be used.
    """
    place = place or journal_place()
    if place.file:
        check_place(place.file)
        if not place.file.exists():
            if not make:
                raise no_journal(place)
            begin_journal(place)
    journal = _OPENED.get(_key(place))
    if journal is None:
        journal = _checked(place, make=make)
        _OPENED[_key(place)] = journal
    return journal


def _key(place: JournalPlace) -> tuple[str, object]:
    """Return what tells a journal from another that took its place."""
    if place.file is None:
        return place.url, None
    status = place.file.stat()
    return str(place.file), (status.st_dev, status.st_ino)


def _checked(place: JournalPlace, *, make: bool) -> OpenJournal:
    if place.file:
        look(place)
    journal = OpenJournal(place, journal_engine(place))
    if place.file is None and _is_empty(journal):
        if not make:
            raise no_journal(place)
        begin_journal(place)
    with journal.reading() as connection:
        check_start(connection, place)
    return journal


def look(place: JournalPlace) -> None:
    """Refuse a file that is no journal of this schema, before anything may write into it.

    Raises:
        NotPossible: E-DB-05 to E-DB-07.
    """
    engine = looking_engine(place.file or Path())
    with refusing(place), engine.connect() as connection:
        check_revision(connection, place)


def _is_empty(journal: OpenJournal) -> bool:
    with journal.reading() as connection:
        return revision_of(connection, journal.place) is None


def no_journal(place: JournalPlace) -> BadInput:
    """Return the refusal when nothing was kept yet."""
    return BadInput(
        "E-PATH-02",
        "There is no journal yet.",
        given=str(place),
        needed="the path of a case file ending in .jsonl, or a journal with cases in it",
        next_step="Open a case in the journal with: tankside case new SHORT-NAME ..., or take "
        "case files with: tankside records import FOLDER",
        field="journal",
    )
