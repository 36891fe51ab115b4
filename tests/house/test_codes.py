"""Codes in the source and in the docs are those of the register; every refusal is whole.

That every code is also raised by a test is seen at the end of a whole run: tests/codes_made.py.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tankside.errors.register import REGISTER

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "tankside"
RECORDS = SOURCE / "errors" / "codes"
TOKEN = re.compile(r"\b[ES]-[A-Z][A-Z0-9]*(?:-[A-Z0-9]+)*(-?)")
KINDS = {"BadInput": "bad input", "NotPossible": "not possible", "CouldNotSave": "could not save"}
CARRIED = ("needed", "next_step", "given")
PAGES = [
    *sorted((ROOT / "docs").glob("*.md")), ROOT / "docs" / "hazards.toml", ROOT / "README.md",
    ROOT / "CHANGELOG.md",
]  # fmt: skip


def source_files() -> list[Path]:
    return [path for path in sorted(SOURCE.rglob("*.py")) if path.parent != RECORDS]


def label(path: Path) -> str:
    return str(path.relative_to(ROOT))


def docstrings(tree: ast.AST) -> set[ast.Constant]:
    """Return the texts that only describe: docstrings, and those under a name."""
    return {
        part.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        for part in node.body
        if isinstance(part, ast.Expr) and isinstance(part.value, ast.Constant)
    }


def literals(source: str) -> Iterator[str]:
    """Yield what looks like a code in the texts a program can raise, one put together included."""
    tree = ast.parse(source)
    described = docstrings(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in described:
            yield from (match.group() for match in TOKEN.finditer(node.value))


def mentioned(text: str) -> Iterator[str]:
    """Yield each code or family of codes that a text names: E-DATE-01, E-NUM-*, E-DOSE-.."""
    for match in TOKEN.finditer(text):
        yield match.group().rstrip("-")


def is_known(name: str) -> bool:
    return name in REGISTER or any(code.startswith(f"{name}-") for code in REGISTER)


def faults(source: str) -> Iterator[str]:
    """Yield what is wrong with each refusal of a module."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        called = node.func.id if isinstance(node.func, ast.Name) else ""
        if called == "Mistake":
            yield f"{node.lineno}: a mistake is raised as one of its kinds"
        if called in KINDS:
            yield from (f"{node.lineno}: {fault}" for fault in of_one(node, KINDS[called]))


def of_one(call: ast.Call, kind: str) -> Iterator[str]:
    first = call.args[0] if call.args else None
    code = str(first.value) if isinstance(first, ast.Constant) else ""
    refusal = REGISTER[code].refusal if code in REGISTER else None
    if refusal is not None and refusal.kind != kind:
        yield f"{code} refuses as {refusal.kind}"
    said = {word.arg: word.value for word in call.keywords}
    for part in CARRIED:
        if part == "given" and part not in said and refusal is not None and refusal.nothing_given:
            continue
        argument = said.get(part)
        if argument is None or (
            isinstance(argument, ast.Constant) and not str(argument.value).strip()
        ):
            yield f"{code} lacks {part}"


@pytest.mark.parametrize("path", source_files(), ids=label)
def test_every_code_that_can_be_raised_is_registered_and_written_out(path: Path) -> None:
    codes = set(literals(path.read_text(encoding="utf-8")))
    assert codes <= set(REGISTER), codes - set(REGISTER)


@pytest.mark.parametrize("path", source_files(), ids=label)
def test_a_docstring_names_only_codes_that_are_there(path: Path) -> None:
    unknown = {name for name in mentioned(path.read_text(encoding="utf-8")) if not is_known(name)}
    assert unknown == set()


def test_every_registered_code_is_raised_somewhere() -> None:
    raised = {code for path in source_files() for code in literals(path.read_text("utf-8"))}
    assert set(REGISTER) - raised == set()


@pytest.mark.parametrize("path", source_files(), ids=label)
def test_every_refusal_says_what_was_given_what_is_needed_and_what_to_do_next(path: Path) -> None:
    assert list(faults(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize("page", PAGES, ids=label)
def test_the_docs_name_only_codes_that_are_there(page: Path) -> None:
    unknown = {name for name in mentioned(page.read_text("utf-8")) if not is_known(name)}
    assert unknown == set()


@pytest.mark.parametrize("text", ["E-NUM-99", "E-NUM-", "S-NOTHING", "see E-OLD-01."])
def test_a_planted_code_is_found(text: str) -> None:
    planted = f'raise BadInput("{text}", "Wrong.")\n'
    assert set(literals(planted)) - set(REGISTER)
    assert set(literals(f"code = f'{text}{{number}}'\n")) - set(REGISTER)


SOUND = 'BadInput("E-NUM-04", "No.", given=text, needed="a number", next_step="Type it.")'
PLANTED = {
    "no need": SOUND.replace('needed="a number", ', ""),
    "an empty need": SOUND.replace('"a number"', '" "'),
    "no next step": SOUND.replace(', next_step="Type it."', ""),
    "nothing given": SOUND.replace("given=text, ", ""),
    "given as nothing": SOUND.replace("given=text", 'given=""'),
    "another kind": SOUND.replace("BadInput", "NotPossible"),
    "no kind at all": SOUND.replace("BadInput", "Mistake"),
}


def test_a_sound_refusal_passes() -> None:
    assert list(faults(SOUND)) == []
    assert list(faults(PLANTED["nothing given"].replace("E-NUM-04", "E-NUM-01"))) == []


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_refusal_by_halves_is_found(fault: str) -> None:
    assert list(faults(PLANTED[fault]))
