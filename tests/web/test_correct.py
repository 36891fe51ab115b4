"""A wrong entry is corrected on its page: what was written first and the correction both stand."""

from __future__ import annotations

import re
import shutil
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.served_pages import served

from tankside.case.entry import Correction
from tankside.case.seen import CountMade
from tankside.records.case_file import read_case

from .conftest import FILE

CASE = f"/case/{FILE}"
Copied = tuple[TestClient, Path]


@pytest.fixture
def copied(folder: Path, tmp_path: Path) -> Copied:
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path), tmp_path / FILE


def of_kind(path: Path, kind: str) -> int:
    return next(entry.id for entry in read_case(path).entries if entry.kind == kind)


def filled_in(page: str) -> dict[str, list[str]]:
    """Return what the form of a correction would send as it stands."""
    form = page.split('id="entry"')[1].split("</form>")[0]
    sent: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = (re.search(rf'{key}="([^"]*)"', tag) for key in ("name", "value"))
        if name and ('type="radio"' not in tag or " checked" in tag):
            sent.setdefault(name[1], []).append(unescape(value[1]) if value else "")
    for name, options in re.findall(r'<select name="([^"]+)"[^>]*>(.*?)</select>', form):
        chosen = re.search(r'value="([^"]*)" selected', options)
        first = re.search(r'value="([^"]*)"', options)
        picked = chosen or first
        assert picked
        sent[name] = [unescape(picked[1])]
    return sent


def test_a_wrong_count_is_corrected_and_both_stand(copied: Copied) -> None:
    client, path = copied
    number = of_kind(path, "count")
    wrong = read_case(path).entries[number - 1]
    sent = filled_in(client.get(f"{CASE}/correct/{number}").text)
    assert sent["k.0"] == ["spots"]
    sent |= {"v.0": ["17"], "reason": ["misread the slate"]}
    reply = client.post(f"{CASE}/correct/{number}", data=sent, follow_redirects=False)
    assert reply.status_code == 303, reply.text[:2000]
    assert reply.headers["location"] == f"{CASE}/story?saved={number}#entry-{number}"
    *_, last = read_case(path).entries
    assert isinstance(last, Correction)
    assert isinstance(last.replacement, CountMade)
    assert (last.of, last.reason, last.replacement.number) == (number, "misread the slate", 17)
    assert last.replacement.moment == wrong.moment
    assert read_case(path).entries[number - 1] == wrong
    story = client.get(f"{CASE}/story").text
    assert f"[corrected by entry {last.id}]" in story
    assert f'href="{CASE}/correct/{number}"' in story


@pytest.mark.parametrize("kind", ["system", "stock", "water_test", "count", "finding", "wet_mount"])
def test_a_form_shows_what_the_entry_says_and_changes_nothing_of_it(
    copied: Copied, kind: str
) -> None:
    client, path = copied
    number = of_kind(path, kind)
    sent = filled_in(client.get(f"{CASE}/correct/{number}").text) | {"reason": ["read again"]}
    reply = client.post(f"{CASE}/correct/{number}", data=sent, follow_redirects=False)
    assert reply.status_code == 303, reply.text[reply.text.index("NOT SAVED") :][:600]
    stored = read_case(path)
    last, was = stored.entries[-1], stored.entries[number - 1]
    assert isinstance(last, Correction)
    assert last.replacement is not None
    stamps = {"recorded_at", "by", "role"}
    assert last.replacement.model_dump(exclude=stamps) == was.model_dump(exclude=stamps)


def test_an_entry_is_taken_back_whole(copied: Copied) -> None:
    client, path = copied
    number = of_kind(path, "count")
    data = {"how": "void", "reason": "another tank"}
    assert client.post(f"{CASE}/correct/{number}", data=data).status_code == 200
    *_, last = read_case(path).entries
    assert isinstance(last, Correction)
    assert last.replacement is None
    assert "It was taken back." in client.get(f"{CASE}/correct/{number}").text


def test_a_chosen_course_can_only_be_taken_back(copied: Copied) -> None:
    client, path = copied
    number = of_kind(path, "course_chosen")
    page = client.get(f"{CASE}/correct/{number}").text
    assert 'id="entry"' not in page
    client.post(f"{CASE}/correct/{number}", data={"reason": "meant the other"})
    assert read_case(path).view().course is None


@pytest.mark.parametrize(("sent", "says"), [
    ({"reason": "", "k.0": "spots", "v.0": "3"}, "E-TEXT-01"),
    ({"reason": "slip", "k.0": "spots", "v.0": "3,5"}, "3,5"),
    ({"reason": "slip", "k.0": "spots", "v.0": "3", "version": "one less"}, "E-WEB-04"),
])  # fmt: skip
def test_a_refused_correction_keeps_what_was_typed(
    copied: Copied, sent: dict[str, str], says: str
) -> None:
    client, path = copied
    number, before = of_kind(path, "count"), path.read_bytes()
    if "version" in sent:
        sent = sent | {"version": str(read_case(path).version - 1)}
    reply = client.post(f"{CASE}/correct/{number}", data=sent)
    assert reply.status_code in (409, 422)
    assert says in reply.text
    assert f'value="{sent["v.0"]}"' in reply.text
    assert path.read_bytes() == before


def test_a_correction_is_not_corrected_itself(copied: Copied) -> None:
    client, path = copied
    client.post(f"{CASE}/correct/{of_kind(path, 'count')}", data={"how": "void", "reason": "slip"})
    last = read_case(path).version
    assert client.get(f"{CASE}/correct/{last}").status_code == 422
