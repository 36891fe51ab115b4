"""The follow-up in its three forms is one text: change a sentence once and all three change."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest
from pypdf import PdfReader
from tests.report.forms import bare, page, paper, sentences, terminal
from tests.services.salt_case import PRESENT, Row, salt_case

from tankside.follow import Effort, sample_posterior, search
from tankside.intake.clock import VARIABLE
from tankside.present.blocks import Words
from tankside.records.case_file import read_case
from tankside.report import follow_document as writer
from tankside.services import follow as service
from tankside.services.follow import follow
from tankside.web.pages import case as case_pages

NEW = "A sentence that stands nowhere else."
CLEAN: Row = ("count", "on=2026-05-05T20:00", "fish=worst platy", "group=platy", "spots=0")
BURST: Row = ("count", "on=2026-05-05T20:00", "fish=worst platy", "group=platy", "spots=9000")
CASES: dict[str, tuple[Row, ...]] = {"none": (), "fits": (), "clean": (CLEAN,), "burst": (BURST,)}


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Play few histories; the forecast beside the follow-up has tests of its own."""
    effort = Effort(search=64, final=128)
    monkeypatch.setenv(VARIABLE, PRESENT)
    monkeypatch.setattr(service, "search", partial(search, effort=effort))
    monkeypatch.setattr(service, "sample_posterior", partial(sample_posterior, effort=effort))
    monkeypatch.setattr(case_pages, "forecast_blocks", lambda *_: (Words("Foretold", ()),))


def three_forms(case: Path) -> dict[str, str]:
    pdf = case.with_suffix(".pdf")
    return {
        "terminal": terminal("follow", str(case), "--pdf", str(pdf)),
        "page": page(case, "follow"),
        "paper": paper(pdf),
    }


@pytest.mark.parametrize("name", CASES)
def test_every_word_of_the_answer_is_in_all_three_forms(name: str, tmp_path: Path) -> None:
    case = salt_case(tmp_path, *CASES[name], counts=name != "none")
    document = writer.follow_document(follow(case))
    for form, text in three_forms(case).items():
        assert [words for words in sentences(document) if words not in text] == [], form


@pytest.mark.parametrize(
    ("sentence", "name"),
    [("NO_COUNT", "none"), ("DO_NOT", "none"), ("YOU_DECIDE", "clean"), ("LEFT", "clean"),
     ("FITS", "fits"), ("UNEXPLAINED", "burst")],
)  # fmt: skip
def test_a_sentence_changed_once_is_changed_in_all_three_forms(
    sentence: str, name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = salt_case(tmp_path, *CASES[name], counts=name != "none")
    old = bare(getattr(writer, sentence))
    monkeypatch.setattr(writer, sentence, NEW)
    for form, text in three_forms(case).items():
        assert bare(NEW) in text, form
        assert old not in text, form


def test_what_a_clean_look_can_show_is_said_once_for_all_forms(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = salt_case(tmp_path, CLEAN)
    monkeypatch.setattr(writer, "clean_look_words", lambda _: NEW)
    for form, text in three_forms(case).items():
        assert bare(NEW) in text, form
        assert "infectedisnotproofofabsence" not in text, form


def test_the_foot_of_the_paper_names_the_last_entry_and_the_file(tmp_path: Path) -> None:
    case = salt_case(tmp_path, counts=False)
    pdf = tmp_path / "answer.pdf"
    terminal("follow", str(case), "--pdf", str(pdf))
    text = PdfReader(pdf).pages[0].extract_text()
    stored = read_case(case)
    assert f"Made from case entry {stored.version}, file {stored.digest[:8]}." in text
