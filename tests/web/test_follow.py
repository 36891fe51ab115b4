"""The follow-up page answers at once, says what it waits for, and fills in when it is done."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.served_pages import RENEWS, served

from tankside.present.blocks import Drawing, Words
from tankside.present.table import Table
from tankside.web.pages import case as page
from tankside.web.worker import MOST_WAITING, Job, JobState, Worker

from .conftest import FILE

FOLLOW = f"/case/{FILE}/follow"


def test_the_page_renews_itself_until_the_work_is_done(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done = threading.Event()

    def slow(*_: object) -> tuple[Words, ...]:
        done.wait(20)
        return (Words("What is left", ("worked out",)),)

    monkeypatch.setattr(page, "follow_blocks", slow)
    client = served(folder)
    first = client.get(FOLLOW)
    assert RENEWS in first.text
    assert "Being worked out" in first.text
    assert "worked out</p>" not in first.text
    done.set()
    for _ in range(200):
        later = client.get(FOLLOW)
        if RENEWS not in later.text:
            break
    assert RENEWS not in later.text
    assert "worked out" in later.text
    assert "Being worked out" not in later.text


def test_work_is_done_once_for_each_state_and_the_queue_is_short() -> None:
    worker, hold, calls = Worker(), threading.Event(), []

    def work(_: Job[tuple[Words, ...]]) -> tuple[Words, ...]:
        calls.append(1)
        hold.wait(20)
        return ()

    for _ in range(3):
        assert worker.job("first", work).result is None
    for number in range(MOST_WAITING + 3):
        worker.job(f"other {number}", work)
    hold.set()
    while worker.job("first", work).result is None:
        pass
    assert worker.job("first", work).result == ()
    assert len(calls) <= MOST_WAITING


def test_work_tells_how_far_it_is_stops_when_asked_and_can_be_started_again() -> None:
    worker, begun, go_on = Worker(), threading.Event(), threading.Event()

    def work(job: Job[str]) -> str:
        job.tell("counting", 1, 3)
        begun.set()
        go_on.wait(20)
        job.tell("counting", 2, 3)
        return "counted"

    job = worker.job("count", work)
    assert begun.wait(20)
    assert (job.what, job.done, job.total) == ("counting", 1, 3)
    job.cancel()
    go_on.set()
    while job.state is JobState.WAITING:
        pass
    assert job.state is JobState.CANCELLED
    assert (job.done, job.result) == (1, None)
    assert worker.job("count", work) is job
    worker.forget("count")
    again = worker.job("count", work)
    while again.state is JobState.WAITING:
        pass
    assert again.result == "counted"


def test_stopped_work_is_told_on_its_page_and_starts_again_from_there(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, go_on = threading.Event(), threading.Event()

    def slow(_: object, progress: Callable[[str, int, int], None]) -> tuple[Words, ...]:
        progress("playing", 0, 2)
        begun.set()
        go_on.wait(20)
        progress("playing", 1, 2)
        return (Words("What is left", ("worked out",)),)

    monkeypatch.setattr(page, "forecast_blocks", slow)
    client, address = served(folder), f"/case/{FILE}"
    waits = client.get(f"{address}/forecast")
    assert begun.wait(20)
    assert "Stop it" in waits.text
    assert client.post(f"{address}/progress/forecast/cancel", data={"form": "1"}).status_code == 200
    go_on.set()
    with client.stream("GET", f"{address}/progress/forecast") as events:
        last = [line for line in events.iter_lines() if line][-1]
    assert '"state": "cancelled"' in last
    stopped = client.get(f"{address}/forecast")
    assert "STOPPED" in stopped.text
    assert RENEWS not in stopped.text
    client.post(f"{address}/progress/forecast/again", data={"form": "1"})
    while RENEWS in client.get(f"{address}/forecast").text:
        pass
    assert "worked out" in client.get(f"{address}/forecast").text


def test_a_forecast_is_worked_out_once_for_its_page_and_the_follow_up(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[object] = []

    def foretold(case: object, _: object) -> tuple[Drawing, ...]:
        calls.append(case)
        return (Drawing("Where it is", "", "It falls.", Table("stages", ("day",), (("0",),))),)

    monkeypatch.setattr(page, "forecast_blocks", foretold)
    client = served(folder)
    for route in (f"/case/{FILE}/forecast", FOLLOW):
        shown = client.get(route)
        while RENEWS in shown.text:
            shown = client.get(route)
        assert "It falls." in shown.text
    assert len(calls) == 1
