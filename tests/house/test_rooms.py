"""The import contracts are real: a planted layering fault turns them red."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

FAULTS = {
    "a low room imports a high one": ("water", "from tankside.course import tank_hours\n"),
    "a science room opens files": ("plan", "import pathlib\n"),
    "a new room stands outside the layers": ("attic", "ROOM = 'attic'\n"),
}


def check_contracts(where: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c()",
         "--no-cache"],
        cwd=where,
        env={"PYTHONPATH": str(where / "src"), "PATH": ""},
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip


@pytest.fixture
def copy_of_house(tmp_path: Path) -> Path:
    ignore = shutil.ignore_patterns("__pycache__", "data", "static", "*.toml")
    shutil.copytree(ROOT / "src" / "tankside", tmp_path / "src" / "tankside", ignore=ignore)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_the_house_as_it_stands_keeps_its_contracts(copy_of_house: Path) -> None:
    result = check_contracts(copy_of_house)
    assert result.returncode == 0, result.stdout


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_breaks_a_contract(copy_of_house: Path, fault: str) -> None:
    room, line = FAULTS[fault]
    folder = copy_of_house / "src" / "tankside" / room
    folder.mkdir(exist_ok=True)
    (folder / "__init__.py").touch()
    (folder / "planted.py").write_text('"""Planted."""\n' + line, encoding="utf-8")
    result = check_contracts(copy_of_house)
    assert result.returncode != 0, result.stdout


def test_no_room_imports_another_by_name() -> None:
    """Only the command table may, from its own room, and the public surface, which is no room."""
    calls = [
        (path.relative_to(ROOT / "src" / "tankside").as_posix(), line.strip())
        for path in sorted((ROOT / "src" / "tankside").rglob("*.py"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if "import_module" in line or "__import__" in line
    ]
    by_name = 'return Entry(partial(importlib.import_module, f"tankside.cli.{name}"), summary)'
    surface = "value: object = getattr(importlib.import_module(module), there)"
    assert calls == [("__init__.py", surface), ("cli/lazy.py", by_name)]
