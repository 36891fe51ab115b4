"""Tables made from the entries of each case; they can be thrown away and made again at any time.

A projection is a table with ``case_number`` and ``content_hash`` and a pure function from a case
to its rows. Another one is a table in ``schema``, its migration, and its place in ``PROJECTIONS``;
when what it says of a case changes, its revision goes up and a migration comes with it, after which
all are made anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, Table, delete, insert, select

from tankside.records.journal.case_due import due_rows
from tankside.records.journal.case_list import case_list_rows
from tankside.records.journal.case_outcomes import outcome_rows
from tankside.records.journal.case_words import word_rows
from tankside.records.journal.chain import content_hash
from tankside.records.journal.projected_case import ProjectedCase
from tankside.records.journal.schema import CASE_DUE, CASE_LIST, CASE_OUTCOME, CASE_WORD, PROJECTION

Row = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Projection:
    """A table made from the entries.

    Args:
        table: where its rows stand.
        revision: goes up when the rows of a case change their form.
        rows: what the table holds of a case.
    """

    table: Table
    revision: int
    rows: Callable[[ProjectedCase], Sequence[Row]]


PROJECTIONS = (
    Projection(CASE_LIST, 1, case_list_rows),
    Projection(CASE_WORD, 1, word_rows),
    Projection(CASE_DUE, 1, due_rows),
    Projection(CASE_OUTCOME, 1, outcome_rows),
)


def project(connection: Connection, case: ProjectedCase, through: int) -> None:
    """Renew what all projections hold of one case, up to an entry of the journal."""
    for projection in PROJECTIONS:
        _renew(connection, projection, case)
        mark(connection, projection, through)


def mark(connection: Connection, projection: Projection, through: int) -> None:
    """Note how far a projection reaches."""
    name = projection.table.name
    connection.execute(delete(PROJECTION).where(PROJECTION.c.name == name))
    row = {"name": name, "revision": projection.revision, "through_sequence": through}
    connection.execute(insert(PROJECTION).values(row))


def project_all(connection: Connection, cases: Iterable[ProjectedCase], through: int) -> None:
    """Throw away what every projection holds and make it again from all cases."""
    for projection in PROJECTIONS:
        connection.execute(delete(projection.table))
    for case in cases:
        for projection in PROJECTIONS:
            _renew(connection, projection, case)
    for projection in PROJECTIONS:
        mark(connection, projection, through)


def outdated(connection: Connection, last: int) -> list[str]:
    """Name the projections that do not reach the last entry, or stand there in another form."""
    rows = connection.execute(select(PROJECTION)).all()
    there = {row.name: (row.revision, row.through_sequence) for row in rows}
    return [
        projection.table.name
        for projection in PROJECTIONS
        if there.get(projection.table.name) != (projection.revision, last)
    ]


def damaged(connection: Connection) -> list[str]:
    """Name the rows that are not as they were written."""
    faults = []
    for projection in PROJECTIONS:
        for row in connection.execute(select(projection.table)).mappings():
            values = dict(row)
            said = values.pop("content_hash")
            if content_hash(values) != said:
                faults.append(f"{projection.table.name}, case {row['case_number']}")
    return faults


def _renew(connection: Connection, projection: Projection, case: ProjectedCase) -> None:
    table = projection.table
    connection.execute(delete(table).where(table.c.case_number == case.number))
    rows = [{**row, "case_number": case.number} for row in projection.rows(case)]
    if rows:
        connection.execute(insert(table), [r | {"content_hash": content_hash(r)} for r in rows])
