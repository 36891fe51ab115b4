"""A whole run fails when a registered code is never raised, with several workers too.

A small suite of its own is run, held to a register of two codes.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SETTINGS = f"""[pytest]
testpaths = cases
pythonpath = {ROOT} {ROOT / "src"}
addopts = -q -p no:cacheprovider --import-mode=importlib
"""
HELD_TO_TWO = """from tests import codes_made

pytest_plugins = ("tests.codes_made",)
codes_made.REGISTER = {name: codes_made.REGISTER[name] for name in ("E-NUM-04", "E-NUM-07")}
"""
RAISES = """import pytest
from tankside.errors import BadInput
from tankside.quantity import parse_number


def test_it_is_refused():
    with pytest.raises(BadInput):
        parse_number({typed!r}, field="length")
"""
MADE_BY_THE_TEST = """from tankside.errors import BadInput


def test_it_is_made_here():
    BadInput("E-NUM-07", "No.", given="1e3", needed="1000", next_step="Type.", field="length")
"""


@pytest.fixture
def suite(tmp_path: Path) -> Path:
    """Return a suite that raises one of the two codes."""
    (tmp_path / "cases").mkdir()
    (tmp_path / "pytest.ini").write_text(SETTINGS, encoding="utf-8")
    (tmp_path / "cases" / "conftest.py").write_text(HELD_TO_TWO, encoding="utf-8")
    add(tmp_path, "first", RAISES.format(typed="a few"))
    return tmp_path


def add(suite: Path, name: str, text: str) -> None:
    (suite / "cases" / f"test_{name}.py").write_text(text, encoding="utf-8")


def run(suite: Path, *words: str) -> tuple[int, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *words],
        cwd=suite, env=kept, capture_output=True, text=True, check=False,
    )  # fmt: skip
    return done.returncode, done.stdout + done.stderr


@pytest.mark.parametrize("workers", [["-n", "0"], ["-n", "2", "--dist", "loadfile"]])
def test_a_code_that_no_test_raises_fails_a_whole_run(suite: Path, workers: list[str]) -> None:
    add(suite, "made", MADE_BY_THE_TEST)
    code, said = run(suite, *workers)
    assert code == pytest.ExitCode.TESTS_FAILED, said
    assert "codes that no test raised" in said
    assert "E-NUM-07" in said
    assert "E-NUM-04" not in said
    add(suite, "second", RAISES.format(typed="1e3"))
    code, said = run(suite, *workers)
    assert code == pytest.ExitCode.OK, said
    assert "codes that" not in said


@pytest.mark.parametrize("some", [["cases/test_first.py"], ["-k", "refused"]])
def test_a_run_of_some_tests_is_not_judged_but_can_be_asked(suite: Path, some: list[str]) -> None:
    code, said = run(suite, *some, "--codes")
    assert code == pytest.ExitCode.OK, said
    assert "E-NUM-07" in said
