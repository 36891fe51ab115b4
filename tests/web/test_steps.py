"""A tick of the day card is an entry; a wrong one is taken back and both stand."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.served_pages import served

from tankside.case.done import ActionDone
from tankside.records.case_file import read_case

from .conftest import FILE

DAY = f"/case/{FILE}/day/2026-03-18"


@pytest.fixture
def copied(folder: Path, tmp_path: Path) -> tuple[TestClient, Path]:
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path), tmp_path / FILE


def answer(client: TestClient, step: str, way: str = "answer", **sent: str) -> int:
    data = {"onward": "day/2026-03-18", **sent}
    reply = client.post(f"/case/{FILE}/step/{step}/{way}", data=data, follow_redirects=False)
    if reply.status_code == 303:
        assert reply.headers["location"].startswith(f"{DAY}?saved=")
    return reply.status_code


def test_a_tick_is_an_entry_with_the_name_of_its_step(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    assert answer(client, "A0-1", state="done") == 303
    entry = read_case(path).entries[-1]
    assert isinstance(entry, ActionDone)
    assert (entry.state, entry.step, entry.by) == ("done", "A0-1", "test")
    page = client.get(DAY).text
    assert "Take back the answer to A0-1" in page
    assert 'aria-label="Done: A0-1"' not in page


def test_a_wrong_tick_is_taken_back_and_both_stand(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    answer(client, "A0-1", state="done")
    ticked = read_case(path).version
    assert answer(client, "A0-1", "take-back") == 303
    assert [entry.kind for entry in read_case(path).entries[-2:]] == ["action_done", "correction"]
    assert read_case(path).version == ticked + 1
    assert 'aria-label="Done: A0-1"' in client.get(DAY).text


def test_another_amount_and_not_done_carry_what_was_said(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    salt = "A0-3"
    assert answer(client, salt, state="other_amount", amount="60", unit="g") == 303
    entry = read_case(path).entries[-1]
    assert isinstance(entry, ActionDone)
    assert entry.amount is not None
    assert (entry.amount.value, entry.amount.unit) == ("60", "g")
    assert answer(client, "A0-2", state="not_done", reason="no stone there") == 303
    entry = read_case(path).entries[-1]
    assert isinstance(entry, ActionDone)
    assert (entry.state, entry.reason) == ("not_done", "no stone there")


@pytest.mark.parametrize(("step", "way", "state"), [
    ("Z9-9", "answer", "done"), ("A0-1", "take-back", ""), ("Z9-9", "take-back", ""),
    ("A0-1", "answer", "erased"), ("A0-3", "answer", "other_amount"),
])  # fmt: skip
def test_what_cannot_be_answered_is_refused_and_nothing_is_saved(
    copied: tuple[TestClient, Path], step: str, way: str, state: str
) -> None:
    client, path = copied
    before = path.read_bytes()
    assert answer(client, step, way, state=state) in (404, 422)
    assert path.read_bytes() == before


def test_a_step_answered_twice_is_refused(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    answer(client, "A0-1", state="done")
    after = path.read_bytes()
    assert answer(client, "A0-1", state="done") == 422
    assert path.read_bytes() == after
