"""The tasks of a practitioner, walked on the pages by number."""

from __future__ import annotations

import re
import shutil
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.scenarios.care_cases.stories import STORIES
from tests.served_pages import served

from tankside.services import cases

from .tasks_walked import BARE, COURSE, KOI, TASKS, Task, Walked

ROOT = Path(__file__).parents[2]
ROW = re.compile(r"^\| T(\d+) \|[^|]*\|[^|]*\| ?(\w*) ?\|$", re.MULTILINE)
LEAST = 46
WALKS = {
    "courses": ROOT / "tests" / "browser" / "test_tasks_with_courses.py",
    "desk": ROOT / "tests" / "browser" / "test_walks_at_the_desk.py",
}
"""Where the tasks are walked that are not walked here."""


def test_the_page_of_tasks_names_the_walk_of_each_and_claims_no_other() -> None:
    rows = dict(ROW.findall((ROOT / "docs" / "tasks.md").read_text(encoding="utf-8")))
    assert [int(number) for number in rows] == list(range(1, 61))
    here = {str(task.number) for task in TASKS}
    assert {number for number, walk in rows.items() if walk == "client"} == here
    for walk, file in WALKS.items():
        named = set(re.findall(r"\bT(\d+)\b", file.read_text(encoding="utf-8")))
        assert {number for number, by in rows.items() if by == walk} <= named, walk
    assert sum(bool(walk) for walk in rows.values()) >= LEAST


@pytest.fixture
def walked(folder: Path, tmp_path: Path, request: pytest.FixtureRequest) -> TestClient:
    for file in (COURSE, BARE):
        shutil.copy(folder / file, tmp_path / file)
    task: Task = request.getfixturevalue("task")
    if task.case == KOI:
        opening = cases.Opening(
            "Mill Pond", "J. Amsel", "fresh", "Europe/London", opened="2026-03-18", country="GB"
        )
        cases.new_case(tmp_path / KOI, opening, by="test")
        for kind, *words in STORIES["koi_virus"].at_call:
            undated = [word for word in words if not word.startswith("on=")]
            cases.add_words(tmp_path / KOI, kind, undated, by="test")
    return served(tmp_path)


def text_of(page: str) -> str:
    body = re.sub(r"<(script|style)[^>]*>.*?</\1>", " ", page, flags=re.DOTALL)
    plain = unescape(re.sub(r"<[^>]+>", " ", body)).replace("\N{NO-BREAK SPACE}", " ")
    return re.sub(r"\s+", " ", plain)


def address(task: Task, page: str) -> str:
    return page if page.startswith("/") else f"/case/{task.case}/{page}"


def reached(client: TestClient, task: Task, step: Walked) -> None:
    """The page that is walked to is linked from the page that leads to it."""
    plain = address(task, step.page).partition("?")[0]
    leads = client.get(address(task, step.by)).text
    assert re.search(rf'(href|action)="{re.escape(plain)}["?#]', leads), (step.by, plain)


@pytest.mark.parametrize("task", TASKS, ids=lambda task: f"T{task.number}")
def test_a_task_is_walked(task: Task, walked: TestClient) -> None:
    for step in task.walk:
        if step.by:
            reached(walked, task, step)
        if step.sent is None:
            answer = walked.get(address(task, step.page))
        else:
            answer = walked.post(address(task, step.page), data=step.sent)
        assert answer.status_code == 200 or "NO AMOUNT" in step.sees, text_of(answer.text)[:900]
        if answer.headers["content-type"].startswith("application/pdf"):
            assert answer.content.startswith(b"%PDF")
            continue
        shown = text_of(answer.text) + answer.text
        for words in step.sees:
            assert words in shown, (step.page, words, text_of(answer.text)[:3000])
