"""Who comes first: gasping and deaths, then what is due, then the rest; closed cases last."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tankside.report.board import board_page
from tankside.services.board import Board, Urgency
from tankside.services.cases import Opening, add_words, new_case

PRESENT = "2026-03-18T18:30+00:00"


@pytest.fixture
def make(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Path]:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)

    def made(name: str, *rows: tuple[str, ...]) -> Path:
        path = tmp_path / f"{name.lower().replace(' ', '-')}.jsonl"
        new_case(path, Opening(name, f"keeper of {name}", "fresh", "Europe/London"), by="test")
        for kind, *words in rows:
            add_words(path, kind, words, by="test")
        return path

    return made


def test_gasping_fish_and_deaths_come_first_and_closed_cases_last(
    make: Callable[..., Path],
) -> None:
    folder = make("Calm Street").parent
    make("Ended Row", ("closed", "outcome=clear", "reason=clean"))
    make("Quay House", ("finding", "breathing=gasping"))
    make("Dead End", ("death", "2"))
    (folder / "broken.jsonl").write_text("{}\n", encoding="utf-8")
    cases = Board(folder).cases()
    assert [case.urgency for case in cases] == [
        Urgency.NOW, Urgency.NOW, Urgency.OPEN, Urgency.UNREADABLE, Urgency.CLOSED,
    ]  # fmt: skip
    assert {case.file for case in cases[:2]} == {"quay-house.jsonl", "dead-end.jsonl"}
    page = board_page(Board(folder).listed())
    assert page.groups[0].title == "Act now"
    reasons = " ".join(row.reason for row in page.groups[0].rows)
    assert "A fish was gasping" in reasons
    assert "2 dead within a day." in reasons
    assert page.groups[-1].is_folded


def test_what_was_urgent_a_day_ago_is_so_no_longer(
    make: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = make("Quay House", ("finding", "breathing=gasping")).parent
    board = Board(folder)
    assert board.cases()[0].urgency is Urgency.NOW
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-20T18:30+00:00")
    assert board.cases()[0].urgency is Urgency.OPEN


def test_a_case_that_changed_is_read_anew(make: Callable[..., Path]) -> None:
    path = make("Calm Street")
    board = Board(path.parent)
    assert board.cases()[0].urgency is Urgency.OPEN
    add_words(path, "death", ("1",), by="test")
    assert board.cases()[0].urgency is Urgency.NOW


def test_words_in_any_order_find_a_case_by_what_is_in_it(make: Callable[..., Path]) -> None:
    folder = make("Elm Road", ("suspected", "condition=white spot", "shown-by=eye")).parent
    make("Mill Race", ("stock", "name=fathead minnow", "count=3", "length=6 cm"))
    board = Board(folder)

    def sought(words: str) -> list[str]:
        page = board_page(board.listed(words), words)
        return [row.name for group in page.groups for row in group.rows]

    assert sought("ich elm") == ["Elm Road"]
    assert sought("MINNOW") == ["Mill Race"]
    assert sought("keeper of") == sought("")
    assert sought("no such word") == []
    assert (
        "No open case holds these words."
        in board_page(board.listed("no such word"), "no such word").lead
    )
