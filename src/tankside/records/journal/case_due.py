"""The days on which cases wait for somebody, over all cases."""

from __future__ import annotations

from collections import Counter
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
        select(
            CASE_DUE.c.case_number, CASE_LIST.c.label, CASE_LIST.c.name, CASE_DUE.c.due_on,
            CASE_DUE.c.what, CASE_DUE.c.steps,
        )
        .select_from(joined)
        .where(CASE_DUE.c.due_on <= until.isoformat())
        .order_by(CASE_DUE.c.due_on, CASE_DUE.c.case_number)
    )  # fmt: skip
    rows = connection.execute(wanted).all()
    days = Counter(row[0] for row in rows)
    first = {row[0]: row for row in reversed(rows)}
    waiting = sorted(first.values(), key=lambda row: (row[3], row[0]))
    return [
        DueCase(number, label, name, date.fromisoformat(due_on), what, steps, days[number])
        for number, label, name, due_on, what, steps in waiting
    ]
