"""Pages wait for their turn, and each reads its case once; what is urgent does not wait."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import FILE

from tankside.records import case_store
from tankside.records.stored_case import StoredCase
from tankside.web import queue
from tankside.web.queue import MOST_AT_ONCE, FewAtOnce, PagesUnderWay
from tankside.web.worker import Job, JobState, Worker


def test_a_few_pages_run_and_the_emergency_card_overtakes_those_that_wait() -> None:
    asked: list[str] = []

    async def walk() -> None:
        let_go = asyncio.Event()

        async def page(scope: Any, _: Any, __: Any) -> None:
            asked.append(scope["path"])
            if scope["path"].startswith("/case"):
                await let_go.wait()

        app = FewAtOnce(page, PagesUnderWay())

        async def ask(path: str) -> None:
            await app({"type": "http", "method": "GET", "path": path}, None, None)  # type: ignore[arg-type]

        loads = [asyncio.create_task(ask(f"/case/a/{number}")) for number in range(40)]
        await asyncio.sleep(0)
        assert len(asked) == MOST_AT_ONCE
        for path in ("/emergency", "/emergency.pdf", "/static/tankside.css", "/x/progress/plans"):
            await asyncio.wait_for(ask(path), 1)
        assert len(asked) == MOST_AT_ONCE + 4
        let_go.set()
        await asyncio.gather(*loads)

    asyncio.run(walk())
    assert len(asked) == 44
    assert asked[MOST_AT_ONCE + 4 :] == [f"/case/a/{n}" for n in range(MOST_AT_ONCE, 40)]


def until(holds: Callable[[], bool]) -> None:
    for _ in range(3000):
        if holds():
            return
        time.sleep(0.01)
    raise AssertionError("it never came")


def test_long_work_lets_a_page_pass_and_goes_on_when_it_is_sent(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(queue, "LONGEST_WAIT_S", 600)
    pages = PagesUnderWay()
    worker = Worker(pages.let_pass)

    def work(job: Job[str]) -> str:
        job.tell("counting", 1, 2)
        return "counted"

    with pages.one_more():
        with pages.one_more():
            job = worker.job("key", work)
            until(lambda: job.done == 1)
        assert job.result is None
    until(lambda: job.result == "counted")


def test_long_work_comes_on_however_many_pages_are_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(queue, "LONGEST_WAIT_S", 0.01)
    pages = PagesUnderWay()
    with pages.one_more():
        job = Worker(pages.let_pass).job("key", lambda job: job.tell("counting", 1, 2))
        until(lambda: job.state is JobState.DONE)


@pytest.mark.parametrize("page", ["story", "look", "fits", "enter"])
def test_a_page_reads_its_case_once_and_the_next_page_reads_it_again(
    client: TestClient, page: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = case_store._read
    reads: list[object] = []

    def counted(name: str | Path) -> StoredCase:
        reads.append(name)
        return read(name)

    monkeypatch.setattr(case_store, "_read", counted)
    for times in (1, 2):
        assert client.get(f"/case/{FILE}/{page}").status_code == 200
        assert len(reads) == times
