"""An invented journal of many cases, written entry by entry as the program writes them."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Connection

from tankside.case import Entry, entry_from, fold
from tankside.records.journal.append import NewLines, append_lines
from tankside.records.journal.cases import lines_of
from tankside.records.journal.opening import open_journal
from tankside.records.journal.people import PeopleRegister
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.projected_case import ProjectedCase
from tankside.records.journal.projections import project

LONG_CASE = 300
TOGETHER = 200
DAYS = 28
FIRST = ("Alder", "Birch", "Cedar", "Elm", "Hazel", "Larch", "Maple", "Oak", "Rowan", "Willow")
SECOND = ("Road", "Lane", "Street", "Yard", "Court", "Hill", "Row", "Wharf", "Square", "Mill")
GIVEN = ("Ann", "Ben", "Cleo", "Dara", "Ewan", "Faye", "Gus", "Hanna", "Ivo", "June")
SYLLABLES = ("mar", "vel", "ros", "ten", "bro", "lin", "hal", "wick", "dor", "sen", "gra", "pol")
FISH = ("cardinal tetra", "clown loach", "guppy", "discus", "goldfish", "neon tetra", "platy")
CONDITIONS = ("ICH", "VELVET", "COSTIA", "ARGULUS", "COLUMNARIS")
OUTCOMES = ("clear", "clear", "clear", "died", "referred", "lost_contact")


def write_journal(folder: Path, cases: int, entries: int) -> JournalPlace:
    """Write a journal and return its place; the last case has 300 entries.

    Args:
        folder: where it is to stand.
        cases: how many cases.
        entries: entries of each case but the last.
    """
    place = journal_place(folder / "journal.db")
    opened = open_journal(place, make=True)
    for first in range(1, cases + 1, TOGETHER):
        with opened.writing() as connection:
            for number in range(first, min(first + TOGETHER, cases + 1)):
                length = LONG_CASE if number == cases else entries
                _write_case(connection, number, tuple(invented_case(number, length)))
    return place


def _write_case(connection: Connection, number: int, entries: tuple[Entry, ...]) -> None:
    label = f"case-{number}-a"
    done = append_lines(connection, NewLines(number, 0, lines_of(entries), label))
    number_of = PeopleRegister(connection).number_of
    project(connection, ProjectedCase(number, label, fold(entries), number_of), done.sequence)


def invented_case(number: int, length: int) -> Iterator[Entry]:
    """Yield the entries of an invented case: tank, fish, condition, course, notes, perhaps its end.

    Args:
        number: makes the case; the same number gives the same case.
        length: how many entries.
    """
    chance = random.Random(number)
    name = f"{chance.choice(FIRST)} {chance.choice(SECOND)} {number}"
    surname = "".join(chance.choices(SYLLABLES, k=3)).capitalize()
    keeper = f"{chance.choice(GIVEN)} {surname}"
    fish = chance.choice(FISH)
    said: list[dict[str, object]] = [
        {"kind": "opened", "name": name, "keeper": keeper, "water": "fresh", "zone": "UTC"},
        {"kind": "system", "system": "main", "name": f"{chance.choice(SECOND)} tank"},
        {"kind": "stock", "group": "group", "name": fish, "count": chance.randrange(4, 40)},
        {
            "kind": "diagnosis_confirmed", "condition": chance.choice(CONDITIONS),
            "state": "suspected", "shown_by": "eye",
        },
    ]  # fmt: skip
    if chance.random() < 0.3:
        said.append(_course(chance.randrange(3, 15)))
    ends: list[dict[str, object]] = (
        [{"kind": "closed", "outcome": chance.choice(OUTCOMES)}] if number % 5 < 2 else []
    )
    while len(said) < length - len(ends):
        said.append({"kind": "note", "text": f"day {len(said)}: seen by {keeper}, all as before"})
    for index, fields in enumerate([*said, *ends], 1):
        day = 1 + min(index, DAYS) - 1
        at = f"2026-{1 + number % 9:02d}-{max(day, 1):02d}T12:00+00:00"
        base = {"id": index, "by": "desk", "occurred_at": at, "recorded_at": f"{at[:16]}:00Z"}
        if fields["kind"] == "course_chosen":
            fields |= {"starts_at": at}
        yield entry_from(base | fields)


def _course(days: int) -> dict[str, object]:
    steps = [{"kind": "salt", "at_h": 18 + 24 * day, "body": "main"} for day in range(days)]
    course = {"version": 1, "name": "salt", "days": days, "actions": steps, "labels": []}
    return {"kind": "course_chosen", "name": "salt", "course": course}
