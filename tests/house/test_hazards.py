"""Every hazard of the table names controls and tests that exist; every goal names its tests.

``docs/hazards.toml`` is the table. A row is controlled, or says which part of the program is not
built yet. Severe rows (4 and 5) need a control by design or a protective one: words are not
enough. Each is attacked by a test that types entries, or says why no entry reaches it.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
TABLE = ROOT / "docs" / "hazards.toml"
KINDS = {"D": "by design", "P": "protective", "I": "information"}
CONTROLLED, NOT_BUILT = "controlled", "not built yet"
SEVERE = 4
TYPED = ("tests/scenarios/", "tests/cli/")
"""Where tests type entries and commands as a person does."""
GOALS = ("P1", "P2", "P3", "P4", "P5", "P6", "P7", "P8", "P9", "P10", "P11", "P12", "P15", "P16",
         "P18", "P21", "P22")  # fmt: skip

Row = dict[str, Any]


def table() -> dict[str, list[Row]]:
    return tomllib.loads(TABLE.read_text(encoding="utf-8"))


@cache
def names_in(name: str) -> frozenset[str]:
    """Return the tests of a file as pytest names them; none when there is no such file."""
    path = ROOT / name
    if not path.is_file():
        return frozenset()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}
    for part in tree.body:
        if isinstance(part, ast.ClassDef):
            names |= {f"{part.name}::{n.name}" for n in part.body if isinstance(n, ast.FunctionDef)}
    return frozenset(name for name in names if name.split("::")[-1].startswith("test_"))


def faults(row: Row) -> Iterator[str]:
    """Yield what is wrong with one row."""
    tests = row.get("tests", [])
    for node in tests:
        file, _, name = node.partition("::")
        if name not in names_in(file):
            yield f"{node} does not exist"
    if row.get("status") not in (CONTROLLED, NOT_BUILT):
        yield "status is neither controlled nor not built yet"
    if row.get("status") == CONTROLLED and not tests:
        yield "is called controlled and names no test"
    if row.get("status") == NOT_BUILT and len(row.get("missing", "")) < 20:
        yield "does not say which part of the program is missing"
    if row.get("status") == CONTROLLED and row.get("missing"):
        yield "is called controlled and says that something is missing"


def typing_faults(row: Row) -> Iterator[str]:
    """Yield what is wrong with the attacks through entries, or with why there are none."""
    attacks, why = row.get("typed", []), row.get("no_entry", "")
    if bool(attacks) == (len(why) >= 20):
        yield "names neither an attack through entries nor why no entry reaches it, or both"
    for node in attacks:
        file, _, name = node.partition("::")
        if not file.startswith(TYPED) or name not in names_in(file):
            yield f"{node} is no test of what is typed"


def hazard_faults(row: Row) -> Iterator[str]:
    yield from faults(row)
    for field in ("hazard", "cause", "harm"):
        if not row.get(field):
            yield f"says no {field}"
    if row.get("severity") not in range(1, 6):
        yield "has no severity from 1 to 5"
        return
    yield from typing_faults(row)
    kinds = {control["type"] for control in row.get("controls", [])}
    if not kinds <= set(KINDS):
        yield "has a control of no known type"
    if any(len(control.get("what", "")) < 5 for control in row.get("controls", [])):
        yield "has a control that says nothing"
    if row["severity"] >= SEVERE and not kinds & {"D", "P"}:
        yield "is severe and rests on words alone"


def test_the_table_has_its_55_rows_once_each() -> None:
    assert [row["id"] for row in table()["hazard"]] == [f"H{n:02}" for n in range(1, 56)]


@pytest.mark.parametrize("row", table()["hazard"], ids=lambda row: row["id"])
def test_a_hazard_has_controls_and_tests_that_exist(row: dict[str, Any]) -> None:
    assert list(hazard_faults(row)) == []


@pytest.mark.parametrize("row", table()["goal"], ids=lambda row: row["id"])
def test_a_goal_has_tests_that_exist(row: dict[str, list[str] | str]) -> None:
    assert list(faults(row)) == []
    assert row["goal"]


def test_every_goal_of_amounts_stands_in_the_table() -> None:
    assert [row["id"] for row in table()["goal"]] == list(GOALS)


SOUND: Row = {
    "id": "H99", "hazard": "a hazard", "cause": "a cause", "harm": "death", "severity": 5,
    "controls": [{"type": "D", "what": "cannot happen"}], "status": CONTROLLED,
    "tests": ["tests/house/test_hazards.py::test_the_table_has_its_55_rows_once_each"],
    "no_entry": "the row is invented for this test",
}  # fmt: skip
PLANTED: dict[str, Row] = {
    "no test": {"tests": []},
    "a test that is not there": {"tests": ["tests/house/test_hazards.py::test_nothing"]},
    "a file that is not there": {"tests": ["tests/nowhere.py::test_nothing"]},
    "a function that is no test": {"tests": ["tests/house/test_hazards.py::faults"]},
    "a file without a test": {"tests": ["tests/house/test_hazards.py"]},
    "words alone": {"controls": [{"type": "I", "what": "it is printed"}]},
    "no control": {"controls": []},
    "a control of no type": {"controls": [{"type": "X", "what": "something"}]},
    "an empty control": {"controls": [{"type": "D", "what": ""}]},
    "no attack": {"no_entry": ""},
    "an attack that types nothing": {
        "typed": ["tests/house/test_hazards.py::test_the_table_has_its_55_rows_once_each"],
        "no_entry": "",
    },
    "an attack that is not there": {
        "typed": ["tests/scenarios/test_hazards_typed.py::test_nothing"],
        "no_entry": "",
    },
    "no status": {"status": "fine"},
    "not built, not saying what": {"status": NOT_BUILT},
    "controlled, and yet missing": {"missing": "the whole of the other half"},
    "no harm": {"harm": ""},
    "severity out of range": {"severity": 6},
}


def test_a_sound_row_passes() -> None:
    assert list(hazard_faults(SOUND)) == []
    assert (
        list(hazard_faults(SOUND | {"status": NOT_BUILT, "missing": "there is no database"})) == []
    )


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_fault_is_found(fault: str) -> None:
    assert list(hazard_faults(SOUND | PLANTED[fault]))


def test_every_test_that_the_page_on_amounts_names_exists_and_every_promise_is_there() -> None:
    page = (ROOT / "docs" / "dose.md").read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| (P[0-9]+|copper) \| .* \| (tests/.*) \|$", page, re.MULTILINE))
    assert set(rows) == {*GOALS, "copper"}
    for promise, named in rows.items():
        for node in named.split(", "):
            file, _, name = node.partition("::")
            assert name in names_in(file), f"{promise}: {node} does not exist"
