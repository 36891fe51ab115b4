"""The follow-up page answers at once, says what it waits for, and fills in when it is done."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from tests.served_pages import served

from tankside.present.blocks import Drawing, Words
from tankside.present.table import Table
from tankside.web.pages import case as page
from tankside.web.worker import MOST_WAITING, Worker

from .conftest import FILE

FOLLOW = f"/case/{FILE}/follow"


def test_the_page_renews_itself_until_the_work_is_done(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done = threading.Event()

    def slow(_: object) -> tuple[Words, ...]:
        done.wait(20)
        return (Words("What is left", ("worked out",)),)

    monkeypatch.setattr(page, "follow_blocks", slow)
    client = served(folder)
    first = client.get(FOLLOW)
    assert first.headers["refresh"] == page.RENEW_S
    assert "Being worked out" in first.text
    assert "worked out</p>" not in first.text
    done.set()
    for _ in range(200):
        later = client.get(FOLLOW)
        if "refresh" not in later.headers:
            break
    assert "refresh" not in later.headers
    assert "worked out" in later.text
    assert "Being worked out" not in later.text


def test_work_is_done_once_for_each_state_and_the_queue_is_short() -> None:
    worker, hold, calls = Worker(), threading.Event(), []

    def work() -> tuple[Words, ...]:
        calls.append(1)
        hold.wait(20)
        return ()

    for _ in range(3):
        assert worker.result("one", work) is None
    for number in range(MOST_WAITING + 3):
        worker.result(f"other {number}", work)
    hold.set()
    while worker.result("one", work) is None:
        pass
    assert worker.result("one", work) == ()
    assert len(calls) <= MOST_WAITING


def test_a_forecast_is_worked_out_once_for_its_page_and_the_follow_up(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[object] = []

    def foretold(case: object) -> tuple[Drawing, ...]:
        calls.append(case)
        return (Drawing("Where it is", "", "It falls.", Table("stages", ("day",), (("0",),))),)

    monkeypatch.setattr(page, "forecast_blocks", foretold)
    client = served(folder)
    for route in (f"/case/{FILE}/forecast", FOLLOW):
        shown = client.get(route)
        while "refresh" in shown.headers:
            shown = client.get(route)
        assert "It falls." in shown.text
    assert len(calls) == 1
