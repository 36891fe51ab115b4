"""People stand beside the log: a role is kept with each entry, a name can be taken away."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.records.case_entries import entry, opened
from typer.testing import CliRunner

from tankside.case import encode, to_object
from tankside.cli.main import app
from tankside.errors import BadInput
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal.entry_rows import rows_between
from tankside.records.journal.opening import open_journal
from tankside.records.journal.people import people_list
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.rebuild import rebuild
from tankside.records.journal.verify import verify_place
from tankside.services.records import back_up, export_folder, import_folder, restore
from tankside.services.records_lookup import search_cases
from tankside.services.records_people import people, remove

NAME = "Marta Vell"


@pytest.fixture
def cases(place: JournalPlace) -> JournalPlace:
    made = create_case("elm", [opened(keeper=NAME)])
    append_entries(made, [entry(2, by=NAME, role="keeper"), entry(3, by="Ann Reed")])
    create_case("oak", [opened("Oak Lane", "Ann Reed", practitioner=NAME)])
    return place


def run(*words: str) -> str:
    ran = CliRunner().invoke(app, list(words))
    assert ran.exit_code == 0, ran.output
    return ran.stdout


def test_a_removed_name_is_gone_and_chain_and_entries_stay(cases: JournalPlace) -> None:
    before = verify_place(cases)
    number = next(p.number for p in people() if p.name == NAME)
    gone = remove(number, NAME)
    assert (gone.name, gone.removed, gone.entries, gone.cases) == (f"person {number}", True, 1, 1)
    after = verify_place(cases)
    assert (after.faults, after.head, after.entries) == ((), before.head, before.entries)
    elm = read_case("elm")
    assert [e.by for e in elm.entries] == ["me", f"person {number}", "Ann Reed"]
    assert search_cases("vell") == []
    assert [case.label for case in search_cases("reed")] == ["oak"]
    assert append_entries(elm, [entry(4, by=NAME)]).entries[-1].by == NAME
    rebuild(open_journal(cases))
    assert verify_place(cases).faults == ()


def test_no_file_export_or_next_backup_holds_a_removed_name(
    cases: JournalPlace, tmp_path: Path
) -> None:
    number = next(p.number for p in people() if p.name == NAME)
    remove(number, NAME)
    (tmp_path / "out").mkdir()
    assert [each.fault for each in export_folder(tmp_path / "out")] == [None, None]
    back_up(tmp_path / "b.db")
    restore(tmp_path / "b.db", str(tmp_path / "restored.db"))
    files = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert len(files) >= 5
    assert [path.name for path in files if NAME.encode() in path.read_bytes()] == []
    assert verify_place(journal_place(tmp_path / "restored.db")).faults == ()
    other = tmp_path / "other.db"
    assert [each.fault for each in import_folder(tmp_path / "out", str(other))] == [None, None]
    with open_journal(journal_place(other)).reading() as connection:
        assert NAME not in {person.name for person in people_list(connection)}


@pytest.mark.parametrize("name", ["Ann Reed", "", "marta vell", "person 2"])
def test_nobody_is_removed_by_another_name(cases: JournalPlace, name: str) -> None:
    number = next(p.number for p in people() if p.name == NAME)
    with pytest.raises(BadInput, match="E-WORD-02"):
        remove(number, name)
    with pytest.raises(BadInput, match="E-WORD-02"):
        remove(99, NAME)
    assert NAME in {person.name for person in people()}


def test_the_role_at_the_time_of_writing_is_kept_in_both_stores(
    place: JournalPlace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = str(tmp_path / "elm.jsonl")
    for case in (file, "elm"):
        run("case", "new", case, "--name", "Elm", "--keeper", "K", "--water", "fresh",
            "--zone", "UTC", "--by", "A", "--role", "student")  # fmt: skip
        run("case", "add", case, "note", "one", "--by", "A", "--role", "practitioner")
        monkeypatch.setenv("TANKSIDE_ROLE", "keeper")
        run("case", "add", case, "note", "two", "--by", "A")
        monkeypatch.delenv("TANKSIDE_ROLE")
        run("case", "add", case, "note", "three", "--by", "A")
        roles = [to_object(e).get("role") for e in read_case(case).entries]
        assert roles == ["student", "practitioner", "keeper", None]
    with open_journal(place).reading() as connection:
        kept = [row.author_role for row in rows_between(connection, 0, 9)]
    assert kept == ["student", "practitioner", "keeper", None]
    assert b'"role":"student"' in encode(read_case("elm").entries)
    ran = CliRunner().invoke(app, ["case", "add", "elm", "note", "x", "--role", "boss", "--json"])
    assert (ran.exit_code, json.loads(ran.stdout)["error"]["code"]) == (2, "E-WORD-02")


def test_people_are_listed_and_removed_at_the_command_line(cases: JournalPlace) -> None:
    listed = json.loads(run("records", "people", "--json"))["people"]
    number = next(row["number"] for row in listed if row["name"] == NAME)
    assert f"{number}  {NAME}  wrote 1 entries, keeps 1 cases" in run("records", "people")
    assert "Earlier backups" in run("records", "remove-person", str(number), NAME)
    assert f"person {number}" in run("records", "list")
