"""Services give data: what a person reads is written in the report room, refusals apart.

The rule: no text of more than four words, and none with the end of a sentence in it, stands in a
service outside a docstring and outside a refusal (whatever is raised, or handed to one of the
classes of mistakes). A unit, a column name or a typed option is shorter than that.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

SERVICES = Path(__file__).resolve().parents[2] / "src" / "tankside" / "services"
MOST_WORDS = 4
END = re.compile(r"\w\.\s|\s.*\w\.$")
REFUSALS = {"BadInput", "NotPossible", "CouldNotSave", "Mistake"}


def sentences(source: str) -> list[tuple[int, str]]:
    """List (line, text) of every text of a module that is longer than a label."""
    return [(line, text) for line, text in texts(ast.parse(source)) if is_sentence(text)]


def texts(node: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield every text a module may show; what is filled into one counts as one word."""
    if isinstance(node, ast.Raise) or is_refusal(node) or is_docstring(node):
        return
    if isinstance(node, ast.JoinedStr):
        yield node.lineno, joined(node)
        parts = [part.value for part in node.values if isinstance(part, ast.FormattedValue)]
        for part in parts:
            yield from texts(part)
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.lineno, node.value
    for child in ast.iter_child_nodes(node):
        yield from texts(child)


def is_docstring(node: ast.AST) -> bool:
    """Whether it is a text that stands alone as a statement: it documents and is never shown."""
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def is_refusal(node: ast.AST) -> bool:
    return isinstance(node, ast.Call) and getattr(node.func, "id", "") in REFUSALS


def joined(node: ast.JoinedStr) -> str:
    parts = (str(part.value) if isinstance(part, ast.Constant) else "x" for part in node.values)
    return "".join(parts)


def is_sentence(text: str) -> bool:
    return len(text.split()) > MOST_WORDS or END.search(text) is not None


def services() -> list[Path]:
    return sorted(SERVICES.rglob("*.py"))


@pytest.mark.parametrize("path", services(), ids=lambda path: path.name)
def test_a_service_writes_no_sentence(path: Path) -> None:
    assert sentences(path.read_text(encoding="utf-8")) == []


def test_a_planted_sentence_is_found_and_a_refusal_or_docstring_is_not() -> None:
    planted = (
        '"""What this module is about, said in full."""\n'
        "LABEL = 'mg/L as CaCO3'\n"
        "NOTE = 'The label is the tank, not the water.'\n"
        '"""A docstring of a constant, as long as it likes."""\n'
        "def f(x):\n"
        "    if x:\n"
        "        raise BadInput('E-1', 'This cannot be read as a number.')\n"
        "    return NotPossible('E-2', 'Nobody has measured the water yet.')\n"
        "def g(x):\n"
        "    return f'Only {x} fish of the group are left alive.'\n"
        "    return f'{x}: {x}. {x}'\n"
    )
    assert [line for line, _ in sentences(planted)] == [3, 10, 11]
