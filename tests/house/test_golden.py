"""Every golden table is opened by a test: one that nobody reads proves nothing."""

from __future__ import annotations

import ast
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
TABLES = sorted((TESTS / "golden").iterdir())


def texts(source: str) -> set[str]:
    """Return the texts that a module uses; what stands alone, as a docstring does, is not used."""
    tree = ast.parse(source)
    alone = {node.value for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    return {
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in alone
    }


def opens(used: Iterable[str], table: str) -> bool:
    """Whether a table is named, as a file or by its stem."""
    return bool({table, Path(table).stem} & set(used))


@cache
def used_by_tests() -> frozenset[str]:
    house = TESTS / "house"
    return frozenset().union(
        *(texts(path.read_text(encoding="utf-8")) for path in TESTS.rglob("*.py")
          if house not in path.parents)
    )  # fmt: skip


@pytest.mark.parametrize("table", TABLES, ids=lambda path: path.name)
def test_a_golden_table_is_opened_by_a_test(table: Path) -> None:
    assert opens(used_by_tests(), table.name)


def test_a_table_that_nobody_opens_is_noticed() -> None:
    module = '"""tides.csv is fine."""\nrows(FOLDER / "moons.csv")\nTOPICS = {"winds": 1}\n'
    assert not opens(texts(module), "tides.csv")
    assert opens(texts(module), "moons.csv")
    assert opens(texts(module), "winds.csv")
