"""The commands that the first page prints do what it says, typed one after another."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app

ROOT = Path(__file__).resolve().parents[2]
CASE = re.compile(r"^```\n(tankside case new .*?)```", re.DOTALL | re.MULTILINE)


def printed() -> list[list[str]]:
    """Return the words of each command, without what is said beside it."""
    block = CASE.search((ROOT / "README.md").read_text(encoding="utf-8"))
    assert block is not None
    lines = block[1].replace("\\\n", " ").splitlines()
    return [shlex.split(line, comments=True) for line in lines if line.strip()]


def test_every_command_of_the_first_page_runs_as_printed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    commands = printed()
    assert [words[1] for words in commands][-5:] == [
        "differential", "plan", "plan", "forecast", "today",
    ]  # fmt: skip
    for program, *words in commands:
        assert program == "tankside"
        ran = CliRunner().invoke(app, words)
        assert ran.exit_code == 0, (words, ran.output)
    assert (tmp_path / "card.pdf").is_file()
    assert (tmp_path / "card.ics").is_file()
