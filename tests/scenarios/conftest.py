"""Type an invented case through the command line, once per file of tests."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from tests.shaped import is_shaped
from typer.testing import CliRunner

from tankside.cli.main import app

PRESENT = "2026-10-31T18:00+00:00"

Answer = dict[str, Any]
"""What a command tells in JSON."""


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str

    @property
    def answer(self) -> Answer:
        assert self.code == 0, (self.out, self.err)
        shown: Answer = json.loads(self.out)
        return shown

    @property
    def error(self) -> Answer:
        assert self.code != 0, self.out
        shown: Answer = json.loads(self.out)["error"]
        return shown


def invoke(*words: str) -> Ran:
    result = CliRunner().invoke(app, list(words))
    return Ran(result.exit_code, result.stdout, result.stderr)


def chosen(*words: str, number: int) -> Answer:
    """Compare courses, choose one of them by its name; return the comparison and the choice."""
    compared = invoke(*words, "--json").answer
    course = compared["courses"][number - 1]["id"]
    choice = invoke("plan", words[1], "--choose", course, "--json").answer
    is_shaped(compared, "plan")
    is_shaped(choice, "chosen")
    return compared | choice


@pytest.fixture(scope="session")
def run() -> Callable[..., Ran]:
    """Return what runs one command, as typed."""
    return invoke


Typing = Callable[[str, list[list[str]], list[list[str]]], Path]


@pytest.fixture(scope="module")
def typed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Typing]:
    """Return a function that types a case: its opening words, then one entry a row."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        folder = tmp_path_factory.mktemp("cases")

        def type_in(name: str, opening: list[list[str]], rows: list[list[str]]) -> Path:
            file = folder / f"{name}.jsonl"
            for words in opening:
                ran = invoke("case", "new", str(file), *words)
                assert ran.code == 0, ran.err
            for words in rows:
                ran = invoke("case", "add", str(file), *words)
                assert ran.code == 0, (words, ran.err)
            return file

        yield type_in


def add_at(file: Path, now: str, *rows: list[str]) -> None:
    """Add entries to a case, one a row, while the present is a moment."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", now)
        for words in rows:
            ran = invoke("case", "add", str(file), *words)
            assert ran.code == 0, (words, ran.err)


def dose(run: Callable[..., Ran], file: Path, agent: str, strength: str, *more: str) -> Ran:
    """Ask for one amount of a case, as JSON."""
    asked = ("--agent", agent, "--strength", strength, *more)
    return run("dose", "--case", str(file), *asked, "--json")


def amount(ran: Ran) -> Answer:
    """Return the amount of an answer."""
    shown: Answer = ran.answer["amount"]
    return shown
