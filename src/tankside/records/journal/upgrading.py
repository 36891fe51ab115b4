"""Bring a journal with an older schema up to date: a backup first, then all of it or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path
from sqlalchemy import Connection

from tankside.records.journal.engine import WRITES, journal_engine, looking_engine
from tankside.records.journal.migrate import upgrade
from tankside.records.journal.opening import no_journal
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.plain_copy import copy_before
from tankside.records.journal.rebuild import rebuild_in
from tankside.records.journal.refusals import refusing
from tankside.records.journal.safe_place import check_place
from tankside.records.journal.schema import REVISION
from tankside.records.journal.start_check import check_revision, revision_of


@dataclass(frozen=True, slots=True)
class Upgraded:
    """From which schema a journal came, and where the copy of before stands."""

    before: str
    after: str
    copy: Path | None


def upgrade_journal(place: JournalPlace) -> Upgraded:
    """Run what is missing of the schema; a journal that is up to date stays as it is.

    Raises:
        BadInput: E-PATH-02 when there is none.
        CouldNotSave: E-DB-02 to E-DB-04; the journal has its old schema then.
        NotPossible: E-DB-06 newer than this program, E-DB-07 no journal.
    """
    before = _revision(place)
    if before == REVISION:
        return Upgraded(before, before, None)
    copy = copy_before(place, before, user_data_path("tankside"))
    with refusing(place), journal_engine(place).connect() as connection:
        connection = connection.execution_options(**{WRITES: True})
        with connection.begin():
            upgrade(connection)
            rebuild_in(connection, place)
    return Upgraded(before, REVISION, copy)


def _revision(place: JournalPlace) -> str:
    if place.file:
        check_place(place.file)
        if not place.file.exists():
            raise no_journal(place)
    engine = looking_engine(place.file) if place.file else journal_engine(place)
    with refusing(place), engine.connect() as connection:
        return _old(connection, place)


def _old(connection: Connection, place: JournalPlace) -> str:
    revision = revision_of(connection, place)
    if revision is None:
        raise no_journal(place)
    if revision > REVISION:
        check_revision(connection, place)
    return revision
