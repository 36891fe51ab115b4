"""No unexplained number in a science room: facts are claims, formulas cite their source."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

SOURCE = Path(__file__).resolve().parents[2] / "src" / "tankside"
SCIENCE = ("claims", "water", "sampling", "course", "lifecycle", "diagnose", "plan", "follow")
EXPLAINED = {"cited", "unit_factor", "setting", "whole_setting"}
PLAIN = {0, 1, 2}


def unexplained(source: str) -> list[tuple[int, object]]:
    """List (line, value) of numeric literals outside an explaining call and not 0, 1 or 2."""
    literals: list[tuple[int, object]] = []

    def walk(node: ast.AST) -> None:
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in EXPLAINED:
            return
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, int | float | complex)
            and not isinstance(node.value, bool)
            and node.value not in PLAIN
        ):
            literals.append((node.lineno, node.value))
        for child in ast.iter_child_nodes(node):
            walk(child)

    walk(ast.parse(source))
    return literals


def science_files() -> list[Path]:
    return sorted(path for room in SCIENCE for path in (SOURCE / room).rglob("*.py"))


@pytest.mark.parametrize("path", science_files(), ids=lambda p: str(p.relative_to(SOURCE)))
def test_science_room_holds_no_unexplained_number(path: Path) -> None:
    assert unexplained(path.read_text(encoding="utf-8")) == []


def test_a_planted_number_is_found() -> None:
    planted = "LIMIT = 0.02\nx = cited(0.5, 'somebody_1999')\nhalf = 1 / 2\n"
    assert unexplained(planted) == [(1, 0.02)]
