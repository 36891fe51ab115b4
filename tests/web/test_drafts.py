"""Nothing typed is lost: drafts stand until their form is saved, and a late form shows both."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.served_pages import served
from tests.web.test_pages import Parsed

from tankside.records.case_file import read_case
from tankside.services.cases import add_words
from tankside.services.drafts import keep_draft

from .conftest import FILE

WATER, NOTE, SCRAPE = (
    f"/case/{FILE}/{page}" for page in ("enter/water", "enter/note", "look/scrape")
)


@pytest.fixture
def copied(folder: Path, tmp_path: Path) -> tuple[TestClient, Path]:
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path), tmp_path / FILE


def values(client: TestClient, address: str, name: str) -> list[str | None]:
    """Return what stands in the fields of a name."""
    tags = Parsed(client.get(address).text).tags
    chosen = [a for tag, a in tags if tag == "input" and a.get("name") == name]
    return [a.get("value") for a in chosen if a.get("type") != "radio" or "checked" in a]


def kept(client: TestClient, form: str, **fields: str) -> str:
    sent = {
        "draft-of": form,
        "form": "a-number",
        **{k.replace("__", "."): v for k, v in fields.items()},
    }
    answer = client.post("/draft", data=sent)
    assert answer.status_code == 200
    return str(answer.json()["kept"])


def test_what_was_typed_and_not_saved_stands_in_the_form_again(
    copied: tuple[TestClient, Path],
) -> None:
    client, path = copied
    before = path.read_bytes()
    assert kept(client, WATER, w__temperature="24.") > "2026-03-18"
    assert kept(client, WATER, w__temperature="24.5", u__temperature="C", w__ph="7")
    assert path.read_bytes() == before
    again = served(path.parent)
    assert values(again, WATER, "w.temperature") == ["24.5"]
    assert values(again, WATER, "w.ph") == ["7"]
    assert "Typed before and not saved, kept at 18:30" in again.get(WATER).text
    assert values(again, NOTE, "w.text") == [""]


def test_a_new_case_and_a_sitting_keep_their_drafts_too(copied: tuple[TestClient, Path]) -> None:
    client, _ = copied
    kept(client, "/new", w__name="Mill Race")
    kept(client, SCRAPE, f__m_big_ciliate="crescent_nucleus", fish="worst platy")
    assert values(client, "/new", "w.name") == ["Mill Race"]
    assert values(client, SCRAPE, "f.m_big_ciliate") == ["crescent_nucleus"]
    assert values(client, SCRAPE, "fish") == ["worst platy"]


def test_a_saved_form_forgets_its_draft_and_a_late_one_does_not_come_back(
    copied: tuple[TestClient, Path],
) -> None:
    client, _ = copied
    kept(client, NOTE, w__text="half a sen")
    assert client.post(NOTE, data={"form": "a-number", "w.text": "half a sentence"}).is_success
    assert values(client, NOTE, "w.text") == [""]
    assert kept(client, NOTE, w__text="half a sentence") == ""
    assert values(client, NOTE, "w.text") == [""]


def test_a_draft_is_thrown_away_when_asked(copied: tuple[TestClient, Path]) -> None:
    client, _ = copied
    kept(client, NOTE, w__text="not this")
    answer = client.post("/draft/drop", data={"draft-of": NOTE})
    assert str(answer.url).endswith(NOTE)
    assert values(client, NOTE, "w.text") == [""]
    assert str(client.post("/draft/drop", data={"draft-of": "//evil.example/x"}).url).endswith("/")


def test_a_form_that_stood_open_while_the_same_was_saved_shows_both(
    copied: tuple[TestClient, Path],
) -> None:
    client, path = copied
    version = read_case(path).version
    add_words(path, "water", ("temperature=23 C",), by="somebody else")
    late = {"form": "late", "version": str(version), "w.temperature": "25", "u.temperature": "C"}
    refused = client.post(WATER, data=late)
    assert refused.status_code == 409
    assert "23 C" in Parsed(refused.text).text.replace("\N{NO-BREAK SPACE}", " ")
    assert "somebody else" in refused.text
    assert 'value="25"' in refused.text
    assert read_case(path).version == version + 1
    now = {**late, "version": str(version + 1)}
    assert client.post(WATER, data=now).is_success
    assert read_case(path).version == version + 2


def test_an_entry_of_another_kind_is_no_hindrance(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    version = read_case(path).version
    add_words(path, "note", ("text=seen",), by="somebody else")
    sent = {"version": str(version), "w.temperature": "25", "u.temperature": "C"}
    assert client.post(WATER, data=sent).is_success
    assert read_case(path).version == version + 2


def test_a_draft_that_cannot_be_read_hinders_nothing(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    kept(client, NOTE, w__text="x")
    for draft in (path.parent / ".drafts").glob("*.json"):
        draft.write_text("{]", encoding="utf-8")
    assert values(client, NOTE, "w.text") == [""]


def test_a_draft_that_is_kept_while_its_form_is_saved_does_not_come_back(
    copied: tuple[TestClient, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The browser sends what was typed last and the form at once; the form is saved between."""
    client, path = copied

    def saved_between(folder: Path, form: str, fields: dict[str, list[str]]) -> object:
        client.post(NOTE, data={"form": "a-number", "w.text": "typed"})
        return keep_draft(folder, form, fields)

    monkeypatch.setattr("tankside.web.pages.draft.keep_draft", saved_between)
    assert kept(client, NOTE, w__text="typed") == ""
    assert read_case(path).entries[-1].kind == "note"
    assert values(client, NOTE, "w.text") == [""]
