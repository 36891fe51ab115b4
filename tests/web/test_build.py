"""A course put together on the page: one step at a time, nothing lost, no entry made."""

from __future__ import annotations

import shutil
from html import unescape
from pathlib import Path
from urllib.parse import parse_qsl

import pytest
from starlette.testclient import TestClient
from tests.served_pages import served

from tankside.course.actions import Air
from tankside.records.case_file import read_case

from .test_start import offered

FILE = "no-course.jsonl"
BUILD = f"/case/{FILE}/build"
OVER = f"/case/{FILE}/plans/over"
Copied = tuple[TestClient, Path]


@pytest.fixture
def copied(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Copied:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path), tmp_path / FILE


def steps_of(address: str) -> list[str]:
    return [value for name, value in parse_qsl(address.partition("?")[2]) if name == "step"]


def test_steps_are_added_one_by_one_and_the_case_stays_as_it_is(copied: Copied) -> None:
    client, path = copied
    before = read_case(path).digest
    first = client.post(BUILD, data={"kind": "air"})
    assert steps_of(str(first.url)) == ["air"]
    sent = {"kind": "siphon", "litres": "30 L", "every": "2", "times": "5", "step": ["air"]}
    second = client.post(BUILD, data=sent)
    assert steps_of(str(second.url)) == ["air", "siphon 'litres=30 L' every=2 times=5"]
    assert "bottom siphoned every 2 days, 5 times" in second.text
    assert 'action="/case/no-course.jsonl/plans"' in second.text
    assert read_case(path).digest == before


def test_a_step_is_taken_out_and_the_others_stand(copied: Copied) -> None:
    client, _ = copied
    page = client.get(BUILD, params={"step": ["air", "carbon_out"]}).text
    out = page.partition('aria-label="Take out: air stone"')[0].rpartition('href="')[2]
    assert steps_of(unescape(out.partition('"')[0])) == ["carbon_out"]


def test_what_is_wrong_is_said_at_its_field_and_all_that_was_typed_stands(copied: Copied) -> None:
    client, _ = copied
    sent = {"kind": "siphon", "litres": "30 buckets", "every": "2", "step": ["air"]}
    reply = client.post(BUILD, data=sent)
    assert reply.status_code == 422, reply.status_code
    assert 'value="30 buckets"' in reply.text
    assert 'href="#litres"' in reply.text
    assert '<input type="hidden" name="step" value="air">' in reply.text


def test_steps_that_were_kept_are_offered_again(copied: Copied) -> None:
    client, _ = copied
    assert "are kept" not in client.get(BUILD).text
    client.post(BUILD, data={"kind": "carbon_out"})
    page = client.get(BUILD).text
    assert "are kept" in page
    assert "build?step=carbon_out" in page


def test_what_the_animals_cannot_bear_is_said_before_anything_is_compared(copied: Copied) -> None:
    client, _ = copied
    page = client.get(BUILD, params={"step": "dose agent=formalin 'strength=300 mg/L'"}).text
    assert "it cannot be done so" in page
    assert "STOP" in page


def test_two_different_courses_are_laid_over_each_other_or_it_is_refused(copied: Copied) -> None:
    client, path = copied
    name = offered(path, "air", Air(18, "main", True))
    while (
        'http-equiv="refresh"'
        in (reply := client.get(OVER, params={"first": name, "second": name})).text
    ):
        pass
    assert "E-PLAN-10" in reply.text
    assert reply.status_code == 422
