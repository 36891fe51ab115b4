"""The pages of follow-up and forecast: waiting, worked out, and refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.services.salt_case import PRESENT, Row, salt_case

from tankside.errors import NotPossible
from tankside.intake.clock import VARIABLE
from tankside.present.blocks import Block, Drawing, Words
from tankside.present.table import Table
from tankside.report.follow_document import DO_NOT
from tankside.report.page import OpenCase, open_case
from tankside.report.page_follow import follow_blocks, follow_page
from tankside.report.page_forecast import forecast_blocks, forecast_page
from tankside.services import by_cause

FIGURE = Drawing("Against what was to be expected", "<svg/>", "It falls.", Table("t", ("a",), ()))
WORM: Row = ("confirmed", "condition=LERNAEA", "shown-by=seen")
NO_ICH: Row = ("ruled-out", "condition=ICH", "shown-by=wet mount")


@pytest.fixture(autouse=True)
def present(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, PRESENT)


def opened(folder: Path, *rows: Row, **more: bool) -> OpenCase:
    return open_case(salt_case(folder, *rows, **more))


def titles(blocks: tuple[Block, ...]) -> list[str]:
    return [block.title for block in blocks]


def test_the_date_to_wait_for_stands_before_anything_is_worked_out(tmp_path: Path) -> None:
    blocks = follow_page(opened(tmp_path), None, None).blocks
    assert titles(blocks)[:2] == ["The date to wait for", "Being worked out"]
    first = blocks[0]
    assert isinstance(first, Words)
    assert first.lines[0].startswith("NOT BEFORE Tue 12 May 2026. ")  # day 8, see the services
    assert first.lines[1] == DO_NOT


def test_when_it_is_worked_out_the_answer_stands_alone_with_figures_and_counts(
    tmp_path: Path,
) -> None:
    answer = (Words("What is left", ("worked out",)),)
    foretold = (Words("TIME WINDOWS", ("not of this page",)), FIGURE)
    page = follow_page(opened(tmp_path), answer, foretold)
    assert titles(page.blocks) == ["What is left", FIGURE.title, "Counts"]


def test_the_answer_does_not_wait_for_the_figures(tmp_path: Path) -> None:
    answer = (Words("What is left", ("worked out",)),)
    assert titles(follow_page(opened(tmp_path), answer, None).blocks) == ["What is left", "Counts"]


def test_what_cannot_be_worked_out_is_said_once_with_its_next_step_and_the_printed_dates(
    tmp_path: Path,
) -> None:
    case = opened(tmp_path, NO_ICH, WORM)
    blocks = follow_blocks(case)
    said = [block for block in blocks if getattr(block, "title", "") == "Not simulated"]
    assert len(said) == 1
    assert "no life cycle with figures" in str(said[0])
    for shown in (blocks, forecast_blocks(case)):
        assert str(shown).count("Dates in print: anchor worm") == 1
        assert "Look again on" in str(shown[-1])


def test_where_only_the_histories_are_refused_the_date_still_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise NotPossible(
            "E-DOSE-20", "No volume.", given="none", needed="a volume", next_step="Measure it.",
            field="volume",
        )  # fmt: skip

    monkeypatch.setattr(by_cause, "follow", refuse)
    blocks = follow_blocks(opened(tmp_path))
    assert "The date to wait for" in titles(blocks)
    assert "No volume." in str(blocks)
    assert "Measure it." in str(blocks)


def test_the_forecast_waits_and_then_stands_alone() -> None:
    assert titles(forecast_page(None).blocks) == ["Being worked out"]
    assert forecast_page((FIGURE,)).blocks == (FIGURE,)
