"""Every package the program asks for is used, or waits for a named next step; none is borrowed."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
# What nothing imports yet, and for which next step it is already asked for.
WAITING = {
    "python-multipart": "forms of the web pages",
}
IMPORTED_AS = {"vl-convert-python": "vl_convert", "python-multipart": "multipart", "pillow": "PIL"}
# What is imported without being asked for, because it is part of what is.
PART_OF = {
    "llvmlite": "numba",
    "markupsafe": "jinja2",
    "referencing": "jsonschema",
    "starlette": "fastapi",
}
# The slow tier's references, which ``tankside bench`` uses where they are installed.
ONLY_WHERE_INSTALLED = {"COPASI", "pyagrum", "roadrunner"}


def name_of(requirement: str) -> str:
    match = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert match, requirement
    return match.group().lower()


def imported(sources: Iterable[str]) -> set[str]:
    """Name the packages that any of these modules imports, wherever it stands."""
    packages: set[str] = set()
    for source in sources:
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Import):
                packages |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                packages.add(node.module.partition(".")[0])
    return packages - set(sys.stdlib_module_names) - {"tankside"}


def unused(asked_for: Iterable[str], used: set[str], waiting: Iterable[str]) -> set[str]:
    """Name what is asked for, is not imported and waits for nothing."""
    names = {name_of(requirement) for requirement in asked_for}
    return {
        name for name in names if IMPORTED_AS.get(name, name.replace("-", "_")) not in used
    } - set(waiting)


@pytest.fixture(scope="module")
def used() -> set[str]:
    return imported(path.read_text(encoding="utf-8") for path in (ROOT / "src").rglob("*.py"))


@pytest.fixture(scope="module")
def asked_for() -> list[str]:
    extras = PROJECT["project"]["optional-dependencies"].values()
    return [
        *PROJECT["project"]["dependencies"],
        *(requirement for extra in extras for requirement in extra),
    ]


def test_every_package_is_used_or_waits_for_a_next_step(
    asked_for: list[str], used: set[str]
) -> None:
    assert unused(asked_for, used, WAITING) == set()


def test_nothing_waits_that_is_used_or_not_asked_for(asked_for: list[str], used: set[str]) -> None:
    assert unused(asked_for, used, ()) == set(WAITING), "take it off the list of what waits"
    assert all(WAITING.values())


def test_no_package_is_used_that_is_not_asked_for(asked_for: list[str], used: set[str]) -> None:
    names = {name_of(requirement) for requirement in asked_for}
    modules = {IMPORTED_AS.get(name, name.replace("-", "_")) for name in names}
    part_of = {module for module, whole in PART_OF.items() if whole in names}
    assert used - modules - part_of - ONLY_WHERE_INSTALLED == set()


def test_a_planted_package_is_named() -> None:
    used = imported(["def f():\n    from jinja2 import Environment\n", "import numpy.linalg"])
    asked = ["jinja2>=3", "numpy>=2", "leftover-thing>=1"]
    assert unused(asked, used, ()) == {"leftover-thing"}
    assert unused(["python-multipart>=0"], used, WAITING) == set()


@pytest.mark.parametrize("tier", ["run", "test", "slow"])
def test_every_lock_holds_what_is_asked_for(tier: str, asked_for: list[str]) -> None:
    lines = (ROOT / "locks" / f"{tier}.lock").read_text(encoding="utf-8").splitlines()
    locked = {name_of(line) for line in lines if line and not line.startswith((" ", "#"))}
    assert {name_of(requirement) for requirement in asked_for} <= locked
