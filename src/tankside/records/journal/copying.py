"""Copy a journal entry by entry into an empty database, checking the chain on the way."""

from __future__ import annotations

from sqlalchemy import Connection, Table, func, insert, select

from tankside.records.journal.beginning import begin
from tankside.records.journal.entry_rows import AT_A_TIME, columns_of, end_of, rows_between
from tankside.records.journal.photos import copy_photos
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.projections import PROJECTIONS, outdated
from tankside.records.journal.rebuild import rebuild_in
from tankside.records.journal.refusals import broken
from tankside.records.journal.schema import ENTRY, JOURNAL, PERSON, PROJECTION
from tankside.records.journal.walk import ChainWalk


def copy_journal(source: Connection, target: Connection, place: JournalPlace) -> int:
    """Make in an empty database the journal that a connection sees at this moment.

    Args:
        source: the journal, in a transaction that sees one moment.
        target: an empty database, in a transaction that writes.
        place: of the source, for what is said of it.

    Returns:
        The number of entries.

    Raises:
        NotPossible: E-DB-05 at the first entry that is not as it was written.
    """
    origin = source.execute(select(JOURNAL)).one()
    begin(target, origin.identity, origin.begun_at)
    _copy_rows(source, target, PERSON)
    copy_photos(source, target, place)
    last, _ = end_of(source)
    walk = ChainWalk(source)
    waiting: list[dict[str, object]] = []
    for row in rows_between(source, 0, last):
        walk.follow(row)
        if walk.faults:
            raise broken(place, str(walk.faults[0]))
        waiting.append(columns_of(row))
        if len(waiting) == AT_A_TIME:
            target.execute(insert(ENTRY), waiting)
            waiting = []
    if waiting:
        target.execute(insert(ENTRY), waiting)
    if walk.last != last:
        raise broken(place, f"entries are missing after entry {walk.last}")
    if last and outdated(source, last):
        rebuild_in(target, place)
    else:
        for table in (*(projection.table for projection in PROJECTIONS), PROJECTION):
            _copy_rows(source, target, table)
    return last


def case_count(connection: Connection) -> int:
    """Return how many cases a journal holds."""
    wanted = select(func.count(ENTRY.c.case_number.distinct()))
    return int(connection.execute(wanted).scalar() or 0)


def _copy_rows(source: Connection, target: Connection, table: Table) -> None:
    ordered = select(table).order_by(*table.primary_key.columns)
    for rows in source.execute(ordered).mappings().partitions(AT_A_TIME):
        target.execute(insert(table), [dict(row) for row in rows])
