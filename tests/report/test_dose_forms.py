"""One amount is written once: terminal, paper and a page of its pieces say the same."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.report.plan_answers_shown import (
    FILE,
    PRESENT,
    as_read,
    command,
    paper,
    sentences,
    squeezed,
    type_case,
)

from tankside.intake.dose_request import DoseRequest
from tankside.present import law
from tankside.present.blocks import Page
from tankside.records.case_file import read_case
from tankside.report import dose_text
from tankside.report.page import open_case, strip
from tankside.services.cases import add_words
from tankside.services.dose import work_out
from tankside.web.render import environment

CHANGED = "A sentence that stood nowhere before."
ASKED = DoseRequest("salt", "2 g/L")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    type_case(tmp_path / FILE)
    words = ("agent=salt", "strength=pure", "scale=1 g")
    add_words(tmp_path / FILE, "label", words, by="test")
    return tmp_path


def as_page(folder: Path) -> str:
    """Render the pieces as any page of a case is rendered."""
    case = open_case(folder / FILE)
    document = dose_text.dose_document(work_out(ASKED, case.view), why=True)
    shown = Page("dose", document.title, document.lead, document.blocks)
    template = environment().get_template("page.html")
    return as_read(
        template.render(
            here="dose",
            strip=strip(case),
            base="",
            page=shown,
            on_paper=False,
            waiting=None,
            reply=None,
        )
    )


def forms(folder: Path) -> dict[str, str]:
    target = folder / "dose.pdf"
    words = ("--agent", ASKED.agent, "--strength", ASKED.strength, "--case", str(folder / FILE))
    text = command("dose", *words, "--why", "--pdf", str(target))
    return {"terminal": text, "page": as_page(folder), "paper": paper(target)}


@pytest.mark.parametrize(
    ("room", "name", "sentence"),
    [
        (dose_text, "EMERGENCY", (CHANGED,)),
        (dose_text, "NO_ORDER", CHANGED),
        (law, "NO_COUNTRY", CHANGED),
        (dose_text, "source_line", lambda source: CHANGED),
    ],
)
def test_a_changed_sentence_changes_in_all_three_forms(
    folder: Path, monkeypatch: pytest.MonkeyPatch, room: object, name: str, sentence: object
) -> None:
    monkeypatch.setattr(room, name, sentence)
    for form, text in forms(folder).items():
        assert squeezed(CHANGED) in squeezed(text), form


def test_every_sentence_stands_in_all_three_forms(folder: Path) -> None:
    """2 g/L in 148.408 L (98 x 38 x 42 cm, less 13 L, plus 5 L) is 296.8 g."""
    answer = work_out(ASKED, read_case(folder / FILE).view())
    document = dose_text.dose_document(answer, why=True)
    assert document.title == "Salt (sodium chloride): 297\xa0g"
    shown = {form: squeezed(text) for form, text in forms(folder).items()}
    for sentence in filter(None, sentences(document)):
        for form, text in shown.items():
            assert squeezed(sentence) in text, (form, sentence)


def test_the_amount_that_an_entry_asks_for_is_said_in_the_words_of_the_document(
    folder: Path,
) -> None:
    words = ("case", "add", str(folder / FILE), "dose", "agent=salt", "strength=2 g/L")
    before = read_case(folder / FILE).view()
    (note,) = json.loads(command(*words, "--json"))["notes"]
    document = dose_text.dose_document(work_out(ASKED, before))
    assert note == f"{document.title}. {document.lead}"
