"""Run commands as a user would, in this process, at a fixed present."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str

    @property
    def answer(self) -> dict[str, Any]:
        told: dict[str, Any] = json.loads(self.out)
        return told

    @property
    def error(self) -> dict[str, Any]:
        told: dict[str, Any] = json.loads(self.out)["error"]
        return told


@pytest.fixture
def tankside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Ran]:
    """Return a function that runs one command in an empty folder on 31 Oct 2026, 18:00 UTC."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-10-31T18:00+00:00")
    runner = CliRunner()

    def run(*words: str) -> Ran:
        result = runner.invoke(app, list(words))
        return Ran(result.exit_code, result.stdout, result.stderr)

    return run


OPENING = (
    "case", "new", "elm.jsonl", "--name", "Elm Road", "--keeper", "Marta Vell",
    "--water", "fresh", "--opened", "2026-03-02", "--zone", "Europe/London",
)  # fmt: skip
STOCK = ("case", "add", "elm.jsonl", "stock", "name=cardinal tetra", "count=12", "length=3 cm")
_MADE: dict[str, bytes] = {}


@pytest.fixture
def elm(tankside: Callable[..., Ran]) -> Callable[..., Ran]:
    """Give the folder the case elm.jsonl (Elm Road, 2 March 2026) with 12 cardinal tetras."""
    if not _MADE:
        assert tankside(*OPENING).code == 0
        assert tankside(*STOCK).code == 0
        _MADE["elm"] = Path("elm.jsonl").read_bytes()
    Path("elm.jsonl").write_bytes(_MADE["elm"])
    return tankside
