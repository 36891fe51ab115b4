"""What is filled in becomes the very entry that the same words typed would make."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.served_pages import served

from tankside.case.catalogue import CATALOGUE
from tankside.case.entry import Entry
from tankside.records.case_file import read_case
from tankside.report.entry_form import entry_form, kinds_to_enter, typed_from
from tankside.services import cases

from .conftest import FILE, HOSTILE

BASE = f"/case/{FILE}"
TYPED: dict[str, tuple[dict[str, object], tuple[str, ...]]] = {
    "water": ({"w.temperature": "25.5", "u.temperature": "C", "w.ammonia": "0.3",
               "u.ammonia": "mg/L as N", "u.nitrite": "not-looked", "w.ph": "7.4", "u.ph": "pH"},
              ("temperature=25.5 C", "ph=7.4", "ammonia=0.3 mg/L as N", "nitrite=not-looked")),
    "stock": ({"w.name": "platy", "w.count": "3", "w.length": "4", "u.length": "cm",
               "w.quarantined": "no"},
              ("name=platy", "count=3", "length=4 cm", "quarantined=no")),
    "system": ({"w.inside_length": "60", "u.inside_length": "cm", "w.id": "spare",
                "w.inside_width": "30", "u.inside_width": "cm", "w.water_height": "300",
                "u.water_height": "mm",
                "w.takes_away": ["2 L gravel", "1 L wood", "", ""], "w.carbon": "?"},
               ("id=spare", "inside-length=60 cm", "inside-width=30 cm",
                "water-height=300 mm", "takes-away=2 L gravel",
                "takes-away=1 L wood", "carbon=?")),
    "finding": ({"k.0": "flashing", "v.0": "frequent", "k.1": "fin-edge", "v.1": "none"},
                ("flashing=frequent", "fin_edge=none")),
    "count": ({"k.0": "spots", "v.0": "12", "w.fish": "worst platy"},
              ("spots=12", "fish=worst platy")),
    "event": ({"alone": "none"}, ("none",)),
    "note": ({"w.text": HOSTILE}, (f"text={HOSTILE}",)),
    "death": ({"w.number": "1", "w.group": "platy"}, ("number=1", "group=platy")),
}  # fmt: skip


@pytest.fixture
def copied(folder: Path, tmp_path: Path) -> tuple[TestClient, Path]:
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path), tmp_path / FILE


def last(path: Path, number: int) -> list[Entry]:
    return [entry.model_copy(update={"id": 0}) for entry in read_case(path).entries[-number:]]


@pytest.mark.parametrize("word", TYPED)
def test_a_form_makes_the_entry_that_the_same_words_typed_make(
    copied: tuple[TestClient, Path], tmp_path: Path, word: str
) -> None:
    client, path = copied
    typed_into = tmp_path / "typed.jsonl"
    shutil.copy(path, typed_into)
    before = read_case(path).version
    sent, words = TYPED[word]
    answer = client.post(f"{BASE}/enter/{word}", data=sent, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    cases.add_words(typed_into, word, words, by="test")
    added = read_case(path).version - before
    assert added == read_case(typed_into).version - before > 0
    assert last(path, added) == last(typed_into, added)


@pytest.mark.parametrize("word", [word for word, _, _ in kinds_to_enter()])
def test_every_kind_has_its_form_and_each_word_its_field(client: TestClient, word: str) -> None:
    page = client.get(f"{BASE}/enter/{word}")
    assert page.status_code == 200
    form = entry_form(word)
    for field in (*form.first, *form.more):
        assert f'name="{field.key}"' in page.text
    assert not form.rows or f'name="{form.rows[0].name_key}"' in page.text


def test_every_word_that_can_be_typed_stands_in_a_form() -> None:
    shown = {word for word, _, _ in kinds_to_enter()}
    typed = {word.word for kind in CATALOGUE.typed for word in kind.typed_as if word.shown}
    assert typed - shown == {"course", "photo"}, "they have pages of their own"


def test_a_refused_form_keeps_what_was_filled_in_and_marks_the_field(
    copied: tuple[TestClient, Path],
) -> None:
    client, path = copied
    before = path.read_bytes()
    sent = {"w.temperature": "25,5", "u.temperature": "F", "w.kit": HOSTILE, "w.dawn": "yes"}
    answer = client.post(f"{BASE}/enter/water", data=sent)
    assert answer.status_code == 422
    assert path.read_bytes() == before
    assert 'value="25,5"' in answer.text
    assert re.search(r'<option value="F" selected>', answer.text)
    assert re.search(r'name="w.dawn" value="yes" checked', answer.text)
    assert HOSTILE not in answer.text
    assert "Łódź 李" in answer.text
    assert 'href="#w.temperature"' in answer.text
    assert 'aria-invalid="true"' in answer.text


def test_a_number_whose_unit_could_mean_two_things_needs_its_unit(
    copied: tuple[TestClient, Path],
) -> None:
    client, path = copied
    before = path.read_bytes()
    answer = client.post(f"{BASE}/enter/water", data={"w.nitrite": "2.6", "u.nitrite": ""})
    assert answer.status_code == 422
    assert path.read_bytes() == before


def test_a_second_click_saves_nothing_more(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    page = client.get(f"{BASE}/enter/note").text
    shown = re.search(r'name="form" value="([^"]+)"', page)
    assert shown
    sent = {"form": shown[1], "w.text": "called twice"}
    first = client.post(f"{BASE}/enter/note", data=sent, follow_redirects=False)
    after = path.read_bytes()
    second = client.post(f"{BASE}/enter/note", data=sent, follow_redirects=False)
    assert first.headers["location"] == second.headers["location"]
    assert path.read_bytes() == after


@pytest.mark.parametrize("onward", ["//evil.example", "https://evil.example", "../../x", "a b",
                                    "day/../../../x", "\\evil"])  # fmt: skip
def test_a_form_never_leads_out_of_its_case(copied: tuple[TestClient, Path], onward: str) -> None:
    client, _ = copied
    sent = {"w.text": "x", "onward": onward}
    answer = client.post(f"{BASE}/enter/note", data=sent, follow_redirects=False)
    assert answer.headers["location"].startswith(f"{BASE}/story?")


def test_a_case_is_opened_and_named_after_its_file(folder: Path, tmp_path: Path) -> None:
    client = served(tmp_path)
    sent = {"w.name": "Ödön's Yard", "w.keeper": "Ola Brandt", "w.water": "fresh",
            "w.zone": "Europe/London"}  # fmt: skip
    for file in ("odon-s-yard.jsonl", "odon-s-yard-2.jsonl"):
        answer = client.post("/new", data=sent, follow_redirects=False)
        assert answer.headers["location"] == f"/case/{file}/look/call"
        assert read_case(tmp_path / file).view().opened.keeper == "Ola Brandt"


def test_a_case_without_a_keeper_is_not_opened(tmp_path: Path) -> None:
    client = served(tmp_path)
    sent = {"w.name": "Mill Yard", "w.water": "fresh", "w.zone": "Europe/London"}
    answer = client.post("/new", data=sent)
    assert answer.status_code == 422
    assert 'value="Mill Yard"' in answer.text
    assert not list(tmp_path.iterdir())


def test_typed_text_goes_through_untouched() -> None:
    assert typed_from("note", {"w.text": [HOSTILE]}) == [("text", HOSTILE)]
