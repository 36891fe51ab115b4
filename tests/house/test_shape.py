"""The house keeps its shape: short files, short functions, honest names, no stray words."""

from __future__ import annotations

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "tankside"
LONGEST_FILE = 400
LONGEST_FUNCTION = 40
VAGUE = {"utils", "helpers", "common", "manager", "misc"}
STRAY = re.compile(r"/(work|root|home)/|index-url|extra-index", re.IGNORECASE)


def tracked(*patterns: str) -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "--", *patterns], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return [path for name in listed.stdout.split("\n") if name and (path := ROOT / name).exists()]


def lines_of(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Count the lines of a function with its signature, without its docstring."""
    last = node.end_lineno or 0
    if ast.get_docstring(node) is None:
        return last - node.lineno + 1
    said = node.body[0]
    return last - node.lineno - ((said.end_lineno or 0) - said.lineno)


def options(node: ast.FunctionDef | ast.AsyncFunctionDef, path: Path) -> int:
    """Return how many lines the options of a command of the command line take up.

    The signature of a command is its list of options, one or more lines each: data, not steps.
    """
    decorated = any(".command" in ast.unparse(decorator) for decorator in node.decorator_list)
    if path.parent.name != "cli" or not (node.name == "command" or decorated):
        return 0
    return node.body[0].lineno - node.lineno


def source_files() -> list[Path]:
    return sorted(SOURCE.rglob("*.py"))


def test_no_source_file_is_longer_than_the_ceiling() -> None:
    long = {
        str(path.relative_to(SOURCE)): count
        for path in source_files()
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_FILE
    }
    assert long == {}


def test_no_function_is_longer_than_the_ceiling() -> None:
    long = [
        f"{path.relative_to(SOURCE)}:{node.lineno} {node.name} ({lines_of(node)})"
        for path in source_files()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and lines_of(node) - options(node, path) > LONGEST_FUNCTION
    ]
    assert long == []


@pytest.mark.parametrize("path", source_files(), ids=lambda p: str(p.relative_to(SOURCE)))
def test_file_says_what_it_is_for(path: Path) -> None:
    assert path.stem not in VAGUE
    assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))


def test_no_machine_path_or_stray_word_is_tracked() -> None:
    here = Path(__file__).resolve()
    stray = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in tracked("*.py", "*.md", "*.toml", "*.csv", "*.json", "*.typ", "*.html")
        if path.resolve() != here
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if STRAY.search(line)
    ]
    assert stray == []
