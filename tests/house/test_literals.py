"""No unexplained number in a science room: facts are claims, formulas cite their source."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TypeGuard

import pytest

SOURCE = Path(__file__).resolve().parents[2] / "src" / "tankside"
SCIENCE = ("claims", "water", "sampling", "course", "lifecycle", "diagnose", "plan", "follow")
EXPLAINED = {"cited", "unit_factor", "setting", "whole_setting"}
PLAIN = {0, 1, 2}
STRUCTURAL = {24, 60, *(10**power for power in range(1, 10))}  # hours, minutes, decimal steps


def unexplained(source: str) -> list[tuple[int, object]]:
    """List (line, value) of numeric literals that are neither structural nor explained.

    Structural are 0, 1, 2, the numbers of hours and minutes, powers of ten, and positions: the
    index of a column and the members of an IntEnum.
    """
    literals: list[tuple[int, object]] = []

    def walk(node: ast.AST) -> None:
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in EXPLAINED:
            return
        if isinstance(node, ast.ClassDef) and "IntEnum" in {ast.unparse(b) for b in node.bases}:
            return
        if is_number(node) and node.value not in PLAIN | STRUCTURAL:
            literals.append((node.lineno, node.value))
        for child in ast.iter_child_nodes(node):
            if not (isinstance(node, ast.Subscript) and child is node.slice and is_place(child)):
                walk(child)

    walk(ast.parse(source))
    return literals


def is_number(node: ast.AST) -> TypeGuard[ast.Constant]:
    """Whether a node is a numeric literal."""
    return (
        isinstance(node, ast.Constant)
        and isinstance(node.value, int | float | complex)
        and not isinstance(node.value, bool)
    )


def is_place(index: ast.AST) -> bool:
    """Whether an index is one whole number, or a row of whole numbers, colons and dots."""
    parts = index.elts if isinstance(index, ast.Tuple) else [index]
    return all((isinstance(part, ast.Slice) and not any((part.lower, part.upper, part.step)))
               or (is_number(part) and isinstance(part.value, int))
               or (isinstance(part, ast.Constant) and part.value is ...)
               for part in parts)  # fmt: skip


def science_files() -> list[Path]:
    return sorted(path for room in SCIENCE for path in (SOURCE / room).rglob("*.py"))


@pytest.mark.parametrize("path", science_files(), ids=lambda p: str(p.relative_to(SOURCE)))
def test_science_room_holds_no_unexplained_number(path: Path) -> None:
    assert unexplained(path.read_text(encoding="utf-8")) == []


def test_a_planted_number_is_found() -> None:
    planted = "LIMIT = 0.02\nx = cited(0.5, 'somebody_1999')\nhalf = 1 / 2\n"
    assert unexplained(planted) == [(1, 0.02)]


@pytest.mark.parametrize(
    "line", ["days = hours // 24", "mg = 1000 * g", "share = percent / 100.0", "q10 ** (t / 10)",
             "group[..., 3]", "rows[:, 4, :]", "row[5] = 0",
             "class Column(IntEnum):\n    AGE = 7"],
)  # fmt: skip
def test_a_structural_number_needs_no_excuse(line: str) -> None:
    assert unexplained(line) == []


@pytest.mark.parametrize(
    "line", ["dose = 25", "step = 0.1", "limit = 0.001", "age = 36", "row[:5]", "row[k + 3]",
             "row[5.5]", "rate = 12 * hours", "class Dose(Enum):\n    HIGH = 7"],
)  # fmt: skip
def test_any_other_number_does(line: str) -> None:
    assert len(unexplained(line)) == 1
