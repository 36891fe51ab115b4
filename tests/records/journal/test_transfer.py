"""Case files into the journal and out again, byte for byte; through the commands, as typed."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.cli.conftest import Ran, tankside
from tests.records.case_entries import entry, opened

from tankside.case import encode
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.schema import REVISION

__all__ = ["tankside"]
Run = Callable[..., Ran]
OPENING = (
    "case", "new", "elm", "--name", "Elm Road", "--keeper", "Marta Vell", "--water", "fresh",
    "--zone", "Europe/London", "--opened", "2026-03-02", "--by", "vell",
)  # fmt: skip


@pytest.fixture
def folder() -> Path:
    """Give a folder of four cases, two of one name."""
    Path("in").mkdir()
    for name, entries in {
        "elm": [opened(), entry(2, text='"\\ \u2028 李 🐟'), entry(3, by="Zoë")],
        "oak lane": [opened("Elm Road", "Ann Reed", practitioner="M. Vell")],
        "17": [opened("Low Hill")],
        "Łódź": [opened("Łódź", "O'Brien <b>")],
    }.items():
        Path("in", f"{name}.jsonl").write_bytes(encode(entries))
    return Path("in")


def contents(folder: str) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in Path(folder).iterdir()}


def test_files_go_in_and_out_byte_for_byte(
    place: JournalPlace, tankside: Run, folder: Path
) -> None:
    taken = tankside("records", "import", "in", "--json")
    assert taken.code == 0, taken.out
    assert [row["entries"] for row in taken.answer["files"]] == [1, 3, 1, 1]
    Path("out").mkdir()
    assert tankside("records", "export", "out").code == 0
    there = contents("out")
    assert there.pop("file-17.jsonl") == contents("in")["17.jsonl"]
    assert there == {name: data for name, data in contents("in").items() if name != "17.jsonl"}
    again = tankside("records", "import", "in", "--json").answer["files"]
    assert [row["entries"] for row in again] == [0, 0, 0, 0]
    assert tankside("records", "export", "out").code == 0
    assert tankside("records", "verify", "--json").answer["entries"] == 6


def test_a_case_of_the_journal_goes_through_a_file_and_back(
    place: JournalPlace, tankside: Run
) -> None:
    made = tankside(*OPENING)
    assert made.out.startswith("Saved in the journal, case 1\n")
    added = tankside("case", "add", "elm", "note", "text=first", "--by", "Zoë", "--json").answer
    assert (added["case"], added["version"], "file" in added) == (1, 2, False)
    assert tankside("case", "export", "1", "--to", "elm.jsonl").code == 0
    assert tankside("case", "add", "elm.jsonl", "note", "text=second", "--by", "Zoë").code == 0
    assert tankside("records", "import", ".").code == 0
    Path("out").mkdir()
    tankside("records", "export", "out")
    assert contents("out") == {"elm.jsonl": Path("elm.jsonl").read_bytes()}
    shown, filed = (tankside("case", "show", which) for which in ("elm road", "elm.jsonl"))
    assert shown.out == filed.out
    assert "second" in tankside("case", "show", "1", "--history").out


def test_what_says_something_else_is_left_on_both_sides(
    place: JournalPlace, tankside: Run, folder: Path
) -> None:
    tankside("records", "import", "in")
    Path("in", "elm.jsonl").write_bytes(encode([opened("Elm Close")]))
    Path("in", "new.jsonl").write_bytes(b"{}\n")
    refused = tankside("records", "import", "in", "--json")
    assert refused.code == 2
    codes = {row["file"]: row.get("error", {}).get("code") for row in refused.answer["files"]}
    assert codes == {
        "17.jsonl": None, "elm.jsonl": "E-PATH-03", "new.jsonl": "E-CASE-01",
        "oak lane.jsonl": None, "Łódź.jsonl": None,
    }  # fmt: skip
    before = contents("in")
    refused = tankside("records", "export", "in")
    assert refused.code == 2
    assert "elm.jsonl  NOT DONE: E-PATH-03" in refused.out
    assert contents("in") == before | {"file-17.jsonl": before["17.jsonl"]}


def test_another_spelling_is_kept_canonically_and_said(place: JournalPlace, tankside: Run) -> None:
    lines = encode([opened()]).split(b"\n")
    spelled = b"\n".join(json.dumps(json.loads(line)).encode() for line in lines[:-1]) + b"\n"
    Path("elm.jsonl").write_bytes(spelled)
    said = tankside("records", "import", ".")
    assert "kept in the canonical spelling" in said.out
    assert tankside("case", "export", "elm", "--json").answer["lines"] == [
        line.decode() for line in lines[:-1]
    ]


def test_the_whole_life_of_a_journal_by_its_commands(place: JournalPlace, tankside: Run) -> None:
    for words in (("list",), ("verify",), ("export", "."), ("backup", "b.db"), ("rebuild",)):
        nothing = tankside("records", *words)
        assert (nothing.code, "E-PATH-02" in nothing.err) == (2, True), words
    tankside(*OPENING)
    assert tankside("records", "list", "--json").answer["cases"] == [
        {"number": 1, "label": "elm", "name": "Elm Road", "keeper": "Marta Vell",
         "opened": "2026-03-02", "last": "2026-03-02", "entries": 1, "closed": False},
    ]  # fmt: skip
    assert "1  elm  Elm Road  keeper Marta Vell" in tankside("records", "list").out
    made = tankside("records", "backup", "b.db", "--json").answer
    head = tankside("records", "verify", "--json").answer["head"]
    assert made["head"] == head
    assert "read back and checked" in tankside("records", "restore", "b.db").out
    assert tankside("records", "restore", "b.db", "--to", "new.db").code == 0
    assert tankside("records", "verify", "--journal", "new.db", "--json").answer["head"] == head
    assert "1 cases" in tankside("records", "rebuild").out
    assert tankside("records", "migrate", "--json").answer == {
        "before": REVISION, "after": REVISION, "copy": None,
    }  # fmt: skip
    assert tankside("records", "import", "nowhere").code == 2
    granted = tankside("records", "grant", "No Role")
    assert granted.code == (3 if place.file else 2)


def test_a_checker_that_is_given_nothing_does_not_say_no_fault(
    sqlite_place: JournalPlace, tankside: Run
) -> None:
    Path("in").mkdir()
    Path("in", "x.jsonl").write_bytes(b"")
    tankside("records", "import", "in", "--journal", str(sqlite_place.file))
    said = tankside("records", "verify", "--journal", str(sqlite_place.file))
    assert said.code == 3
    assert "nothing was checked" in said.out


def test_who_saves_through_the_commands_is_told_of_a_changed_case(
    place: JournalPlace, tankside: Run
) -> None:
    tankside(*OPENING)
    assert tankside(*OPENING).code == 2
    missing = tankside("case", "add", "oak", "note", "text=x")
    assert (missing.code, "E-CASE-06" in missing.err) == (2, True)
