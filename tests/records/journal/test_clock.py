"""The order is the sequence, never the clock; a clock that jumped is marked (D12)."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import select
from tests.records.case_entries import entry, opened

from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal import append
from tankside.records.journal.append import NewLines, append_lines, clock_mark
from tankside.records.journal.cases import lines_of
from tankside.records.journal.opening import open_journal
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.schema import ENTRY

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
WALKS = 10_000
STEPS_S = (-90_000.0, -2.1, -2.0, -0.5, 0.0, 1.0, 3600.0, 86_400.0, 86_401.0)


@pytest.mark.parametrize(
    ("seconds", "mark"),
    [(0, None), (-2, None), (-2.001, "back"), (-9e5, "back"), (86_400, None), (86_401, "ahead")],
)
def test_a_jump_is_marked_from_two_seconds_back_and_a_day_ahead(
    seconds: float, mark: str | None
) -> None:
    assert clock_mark(NOON, NOON + timedelta(seconds=seconds)) == mark
    assert clock_mark(None, NOON) is None


def test_who_saves_after_the_clock_went_back_is_told(
    place: JournalPlace, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = create_case("elm", [opened()])
    assert not made.clock_suspect
    monkeypatch.setattr(append, "machine_clock", lambda: NOON)
    added = append_entries(made, [entry(2)])
    assert added.clock_suspect
    assert not append_entries(added, [entry(3)]).clock_suspect
    assert [e.id for e in read_case("elm").entries] == [1, 2, 3]


def test_random_walks_of_the_clock_reorder_and_drop_nothing(
    place: JournalPlace, monkeypatch: pytest.MonkeyPatch
) -> None:
    create_case("elm", [opened()])
    chance = random.Random(5)
    now = datetime.now(UTC)
    expected: list[str | None] = []
    number = 1
    monkeypatch.setattr(append, "machine_clock", lambda: now)
    journal = open_journal(place)
    while number < WALKS:
        with journal.writing() as connection:
            for _ in range(500):
                step_s = chance.choice(STEPS_S) if number > 1 else 0.0
                now += timedelta(seconds=step_s)
                expected.append("back" if step_s < -2 else "ahead" if step_s > 86_400 else None)
                append_lines(connection, NewLines(1, number, lines_of([entry(number + 1)])))
                number += 1
    with journal.reading() as connection:
        wanted = select(ENTRY.c.sequence, ENTRY.c.case_version, ENTRY.c.clock).order_by("sequence")
        rows = connection.execute(wanted).all()
    assert [row.sequence for row in rows] == list(range(1, number + 1))
    assert [row.case_version for row in rows] == list(range(1, number + 1))
    assert [row.clock for row in rows[2:]] == expected[1:]
    assert {"back", "ahead", None} == set(expected)
