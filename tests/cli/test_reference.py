"""The page of the command line in the docs is the help of the program, word for word."""

from __future__ import annotations

from pathlib import Path

from tankside.cli.main import COMMANDS
from tankside.cli.reference import reference

PAGE = Path(__file__).resolve().parents[2] / "docs" / "cli.md"


def test_the_page_is_the_help_of_the_program() -> None:
    """Write it anew with: python -m tankside.cli.reference > docs/cli.md."""
    assert PAGE.read_text(encoding="utf-8") == reference()


def test_every_command_has_help_and_json() -> None:
    parts = reference().split("\n## ")[1:]
    named = {part.split("`")[1]: part for part in parts}
    assert {f"tankside {name}" for name in COMMANDS} <= set(named)
    ends = [name for name in named if not any(other.startswith(f"{name} ") for other in named)]
    assert ends
    assert [name for name in ends if "--json" not in named[name]] == []
