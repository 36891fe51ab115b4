"""Names say what a thing is: no word that fits anything, no class name twice in the tree."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "tankside"
BANNED = frozenset({"found", "one", "told", "given", "known", "own"})

# Rooms whose names are still being mended, and class names still held by two of them.
KEYWORD_OF_A_REFUSAL = ROOT / "src" / "tankside" / "errors" / "mistake.py"


def python_files() -> list[Path]:
    return sorted(p for top in (SOURCE, ROOT / "tests") for p in top.rglob("*.py"))


def banned(source: str) -> list[tuple[int, str]]:
    """List (line, name) of variables, parameters and fields that carry a banned name."""
    names = []
    for node in ast.walk(ast.parse(source)):
        name = ""
        if isinstance(node, ast.arg):
            name = node.arg
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            name = node.id
        elif isinstance(node, ast.MatchAs | ast.MatchStar | ast.ExceptHandler):
            name = node.name or ""
        if name in BANNED:
            names.append((getattr(node, "lineno", 0), name))
    return sorted(names)


def class_names(files: Iterable[Path]) -> Iterator[tuple[str, str]]:
    for path in files:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                yield node.name, str(path)


def twice(classes: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    """Return each class name that is defined more than once, with the places."""
    places = defaultdict(list)
    for name, place in classes:
        places[name].append(place)
    return {name: where for name, where in places.items() if len(where) > 1}


@pytest.mark.parametrize(
    "path",
    [path for path in python_files() if path != KEYWORD_OF_A_REFUSAL],
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_no_name_that_fits_anything(path: Path) -> None:
    assert banned(path.read_text(encoding="utf-8")) == []


def test_every_class_of_the_program_has_a_name_of_its_own() -> None:
    assert twice(class_names(sorted(SOURCE.rglob("*.py")))) == {}


def test_planted_names_are_noticed() -> None:
    planted = (
        "def sum_of(given, right):\n"
        "    found = [one for one in right]\n"
        "    for place, own in right:\n"
        "        told: int = 1\n"
        "    return Mistake(given=found)\n"
        "match right:\n"
        "    case [known]: pass\n"
    )
    assert banned(planted) == [
        (1, "given"), (2, "found"), (2, "one"), (3, "own"), (4, "told"), (7, "known"),
    ]  # fmt: skip
    assert banned("text.found = call(given=1).known\n") == []


def test_a_planted_second_class_is_noticed() -> None:
    assert twice([("Step", "a.py"), ("Stage", "a.py"), ("Step", "b.py")]) == {
        "Step": ["a.py", "b.py"]
    }
