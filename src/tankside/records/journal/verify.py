"""Look over a whole journal: structure, schema, chain, people and what is made from the entries."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, func, select, text

from tankside.errors import Mistake, NotPossible
from tankside.records.journal.engine import journal_engine, looking_engine
from tankside.records.journal.entry_rows import end_of, rows_between
from tankside.records.journal.opening import no_journal
from tankside.records.journal.photos import damaged_photos
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.projections import damaged, outdated
from tankside.records.journal.refusals import refusing
from tankside.records.journal.schema import ENTRY
from tankside.records.journal.start_check import check_schema, revision_of
from tankside.records.journal.walk import ChainWalk

MOST_FAULTS = 20


@dataclass(frozen=True, slots=True)
class Verified:
    """What was looked over and what does not hold; ``head`` is the hash of the last entry."""

    entries: int
    cases: int
    head: str
    clock_suspect: int
    faults: tuple[str, ...]


def verify_place(place: JournalPlace) -> Verified:
    """Look over a journal as it stands, also one that cannot be opened any more.

    Raises:
        BadInput: E-PATH-02 when there is none.
        NotPossible: E-DB-09 when the database does not answer.
    """
    if place.file is None:
        engine = journal_engine(place)
    elif place.file.exists():
        engine = looking_engine(place.file)
    else:
        raise no_journal(place)
    try:
        with refusing(place), engine.connect() as connection, connection.begin():
            if place.file is None and revision_of(connection, place) is None:
                raise no_journal(place)
            return verify(connection, place)
    except NotPossible as fault:
        if fault.code == "E-DB-09":
            raise
        return Verified(0, 0, "", 0, (f"{fault.message} {fault.given}",))


def verify(connection: Connection, place: JournalPlace) -> Verified:
    """Look over a journal; a fault is returned, not raised.

    Args:
        connection: the database, within a transaction.
        place: of the journal, for what is said.
    """
    faults: list[str] = []
    numbers = (0, 0, "", 0)
    try:
        with refusing(place):
            faults += _structure(connection)
            check_schema(connection, place)
            numbers = _content(connection, faults)
    except Mistake as fault:
        faults.append(f"{fault.message} {fault.given}")
    return Verified(*numbers, tuple(faults[:MOST_FAULTS]))


def _structure(connection: Connection) -> list[str]:
    if connection.dialect.name != "sqlite":
        return []
    said = connection.execute(text(f"PRAGMA integrity_check({MOST_FAULTS})")).scalars().all()
    return [f"structure: {line}" for line in said if line != "ok"]


def _content(connection: Connection, faults: list[str]) -> tuple[int, int, str, int]:
    last, head = end_of(connection)
    walk = ChainWalk(connection)
    counted = 0
    for row in rows_between(connection, 0, last):
        walk.follow(row)
        counted += 1
    walk.people()
    faults += [str(fault) for fault in walk.faults]
    if counted != last:
        faults.append(f"{last - counted} of {last} entries are missing")
    if last:
        faults += [f"{name} does not reach the last entry" for name in outdated(connection, last)]
    faults += [f"{place} is not as it was made" for place in damaged(connection)]
    faults += damaged_photos(connection)
    cases = connection.execute(select(func.count(ENTRY.c.case_number.distinct()))).scalar()
    return counted, int(cases or 0), head, walk.clock_suspect
