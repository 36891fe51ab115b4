"""Many typed lines in one start: all or none from standard input, or one after another."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from tankside.cli.main import app
from tankside.records.case_file import read_case

OPENING = ["case", "new", "x.jsonl", "--name", "X", "--keeper", "K", "--water", "fresh",
           "--zone", "UTC", "--opened", "2026-03-01"]  # fmt: skip
LINES = """# what was seen first
finding spots_visible=yes flashing=frequent

stock loach "name=clown loach" count=2 "length=9 cm"
count spots=44 group=loach
note "the keeper's son called"
"""


@pytest.fixture(autouse=True)
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T18:30+00:00")
    assert typed("", *OPENING).exit_code == 0
    return tmp_path / "x.jsonl"


def typed(lines: str | bytes, *words: str) -> Result:
    return CliRunner().invoke(app, list(words), input=lines)


def kinds(path: Path) -> list[str]:
    return [str(entry.kind) for entry in read_case(path).entries][1:]


def test_typed_lines_are_added_together_and_later_ones_know_the_earlier(case: Path) -> None:
    assert typed(LINES, "case", "add", "x.jsonl", "--from", "-").exit_code == 0
    assert kinds(case) == ["finding", "finding", "stock", "count", "note"]
    assert read_case(case).entries[-1].text == "the keeper's son called"  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("water ph=banana", "E-NUM-04"),
        ('water "ph=7.2', "E-CSV-02"),
        ("count spots=4 group=nobody", "E-WORD-02"),
        ("teapot ph=7", "E-WORD-01"),
    ],
)
def test_one_line_that_is_refused_refuses_all_and_is_named(
    case: Path, line: str, code: str
) -> None:
    before = case.read_bytes()
    said = typed(f"{LINES}{line}\n", "case", "add", "x.jsonl", "--from", "-", "--json")
    assert said.exit_code == 2
    error = json.loads(said.stdout)["error"]
    assert "Line 7" in error["message"]
    assert error["code"] == code
    assert case.read_bytes() == before


@pytest.mark.parametrize(
    ("sent", "code"), [("", "E-CSV-01"), ("# nothing\n\n", "E-CSV-01"), (b"\xff\xfe", "E-CSV-03")]
)
def test_nothing_or_no_text_is_refused(case: Path, sent: str | bytes, code: str) -> None:
    before = case.read_bytes()
    said = typed(sent, "case", "add", "x.jsonl", "--from", "-", "--json")
    assert (said.exit_code, json.loads(said.stdout)["error"]["code"]) == (2, code)
    assert case.read_bytes() == before


def test_lines_typed_one_after_another_are_saved_by_themselves(case: Path) -> None:
    said = typed("water ph=7.2\nwater ph=banana\nfinding eye=normal\n", "case", "write", "x.jsonl")
    assert said.exit_code == 2
    assert kinds(case) == ["water_test", "finding"]
    assert said.stdout.count("Saved in x.jsonl") == 2
    assert "E-NUM-04" in said.stderr


def test_each_line_is_answered_by_an_object_of_its_own_when_asked(case: Path) -> None:
    said = typed("water ph=7.2\n\nnote hello\n", "case", "write", "x.jsonl", "--json")
    assert said.exit_code == 0
    answers = [json.loads(line) for line in said.stdout.splitlines()]
    assert [answer["version"] for answer in answers] == [2, 3]
    assert kinds(case) == ["water_test", "note"]
