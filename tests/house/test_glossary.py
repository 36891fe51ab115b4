"""The glossary explains the words of the field that the science rooms are named by."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "tankside"
GLOSSARY = ROOT / "docs" / "glossary.md"
ROOMS = ("lifecycle", "course", "plan", "follow", "diagnose")
ROW = re.compile(
    r"^\| (?P<term>[^|]+) \| (?P<meaning>[^|]+) \| (?P<unit>[^|]+) \| `(?P<where>[^|]+)` \|$"
)

# Modules named by a plain word, or by how the program is built.
PLAIN = frozenset({
    "air", "animals", "body_run", "changes", "check", "choice", "columns", "compare",
    "compiled", "compiling", "counted", "dose", "explain", "facts", "feed", "fish", "gases",
    "history", "hours", "kept", "layout", "looking", "parts", "people", "pipeline", "place",
    "pointed", "positions", "printing", "propose", "rank", "released", "run", "running",
    "salt", "scene", "scratch", "sobol_directions", "starter", "together", "types",
    "unknown_water", "views", "warm", "weighed", "words", "world",
})  # fmt: skip


class Entry(NamedTuple):
    term: str
    meaning: str
    unit: str
    where: str


def entries(text: str) -> list[Entry]:
    """Return the rows of the tables, without their heads."""
    rows = (ROW.match(line) for line in text.splitlines())
    return [Entry(**row.groupdict()) for row in rows if row]


@cache
def glossary() -> tuple[Entry, ...]:
    return tuple(entries(GLOSSARY.read_text(encoding="utf-8")))


def there(where: str) -> bool:
    """Whether a module is there, and the class or function in it when one is named."""
    file, _, name = where.partition("::")
    path = SOURCE / file
    if not path.is_file():
        return False
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return not name or name in {getattr(node, "name", "") for node in tree.body}


def singular(words: str) -> str:
    return " ".join(word.removesuffix("s") for word in words.lower().split())


def explained(stem: str, rows: tuple[Entry, ...]) -> bool:
    """Whether the name of a module is a plain word, or a term of the glossary."""
    name = singular(stem.replace("_", " "))
    return stem in PLAIN or any(
        name == singular(row.term) or Path(row.where.partition("::")[0]).stem == stem
        for row in rows
    )


def modules() -> list[Path]:
    return sorted(
        path for room in ROOMS for path in (SOURCE / room).rglob("*.py") if path.stem != "__init__"
    )


@pytest.mark.parametrize("entry", glossary(), ids=lambda entry: entry.term.replace(" ", "_"))
def test_a_term_points_to_a_module_that_is_there(entry: Entry) -> None:
    assert there(entry.where)


def test_every_row_of_the_page_is_read_and_no_term_stands_twice() -> None:
    lines = GLOSSARY.read_text(encoding="utf-8").splitlines()
    body = [ln for ln in lines if ln.startswith("| ") and not ln.startswith("| Term ")]
    assert [line for line in body if not ROW.match(line)] == []
    terms = [entry.term for entry in glossary()]
    assert sorted(set(terms)) == sorted(terms)


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(SOURCE)))
def test_a_module_is_named_by_a_term_or_a_plain_word(path: Path) -> None:
    assert explained(path.stem, glossary())


def test_no_plain_word_is_kept_for_a_module_that_is_gone() -> None:
    assert PLAIN - {path.stem for path in modules()} == set()


def test_planted_faults_are_found() -> None:
    rows = tuple(entries("| water change | old out, new in | L | `course/actions/change.py` |\n"))
    assert explained("water_changes", rows)
    assert explained("change", rows)
    assert not explained("tides", rows)
    assert there("course/actions/change.py")
    assert not there("course/actions/tides.py")
    assert not there("course/actions/change.py::Tides")
