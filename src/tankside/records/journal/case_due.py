"""The days on which cases wait for somebody, over all cases."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, select

from tankside.case.due import due_days
from tankside.records.journal.projected_case import ProjectedCase
from tankside.records.journal.schema import CASE_DUE, CASE_LIST


@dataclass(frozen=True, slots=True)
class DueCase:
    """A case that waits: its first day that nobody answered, and how many there are up to then.

    Args:
        number: of the case.
        label: its short name.
        name: its name.
        due_on: the first such day.
        what: ``course_day`` or ``course_over``.
        steps: steps of the course on that day.
        days: days up to the last one asked for that wait.
    """

    number: int
    label: str
    name: str
    due_on: date
    what: str
    steps: int
    days: int


def due_rows(case: ProjectedCase) -> list[dict[str, object]]:
    """Return one row for each day on which a case waits."""
    return [
        {"due_on": due.day.isoformat(), "what": due.what, "steps": due.steps}
        for due in due_days(case.view)
    ]


def due_cases(connection: Connection, until: date) -> list[DueCase]:
    """Return the cases that wait on a day up to ``until``, those that wait longest first."""
    joined = CASE_DUE.join(CASE_LIST, CASE_LIST.c.case_number == CASE_DUE.c.case_number)
    wanted = (
        select(CASE_DUE, CASE_LIST.c.label, CASE_LIST.c.name)
        .select_from(joined)
        .where(CASE_DUE.c.due_on <= until.isoformat())
        .order_by(CASE_DUE.c.due_on, CASE_DUE.c.case_number)
    )
    waiting: dict[int, DueCase] = {}
    days: dict[int, int] = {}
    for row in connection.execute(wanted):
        days[row.case_number] = days.get(row.case_number, 0) + 1
        if row.case_number not in waiting:
            due_on = date.fromisoformat(row.due_on)
            waiting[row.case_number] = DueCase(
                row.case_number, row.label, row.name, due_on, row.what, row.steps, 1
            )
    return [
        DueCase(d.number, d.label, d.name, d.due_on, d.what, d.steps, days[d.number])
        for d in waiting.values()
    ]
