"""A commit is checked by the same tools as the whole check, without fetching anything."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
CONFIG = (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8")
STYLE = {"ruff check .", "ruff format --check .", "mypy", "lint-imports"}


@pytest.fixture
def dev(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> ModuleType:
    """Give the bootstrap script, with an environment that only writes down what is called."""
    spec = importlib.util.spec_from_file_location("dev", ROOT / "dev.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(module, "BIN", tmp_path)
    return module


def test_every_hook_is_local_and_runs_what_is_installed() -> None:
    assert set(re.findall(r"repo: (\S+)", CONFIG)) == {"local"}
    assert set(re.findall(r"language: (\S+)", CONFIG)) == {"system"}
    assert re.findall(r"entry: (.+)", CONFIG) == ["python3 dev.py style"]


def test_the_hook_runs_every_check_and_stops_at_the_first_that_fails(
    dev: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran: list[str] = []

    def call(words: list[str], cwd: Path) -> int:
        ran.append(" ".join([Path(words[0]).name, *words[1:]]))
        return 1 if "--check" in words and failing else 0

    monkeypatch.setattr(dev.subprocess, "call", call)
    failing = False
    assert dev.style([]) == 0
    assert set(ran) == STYLE
    failing, ran[:] = True, []
    assert dev.style([]) == 1
    assert ran[-1] == "ruff format --check ."


def test_without_an_environment_it_says_what_to_run(
    dev: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(dev, "BIN", ROOT / "no such folder")
    monkeypatch.setattr(dev.subprocess, "call", pytest.fail)
    assert dev.style([]) == 1
    assert "python3 dev.py test" in capsys.readouterr().err
