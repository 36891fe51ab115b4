"""Killed without warning in the middle of commands: what was answered is there, and whole (D1).

The child is a fork of this process that runs the program's commands one after another, so that a
kill falls into a command and not into the start of an interpreter.
"""

from __future__ import annotations

import os
import random
import signal
import time
from pathlib import Path

import pytest
from tests.records.case_entries import opened

from tankside.cli.main import app
from tankside.records.case_store import create_case, read_case
from tankside.records.journal import opening
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.verify import verify_place

KILLS = {"sqlite": (200, 1000), "postgresql": (20, 300)}
TOGETHER = 2
WORDS = (
    "case", "add", "elm", "finding", "spots_visible=yes", "flashing=frequent", "--by", "vell",
    "on=2026-03-05T12:00",
)  # fmt: skip
LONGEST_WAIT_S = 0.12


def run(words: tuple[str, ...]) -> None:
    try:
        app(list(words))
    except SystemExit as end:
        if end.code:
            raise RuntimeError(f"exit code {end.code}") from None


def _add_until_killed(report_fd: int) -> None:
    os.dup2(report_fd, 1)
    while True:
        opening._OPENED.clear()
        run(WORDS)


def kill_one(wait_s: float, *, after_first: bool) -> int:
    """Fork a process that saves, kill it, return how many saves it had acknowledged."""
    hear, report_fd = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hear)
        try:
            _add_until_killed(report_fd)
        finally:
            os._exit(1)
    os.close(report_fd)
    with os.fdopen(hear, "rb") as pipe:
        first = pipe.readline() if after_first else b""
        time.sleep(wait_s)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WTERMSIG(status) == signal.SIGKILL, status
        return (first + pipe.read()).count(b"Saved in")


def kill_often(place: JournalPlace, kills: int) -> None:
    chance = random.Random(11)
    create_case("elm", [opened()])
    run(WORDS)  # everything a save imports is there before the first fork
    standing = read_case("elm").version
    acknowledged = left_behind = 0
    for cycle in range(kills):
        said = kill_one(chance.uniform(0, LONGEST_WAIT_S), after_first=cycle % 3 > 0)
        if place.file:
            left_behind += Path(f"{place.file}-journal").exists()
        opening._OPENED.clear()
        version = read_case("elm").version
        assert (version - 1) % TOGETHER == 0, "half a save is there"
        saved = (version - standing) // TOGETHER
        assert said <= saved <= said + 1, f"{said} saves were acknowledged, {saved} are there"
        standing = version
        acknowledged += said
        if version > 150:  # a long case would only slow the saves down
            create_case(f"elm-{cycle}", [opened()])
    assert verify_place(place).faults == ()
    assert acknowledged > kills // 3, "the writers were killed before they wrote"
    assert left_behind > 0 or not place.file or kills < 50, "no kill fell into a write"


def kills_of(place: JournalPlace, *, slow: bool) -> int:
    return KILLS["sqlite" if place.file else "postgresql"][slow]


@pytest.mark.timeout(1200)
def test_kills_in_the_middle_of_commands_lose_and_halve_nothing(
    place: JournalPlace, capfd: pytest.CaptureFixture[str]
) -> None:
    kill_often(place, kills_of(place, slow=False))


@pytest.mark.slow
@pytest.mark.timeout(7200)
def test_many_kills_in_the_middle_of_commands_lose_and_halve_nothing(
    place: JournalPlace, capfd: pytest.CaptureFixture[str]
) -> None:
    kill_often(place, kills_of(place, slow=True))
