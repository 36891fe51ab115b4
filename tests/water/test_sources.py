"""Every coefficient and every method of the water rooms names a work of the source register."""

from __future__ import annotations

import ast
import csv
import importlib
import pkgutil
from pathlib import Path

import pytest

import tankside.water
from tankside.water.ranged import Method

HOME = Path(__file__).resolve().parents[2]
SOURCES = HOME / "src" / "tankside" / "library" / "data" / "sources"
ROOMS = ("water", "sampling")


def registered() -> set[str]:
    return {
        row["key"]
        for path in SOURCES.glob("*.csv")
        for row in csv.DictReader(path.read_text(encoding="utf-8").splitlines())
    }


def cited_keys(path: Path) -> set[str]:
    """Collect the second argument of each ``cited`` call, through module and local names."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = {
        target.id: node.value.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
        for target in node.targets
        if isinstance(target, ast.Name) and isinstance(node.value.value, str)
    }
    keys = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "cited":
            key = node.args[1]
            keys.add(str(key.value) if isinstance(key, ast.Constant) else names[ast.unparse(key)])
    return keys


def files() -> list[Path]:
    return [p for room in ROOMS for p in sorted((HOME / "src/tankside" / room).glob("*.py"))]


@pytest.mark.parametrize("path", files(), ids=lambda path: path.stem)
def test_cited_numbers_name_a_registered_work(path: Path) -> None:
    assert cited_keys(path) - registered() == set()


def test_every_method_names_a_registered_work_and_an_equation() -> None:
    works = registered()
    methods = [
        thing
        for module in pkgutil.iter_modules(tankside.water.__path__)
        for thing in vars(importlib.import_module(f"tankside.water.{module.name}")).values()
        if isinstance(thing, Method)
    ]
    assert methods
    assert [m.name for m in methods if m.source not in works or not m.equation] == []
