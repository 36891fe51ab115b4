"""One writer an answer: change one sentence, and terminal, page and paper all say the new one.

The terminal is the real command, the page comes from the real application, the paper is read back
from its PDF.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient
from tests.served_pages import served
from tests.web.conftest import FILE, PRESENT, choose_course, make_case
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.present import day_card
from tankside.present.block_text import document_text
from tankside.present.day_card import DayCard
from tankside.report import course, seen, story, tank, tank_water
from tankside.report.page import open_case
from tankside.services import cases

SAID = "A sentence of this test alone"
DAY = "2026-03-19"


@dataclass(frozen=True)
class Forms:
    """One case and the three ways to read it."""

    case: Path
    client: TestClient

    def terminal(self, *words: str) -> str:
        result = CliRunner().invoke(app, [*words])
        assert result.exit_code == 0, result.output
        return " ".join(result.stdout.split())

    def page(self, key: str) -> str:
        answer = self.client.get(f"/case/{FILE}/{key}")
        assert answer.status_code == 200, answer.text
        return words_of(answer.text)

    def paper(self, key: str) -> str:
        answer = self.client.get(f"/case/{FILE}/{key}.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        pages = PdfReader(io.BytesIO(answer.content)).pages
        return " ".join(" ".join(page.extract_text() for page in pages).split())


class Words(HTMLParser):
    """Gathers the text of the main part of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.text = ""

    def handle_data(self, data: str) -> None:
        self.text += data


def words_of(html: str) -> str:
    parser = Words()
    parser.feed(html.split("<main", 1)[1].split("To paste into a message", 1)[0])
    return " ".join(parser.text.split())


@pytest.fixture(scope="module")
def forms(tmp_path_factory: pytest.TempPathFactory) -> Forms:
    folder = tmp_path_factory.mktemp("forms")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        case = make_case(folder)
        cases.add_words(case, "death", ("1", "group=danio"), by="test")
        choose_course(case)
    return Forms(case, served(folder))


@pytest.fixture(autouse=True)
def present(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)


def says(*_: object) -> str:
    return SAID


SENTENCES: tuple[tuple[object, str, object, str, tuple[str, ...]], ...] = (
    (tank, "NEVER_DOSED", SAID, "tank", ()),
    (tank, "system_volume_words", says, "tank", ()),
    (tank_water, "age_words", says, "water", ()),
    (story, "entry_text", says, "story", ("--history",)),
    (story, "day_words", says, "story", ("--history",)),
    (course, "entry_text", says, "course", ()),
)
"""Where a sentence is written, its name there, what it is changed to, the page, the options."""


@pytest.mark.parametrize(("module", "name", "changed", "key", "options"), SENTENCES)
def test_a_changed_sentence_of_a_case_changes_everywhere(
    forms: Forms,
    monkeypatch: pytest.MonkeyPatch,
    module: object,
    name: str,
    changed: object,
    key: str,
    options: tuple[str, ...],
) -> None:
    show = ("case", "show", str(forms.case), *options)
    assert SAID not in forms.terminal(*show) + forms.page(key) + forms.paper(key)
    monkeypatch.setattr(module, name, changed)
    assert SAID in forms.terminal(*show)
    assert SAID in forms.page(key)
    assert SAID in forms.paper(key)


def test_what_was_seen_is_written_once_for_the_case_and_the_follow_up(
    forms: Forms, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(seen, "entry_text", says)
    shown = forms.terminal("case", "show", str(forms.case))
    assert shown.count(SAID) == 3
    blocks = seen.count_and_death_blocks(open_case(forms.case).view)
    assert [block.title for block in blocks] == ["Counts", "Deaths"]


@pytest.mark.parametrize("name", ["EMERGENCY", "_caution"])
def test_a_changed_sentence_of_the_course_changes_on_page_paper_and_as_text(
    forms: Forms, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setattr(course, name, says if name == "_caution" else SAID)
    assert SAID in " ".join(document_text(course.course_document(open_case(forms.case))).split())
    assert SAID in forms.page("course")
    assert SAID in forms.paper("course")


def foot(_: DayCard) -> str:
    return SAID


CARD: tuple[Callable[[pytest.MonkeyPatch], None], ...] = (
    lambda patch: patch.setattr(day_card, "CALL_IF", (SAID,)),
    lambda patch: patch.setattr(day_card, "EVERY_DAY", (SAID,)),
    lambda patch: patch.setattr(day_card, "_next_on", says),
    lambda patch: patch.setattr(DayCard, "foot", property(foot)),
    lambda patch: patch.setattr(DayCard, "plan", property(foot)),
    lambda patch: patch.setattr(DayCard, "title", property(foot)),
    lambda patch: patch.setattr(DayCard, "warning", property(foot)),
)
"""Each changes one sentence of the day card."""


@pytest.mark.parametrize("change", CARD)
def test_a_changed_sentence_of_the_day_card_changes_everywhere(
    forms: Forms, monkeypatch: pytest.MonkeyPatch, change: Callable[[pytest.MonkeyPatch], None]
) -> None:
    day = "2026-03-22"  # nothing is to be done on it, so the card names the next day
    today = ("today", str(forms.case), "--date", day)
    change(monkeypatch)
    assert SAID in forms.terminal(*today)
    assert SAID in json.loads(forms.terminal(*today, "--json"))["text"]
    assert SAID in forms.page(f"day/{day}")
    assert SAID in forms.paper(f"day/{day}")


def test_what_goes_with_an_amount_is_in_every_form_of_the_day_card(forms: Forms) -> None:
    """A person may read any one form alone, so none may leave out how to handle a substance."""
    today = ("today", str(forms.case), "--date", DAY)
    (handling,) = json.loads(forms.terminal(*today, "--json"))["handling"]
    for form in (
        forms.terminal(*today), forms.page(f"day/{DAY}"), forms.paper(f"day/{DAY}")
    ):  # fmt: skip
        assert "HANDLING sodium chloride: hazard low" in form
        for line in handling["lines"]:
            assert " ".join(line.split()) in form
