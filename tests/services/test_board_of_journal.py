"""The list of the journal: in the order of urgency, without reading every case for it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside.bench.records_journal import write_journal
from tankside.records.case_store import read_case
from tankside.records.journal.place import VARIABLE
from tankside.services import board_of_journal
from tankside.services.board import MOST_SHOWN, Urgency
from tankside.services.board_of_journal import JournalBoard
from tankside.services.cases import Opening, add_words, new_case

PRESENT = "2026-10-18T18:30+00:00"


@pytest.fixture
def journal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    monkeypatch.setenv(VARIABLE, str(tmp_path / "journal.db"))


def opened(label: str, *rows: tuple[str, ...]) -> None:
    new_case(label, Opening(label, "keeper", "fresh", "Europe/London"), by="test")
    for kind, *words in rows:
        add_words(label, kind, words, by="test")


@pytest.mark.usefixtures("journal")
def test_gasping_and_dead_come_first_and_closed_last() -> None:
    opened("calm")
    opened("ended", ("closed", "outcome=clear", "reason=clean"))
    opened("quay", ("finding", "breathing=gasping"))
    opened("dead", ("death", "2"))
    listed = JournalBoard().listed()
    assert [(case.urgency, case.view and case.view.name) for case in listed.cases] == [
        (Urgency.NOW, "dead"), (Urgency.NOW, "quay"), (Urgency.OPEN, "calm"),
        (Urgency.CLOSED, "ended"),
    ]  # fmt: skip
    assert listed.everything == 4


@pytest.mark.usefixtures("journal")
def test_what_is_written_meanwhile_is_seen_and_what_was_urgent_yesterday_is_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    opened("calm")
    board = JournalBoard()
    assert board.listed().cases[0].urgency is Urgency.OPEN
    add_words("calm", "death", ("1",), by="test")
    assert board.listed().cases[0].urgency is Urgency.NOW
    monkeypatch.setenv("TANKSIDE_NOW", "2026-10-20T18:30+00:00")
    assert board.listed().cases[0].urgency is Urgency.OPEN


@pytest.mark.usefixtures("journal")
def test_a_case_is_searched_by_a_slip_of_the_pen() -> None:
    opened("elm", ("stock", "name=cardinal tetra", "count=3", "length=3 cm"))
    opened("oak")
    board = JournalBoard()
    assert [case.view and case.view.name for case in board.listed("cardinel").cases] == ["elm"]
    nothing = board.listed("no such word")
    assert (len(nothing.cases), nothing.everything) == (0, 2)


def test_of_many_cases_only_those_that_are_shown_are_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(VARIABLE, str(write_journal(tmp_path, 300, 6)))
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    read: list[str] = []

    def counted(reference: str) -> object:
        read.append(reference)
        return read_case(reference)

    monkeypatch.setattr(board_of_journal, "read_case", counted)
    board = JournalBoard()
    listed = board.listed()
    assert sum(listed.numbers.values()) == listed.everything == 300
    assert (
        len(listed.cases)
        == len(read)
        == sum(min(number, MOST_SHOWN) for number in listed.numbers.values())
    )
    assert len(read) < 300
    board.listed()
    assert len(read) == len(listed.cases)
