"""Killed without warning in the middle of commands: what was answered is there, and whole (D1).

The child is a fork of this process that runs the program's commands one after another, so that a
kill falls into a command and not into the start of an interpreter.
"""

from __future__ import annotations

import os
import random
import signal
import sys
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
    "finding", "spots_visible=yes", "flashing=frequent", "--by", "vell",
    "on=2026-03-05T12:00",
)  # fmt: skip
LONGEST_WAIT_S, WRITE_S, LONGEST_WRITE_S = 0.06, 0.004, 5.0
KILLS_A_CASE = 25
"""A case that grows long only makes each command slow."""


def run(words: tuple[str, ...]) -> None:
    try:
        app(list(words))
    except SystemExit as end:
        if end.code:
            raise RuntimeError(f"exit code {end.code}") from None


def add_to(label: str) -> None:
    run(("case", "add", label, *WORDS))


def _add_until_killed(label: str, report_fd: int) -> None:
    # In place of what pytest catches; a line goes to the parent as soon as it is printed.
    sys.stdout = os.fdopen(report_fd, "w", buffering=1, encoding="utf-8")
    while True:
        opening._OPENED.clear()
        add_to(label)


def kill_one(label: str, wait_s: float, *, after_first: bool, writing: Path | None) -> int:
    """Fork a process that saves, kill it, return how many saves it had acknowledged.

    Args:
        label: the case it saves to.
        wait_s: how long it runs.
        after_first: count from its first answer, not from its start.
        writing: count from the moment at which this file is there, which SQLite keeps while
            it writes; None for no such wait.
    """
    hear, report_fd = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hear)
        try:
            _add_until_killed(label, report_fd)
        finally:
            os._exit(1)
    os.close(report_fd)
    with os.fdopen(hear, "rb") as pipe:
        first = pipe.readline() if after_first else b""
        deadline = time.monotonic() + LONGEST_WRITE_S
        while writing and not writing.exists() and time.monotonic() < deadline:
            pass
        time.sleep(wait_s)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WTERMSIG(status) == signal.SIGKILL, status
        return (first + pipe.read()).count(b"Saved in")


def kill_often(place: JournalPlace, kills: int) -> None:
    chance = random.Random(11)
    acknowledged = left_behind = standing = 0
    label = ""
    for cycle in range(kills):
        if cycle % KILLS_A_CASE == 0:
            label = f"case-{cycle}"
            create_case(label, [opened()])
            add_to(label)  # what a save imports is there before the fork
            standing = read_case(label).version
        writing = Path(f"{place.file}-journal") if place.file else None
        aimed = writing if cycle % 2 else None
        wait_s = chance.uniform(0, WRITE_S if aimed else LONGEST_WAIT_S)
        said = kill_one(label, wait_s, after_first=cycle % 3 > 0, writing=aimed)
        left_behind += writing is not None and writing.exists()
        opening._OPENED.clear()
        version = read_case(label).version
        assert (version - 1) % TOGETHER == 0, "half a save is there"
        saved = (version - standing) // TOGETHER
        assert said <= saved <= said + 1, f"{said} saves were acknowledged, {saved} are there"
        standing = version
        acknowledged += said > 0
    assert verify_place(place).faults == ()
    assert acknowledged > kills // 3, "the writers were killed before they wrote"
    assert left_behind > kills // 10 or not place.file, "hardly a kill fell into a write"


def kills_of(place: JournalPlace, *, slow: bool) -> int:
    return KILLS["sqlite" if place.file else "postgresql"][slow]


@pytest.mark.timeout(1200)
def test_kills_in_the_middle_of_commands_lose_and_halve_nothing(place: JournalPlace) -> None:
    kill_often(place, kills_of(place, slow=False))


@pytest.mark.slow
@pytest.mark.timeout(7200)
def test_many_kills_in_the_middle_of_commands_lose_and_halve_nothing(place: JournalPlace) -> None:
    kill_often(place, kills_of(place, slow=True))
