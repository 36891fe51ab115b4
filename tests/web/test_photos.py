"""A picture is attached through its page: stripped, kept, shown again; what is none is refused."""

from __future__ import annotations

import io
import shutil
from pathlib import Path

import pytest
from PIL import Image
from starlette.testclient import TestClient
from tests.hostile_pictures import HOSTILE, SECRET, hostile, telling_jpeg
from tests.served_pages import served

from tankside.records.case_file import read_case
from tankside.services.case_photos import photo_of

from .conftest import FILE

CASE = f"/case/{FILE}"


@pytest.fixture
def copied(folder: Path, tmp_path: Path) -> tuple[TestClient, Path]:
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path), tmp_path / FILE


def test_a_picture_is_kept_without_what_cannot_be_seen(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    typed = {"of": "worst loach", "note": "<b>grains</b> behind the gill", "form": "once"}
    sent = {"picture": ("C:\\pictures\\IMG 1.JPG", telling_jpeg(), "image/jpeg")}
    before = read_case(path).version
    for _ in range(2):  # a double click
        answer = client.post(f"{CASE}/photos", data=typed, files=sent)
        assert answer.status_code == 200
    entry = read_case(path).view().photos[-1]
    assert read_case(path).version == before + 1
    assert (entry.file, entry.of) == ("IMG 1.jpg", "worst loach")
    assert "&lt;b&gt;grains&lt;/b&gt;" in answer.text
    shown = client.get(f"{CASE}/photos/{entry.id}")
    assert shown.headers["content-type"] == "image/jpeg"
    assert shown.headers["cache-control"] == "no-store"
    assert SECRET not in shown.content
    assert SECRET not in b"".join(p.read_bytes() for p in path.parent.rglob("*") if p.is_file())
    assert shown.content == photo_of(path, entry.id).data
    with Image.open(io.BytesIO(shown.content)) as picture:
        assert picture.size == (200, 400)  # it lay on its side


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_file_is_refused_and_what_was_typed_beside_it_stands(
    copied: tuple[TestClient, Path], what: str
) -> None:
    client, path = copied
    before = path.read_bytes()
    name, data = hostile(what)
    sent = {"picture": (name, data, "image/jpeg")}
    answer = client.post(f"{CASE}/photos", data={"of": "worst loach"}, files=sent)
    assert answer.status_code in (413, 422), what
    assert "E-FILE-0" in answer.text or "E-WEB-09" in answer.text
    assert answer.status_code == 413 or 'value="worst loach"' in answer.text
    assert path.read_bytes() == before
    assert [each.name for each in path.parent.iterdir()] == [FILE]
    assert client.get("/emergency").status_code == 200


def test_a_form_without_a_file_is_refused(copied: tuple[TestClient, Path]) -> None:
    client, _ = copied
    assert client.post(f"{CASE}/photos", data={"picture": "text"}).status_code == 422
