"""The forecast in its three forms is one text: change a sentence once and all three change."""

from __future__ import annotations

from pathlib import Path
from types import ModuleType

import pytest
from tests.report.forms import bare, page, paper, sentences, terminal
from tests.services.salt_case import PRESENT, salt_case

from tankside.intake.clock import VARIABLE
from tankside.intake.forecast_setup import ForecastRequest
from tankside.report import (
    forecast_acts,
    forecast_days,
    forecast_document,
    forecast_moves,
    forecast_sources,
    forecast_sweeps,
    page_forecast,
)
from tankside.report.page import open_case
from tankside.services import by_cause
from tankside.services.forecast import forecast

RUNS = 16
NEW = "A sentence that stands nowhere else."


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Play few histories on the page too."""
    monkeypatch.setenv(VARIABLE, PRESENT)
    monkeypatch.setattr(
        by_cause, "forecast", lambda path, *_: forecast(path, ForecastRequest(runs=RUNS))
    )


@pytest.fixture
def case(tmp_path: Path) -> Path:
    return salt_case(tmp_path)


def three_forms(case: Path) -> dict[str, str]:
    pdf = case.with_suffix(".pdf")
    asked = ("forecast", str(case), "--runs", str(RUNS), "--sampled", "--pdf", str(pdf))
    return {"terminal": terminal(*asked), "page": page(case, "forecast"), "paper": paper(pdf)}


def test_every_word_of_the_answer_is_in_all_three_forms(case: Path) -> None:
    answer = forecast(case, ForecastRequest(runs=RUNS))
    document = forecast_document.forecast_document(answer, everything=True)
    for form, text in three_forms(case).items():
        assert [words for words in sentences(document, form) if words not in text] == [], form


@pytest.mark.parametrize(
    ("writer", "sentence"),
    [
        (forecast_document, "NOT_VALIDATED"),
        (forecast_sweeps, "ASK"),
        (forecast_sources, "WATER_SOURCE"),
        (forecast_sources, "EVERY"),
    ],
)
def test_a_sentence_changed_once_is_changed_in_all_three_forms(
    writer: ModuleType, sentence: str, case: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = bare(getattr(writer, sentence))
    monkeypatch.setattr(writer, sentence, NEW)
    for form, text in three_forms(case).items():
        assert bare(NEW) in text, form
        assert old not in text, form


@pytest.mark.parametrize(
    ("writer", "table", "key", "old"),
    [
        (forecast_document, "PASSAGES", "peak", "most parasites on the fish"),
        (forecast_acts, "STATES", "siphon", "siphoning takes out:"),
    ],
)
def test_a_name_changed_once_is_changed_in_all_three_forms(
    writer: ModuleType, table: str, key: str, old: str, case: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(getattr(writer, table), key, NEW)
    for form, text in three_forms(case).items():
        assert bare(NEW) in text, form
        assert bare(old) not in text, form


@pytest.mark.parametrize("outcome", ["CLEARANCE", "LOSSES"])
def test_what_matters_most_is_said_once_for_all_forms(
    outcome: str, case: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(forecast_moves, outcome, (NEW, NEW))
    for form, text in three_forms(case).items():
        assert bare(NEW) in text, form


def test_why_spots_are_not_the_burden_is_said_once_for_all_forms(
    case: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(forecast_days, "WHYS", (("eye_detection", f"{NEW} {{}}"),))
    for form, text in three_forms(case).items():
        assert bare(NEW) in text, form
        assert bare("the young are too small to see") not in text, form


def test_a_terminal_lists_every_sampled_value_only_when_asked(case: Path) -> None:
    short = terminal("forecast", str(case), "--runs", str(RUNS))
    assert bare("Every range and source: --sampled.") in short
    assert "noe_dickerson_1995" not in short.split(bare("WHAT WAS SAMPLED"))[1]


def test_the_page_has_a_figure_of_each_course_and_folds_the_days(case: Path) -> None:
    blocks = page_forecast.forecast_blocks(open_case(case))
    titles = [block.title for block in blocks]
    assert [t for t in titles if t.startswith("Against what was to be expected")] == [
        f"Against what was to be expected: {name}"
        for name in ("salt to 2 g/L", "water only", "no treatment")
    ]
    folded = {block.title for block in blocks if getattr(block, "folded", False)}
    assert folded == {
        "DAY BY DAY: salt to 2 g/L", "DAY BY DAY: no treatment", "Every range and source",
    }  # fmt: skip
