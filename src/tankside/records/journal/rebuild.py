"""Make the projections again from the entries, case by case."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, select

from tankside.case import decode, fold
from tankside.records.journal.cases import case_text
from tankside.records.journal.entry_rows import end_of
from tankside.records.journal.handle import OpenJournal
from tankside.records.journal.people import PeopleRegister
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.projected_case import ProjectedCase
from tankside.records.journal.projections import project_all
from tankside.records.journal.schema import ENTRY


def rebuild(journal: OpenJournal) -> int:
    """Make every projection again and return how many cases there are.

    Raises:
        CouldNotSave: E-DB-02 to E-DB-04; the old projections stand.
        NotPossible: E-DB-05 when an entry is not as it was written.
    """
    with journal.writing() as connection:
        return rebuild_in(connection, journal.place)


def rebuild_in(connection: Connection, place: JournalPlace) -> int:
    """Make every projection again within a transaction that writes."""
    numbers = [int(n) for n in connection.execute(select(ENTRY.c.case_number).distinct()).scalars()]
    last, _ = end_of(connection)
    project_all(connection, _cases(connection, sorted(numbers), place), last)
    return len(numbers)


def _cases(
    connection: Connection, numbers: list[int], place: JournalPlace
) -> Iterator[ProjectedCase]:
    number_of = PeopleRegister(connection).number_of
    for number in numbers:
        text = case_text(connection, number, place)
        yield ProjectedCase(number, text.label, fold(decode(text.data)), number_of)
