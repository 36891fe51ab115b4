"""The case list: what a list of cases shows of each, and how a case is looked up by its name."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy import Connection, select

from tankside.records.journal.people import removed_name
from tankside.records.journal.projected_case import ProjectedCase
from tankside.records.journal.schema import CASE_LIST, PERSON

MOST_ASKED = 5000
"""Numbers in one question; with more, all cases are read."""


@dataclass(frozen=True, slots=True)
class JournalCase:
    """A case of the journal in short."""

    number: int
    label: str
    name: str
    keeper: str
    opened: str
    last: str
    entries: int
    closed: bool


def case_list_rows(case: ProjectedCase) -> list[dict[str, object]]:
    """Return the row of a case."""
    view = case.view
    return [
        {
            "label": case.label,
            "name": view.name,
            "name_key": name_key(view.name),
            "keeper": case.number_of(view.opened.keeper),
            "opened": view.opened.moment.day.isoformat(),
            "last": view.last_moment().day.isoformat(),
            "version": view.version,
            "closed": int(view.closed is not None),
        }
    ]


def name_key(name: str) -> str:
    """Return a name as it is compared: without regard to capitals and outer blanks."""
    return name.strip().casefold()


def listed_cases(
    connection: Connection, *, name: str | None = None, numbers: Collection[int] | None = None
) -> list[JournalCase]:
    """Return the cases in the order of their numbers: all, those of one name, or some by number."""
    if numbers is not None and len(numbers) > MOST_ASKED:
        every = listed_cases(connection, name=name)
        return [case for case in every if case.number in numbers]
    joined = CASE_LIST.outerjoin(PERSON, PERSON.c.number == CASE_LIST.c.keeper)
    wanted = (
        select(
            CASE_LIST.c.case_number, CASE_LIST.c.label, CASE_LIST.c.name, PERSON.c.name,
            CASE_LIST.c.keeper, CASE_LIST.c.opened, CASE_LIST.c.last, CASE_LIST.c.version,
            CASE_LIST.c.closed,
        )
        .select_from(joined)
        .order_by(CASE_LIST.c.case_number)
    )  # fmt: skip
    if name is not None:
        wanted = wanted.where(CASE_LIST.c.name_key == name_key(name))
    if numbers is not None:
        wanted = wanted.where(CASE_LIST.c.case_number.in_(sorted(numbers)))
    return [
        JournalCase(n, label, title, who or removed_name(keeper), opened, last, many, bool(closed))
        for n, label, title, who, keeper, opened, last, many, closed in connection.execute(
            wanted
        ).all()
    ]
