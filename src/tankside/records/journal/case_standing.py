"""How each case of the journal stands, in short: what a list of cases is put in order by."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from tankside.records.journal.case_list import MOST_ASKED
from tankside.records.journal.schema import CASE_DUE, CASE_LIST, ENTRY

COURSE = '%"kind":"course_chosen"%'


@dataclass(frozen=True, slots=True)
class CaseStanding:
    """How a case stands.

    Args:
        number: of the case.
        version: number of its last entry.
        last: day of its last entry, ISO.
        is_closed: whether it is closed.
        due_on: the first day on which it waits for somebody, ISO; "" for none.
    """

    number: int
    version: int
    last: str
    is_closed: bool
    due_on: str


def standings(connection: Connection, numbers: Collection[int] | None = None) -> list[CaseStanding]:
    """Return how the cases stand: all, or some by number."""
    due = (
        select(CASE_DUE.c.case_number, func.min(CASE_DUE.c.due_on).label("due_on"))
        .group_by(CASE_DUE.c.case_number)
        .subquery()
    )
    listed = CASE_LIST.outerjoin(due, due.c.case_number == CASE_LIST.c.case_number)
    case = CASE_LIST.c
    wanted = select(
        case.case_number, case.version, case.last, case.closed, due.c.due_on
    ).select_from(listed)
    if numbers is not None and len(numbers) <= MOST_ASKED:
        wanted = wanted.where(case.case_number.in_(sorted(numbers)))
    return [
        CaseStanding(number, version, last, bool(closed), due_on or "")
        for number, version, last, closed, due_on in connection.execute(wanted).all()
        if numbers is None or number in numbers
    ]


def last_sequence(connection: Connection) -> int:
    """Return the number of the last entry of the journal; 0 for none."""
    return int(connection.execute(select(func.max(ENTRY.c.sequence))).scalar() or 0)


def cases_with_course(connection: Connection, since: int) -> set[int]:
    """Return the cases for which a course was chosen after an entry of the journal.

    Args:
        connection: the journal.
        since: number of that entry; 0 for all.
    """
    wanted = (
        select(ENTRY.c.case_number)
        .where(ENTRY.c.sequence > since, ENTRY.c.body.like(COURSE))
        .distinct()
    )
    return set(connection.execute(wanted).scalars())
