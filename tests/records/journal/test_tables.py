"""Tables for other programs hold every entry whole and give the same case files again."""

from __future__ import annotations

import csv
import hashlib
from pathlib import Path

import pytest
from tests.records.case_entries import entry, opened

from tankside.case import encode
from tankside.errors import BadInput
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal.place import VARIABLE, JournalPlace
from tankside.services.records import import_folder
from tankside.services.records_tables import export_tables

PICTURE = b"\xff\xd8 not really a picture"


@pytest.fixture
def cases(place: JournalPlace, tmp_path: Path) -> Path:
    made = create_case("elm", [opened("=1+1", 'Łukasz "O\'Hara", jr')])
    seen = [
        entry(2, text="two lines,\nand a \"quote\""),
        entry(3, "photo", file="a.jpg", sha256=hashlib.sha256(PICTURE).hexdigest()),
        entry(4, "photo", file="gone.jpg"), entry(5, role="student"),
    ]  # fmt: skip
    append_entries(made, seen)
    create_case("oak", [opened("@Oak")])
    (tmp_path / "pictures").mkdir()
    (tmp_path / "pictures" / "a.jpg").write_bytes(PICTURE)
    (tmp_path / "out").mkdir()
    return tmp_path


@pytest.mark.parametrize("table", ["entries.csv", "cases.json"])
def test_a_table_gives_the_same_case_files_again(
    cases: Path, table: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = {label: encode(read_case(label).entries) for label in ("elm", "oak")}
    written = export_tables(cases / "out", photos=str(cases / "pictures"))
    assert (written.cases, written.entries) == (2, 6)
    assert (written.photos, written.missing) == (("a.jpg",), ("gone.jpg",))
    assert (cases / "out" / "photos" / "a.jpg").read_bytes() == PICTURE
    monkeypatch.setenv(VARIABLE, str(cases / "other.db"))
    taken = import_folder(cases / "out" / table)
    assert [(each.file, each.fault, each.respelled) for each in taken] == [
        ("elm.jsonl", None, False), ("oak.jsonl", None, False),
    ]  # fmt: skip
    assert {label: encode(read_case(label).entries) for label in before} == before


def test_no_cell_is_run_by_a_spreadsheet(cases: Path) -> None:
    export_tables(cases / "out")
    for name in ("cases.csv", "entries.csv"):
        text = (cases / "out" / name).read_text(encoding="utf-8")
        cells = [cell for row in csv.reader(text.splitlines(keepends=True)) for cell in row]
        assert [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))] == []
    assert sorted(path.name for path in (cases / "out").iterdir()) == [
        "cases.csv", "cases.json", "entries.csv",
    ]  # fmt: skip


def test_a_changed_photo_is_not_handed_on(cases: Path) -> None:
    (cases / "pictures" / "a.jpg").write_bytes(PICTURE + b"!")
    written = export_tables(cases / "out", photos=str(cases / "pictures"))
    assert (written.photos, written.missing) == ((), ("a.jpg", "gone.jpg"))


@pytest.mark.parametrize(
    ("name", "text", "code"),
    [
        ("entries.csv", "a,b\n1,2\n", "E-CSV-01"), ("cases.json", "{}", "E-CASE-01"),
        ("cases.json", "[", "E-JSON-01"), ("none.csv", None, "E-PATH-02"),
    ],
)  # fmt: skip
def test_what_is_no_such_table_is_refused(
    cases: Path, name: str, text: str | None, code: str
) -> None:
    if text is not None:
        (cases / name).write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match=code):
        import_folder(cases / name)


def test_a_folder_that_is_not_there_is_refused(cases: Path) -> None:
    with pytest.raises(BadInput, match="E-PATH-01"):
        export_tables(cases / "nowhere")
