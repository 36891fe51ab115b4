"""Entries from a file: all or none, in order, each fault with the line it stands on."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from tankside.case import to_object
from tankside.case.water_test import WaterTest
from tankside.errors import BadInput, Mistake
from tankside.records.case_file import read_case
from tankside.services.case_copies import import_case
from tankside.services.case_import import add_from_file
from tankside.services.cases import Opening, add_words, new_case

NOW = "2026-05-04T18:00+00:00"
AT = "2026-05-04T12:00+00:00"


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", NOW)
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "weir.jsonl"
    new_case(path, Opening("Weir", "a keeper", "fresh", "UTC", "2026-05-01"), by="me")
    return path


def filed(name: str, text: str | bytes) -> Path:
    path = Path(name)
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return path


def refused(work: Callable[[], object]) -> Mistake:
    with pytest.raises(BadInput) as caught:
        work()
    return caught.value


def test_rows_become_entries_in_order_numbered_on_and_signed(case: Path) -> None:
    rows = filed(
        "rows.csv", "kind,on,fish,spots\ncount,2026-05-02,barb,9\ncount,2026-05-03,barb,7\n"
    )
    added = add_from_file(case, rows, kind=None, by="a clerk")
    assert [entry.id for entry in added.new] == [2, 3]
    assert {entry.by for entry in added.new} == {"a clerk"}
    assert [count.number for count in read_case(case).view().counts] == [9, 7]
    assert added.stored.version == read_case(case).version == 3


def test_one_file_may_hold_several_kinds_and_name_what_an_earlier_row_describes(
    case: Path,
) -> None:
    rows = filed(
        "rows.csv",
        "kind,name,count,group,number\n"
        "stock,tiger barb,20,,\n"
        "death,,,tiger-barb,2\n",
    )  # fmt: skip
    add_from_file(case, rows, kind=None, by="me")
    (barbs,) = read_case(case).view().stock.values()
    assert (barbs.alive, barbs.deaths) == (18, 2)


def test_a_group_that_no_row_describes_is_a_slip_on_its_line(case: Path) -> None:
    rows = filed("rows.csv", "kind,name,count,group,number\nstock,barb,20,,\ndeath,,,tetra,2\n")
    refusal = refused(lambda: add_from_file(case, rows, kind=None, by="me"))
    assert refusal.field.startswith("line 3")
    assert read_case(case).version == 1


def test_a_unit_in_the_head_belongs_to_every_cell_below_it_but_an_empty_one(case: Path) -> None:
    rows = filed("w.csv", "on,temperature [C],oxygen [mg/L]\n2026-05-02,25.5,7.2\n2026-05-03,26,\n")
    first, second = add_from_file(case, rows, kind="water", by="me").new
    assert isinstance(first, WaterTest)
    assert isinstance(second, WaterTest)
    assert [line.amount and line.amount.value for line in first.readings] == ["25.5", "7.2"]
    assert [line.what.value for line in second.readings] == ["temperature"]


def test_a_cell_of_blanks_is_no_reading_and_is_told_without_the_unit(case: Path) -> None:
    rows = filed("w.csv", "on,oxygen [mg/L]\n2026-05-02, \n")
    refusal = refused(lambda: add_from_file(case, rows, kind="water", by="me"))
    assert (refusal.code, refusal.field) == ("E-NUM-01", "line 2, oxygen")


def test_a_kind_named_outside_holds_where_no_column_says_another(case: Path) -> None:
    rows = filed("n.csv", "kind,text\n,first\nnote,second\n")
    added = add_from_file(case, rows, kind="note", by="me")
    assert [entry.kind for entry in added.new] == ["note", "note"]


def test_a_row_without_any_kind_is_refused_on_its_line(case: Path) -> None:
    rows = filed("n.csv", "kind,text\nnote,first\n,second\n")
    refusal = refused(lambda: add_from_file(case, rows, kind=None, by="me"))
    assert (refusal.code, refusal.field) == ("E-CSV-02", "line 3, kind")


@pytest.mark.parametrize("head", ["Water-Height", "water_height", "WATER-HEIGHT"])
def test_a_column_may_be_spelled_with_hyphen_line_or_capitals(case: Path, head: str) -> None:
    rows = filed("s.csv", f"inside-length,inside_width,{head}\n90 cm,45 cm,40 cm\n")
    add_from_file(case, rows, kind="system", by="me")
    assert read_case(case).view().systems["main"].volume.point_l == 162  # 90 x 45 x 40 / 1000


NOTES = [{"kind": "note", "text": text, "occurred_at": AT} for text in ("first", "second", "third")]


@pytest.mark.parametrize(
    ("name", "text", "number"),
    [
        ("x.json", json.dumps(NOTES), 3),
        ("x.json", json.dumps(NOTES[0]), 1),
        ("x.jsonl", "\n \r\n".join(json.dumps(note) for note in NOTES) + "\n", 3),
    ],
)
def test_json_is_a_list_one_object_or_one_object_a_line(
    case: Path, name: str, text: str, number: int
) -> None:
    added = add_from_file(case, filed(name, text), kind=None, by="me")
    assert [to_object(entry)["text"] for entry in added.new] == ["first", "second", "third"][
        :number
    ]


@pytest.mark.parametrize("carried", [{"id": 2}, {"recorded_at": NOW}])
def test_an_entry_with_a_number_or_stamp_of_its_own_is_refused(
    case: Path, carried: dict[str, object]
) -> None:
    text = json.dumps([NOTES[0], {**NOTES[1], **carried}])
    refusal = refused(lambda: add_from_file(case, filed("x.json", text), kind=None, by="me"))
    assert (refusal.code, refusal.field) == ("E-CASE-04", "line 2")
    assert read_case(case).version == 1


def test_a_fault_in_a_file_of_lines_is_named_by_its_line_blank_ones_counted(case: Path) -> None:
    text = f"{json.dumps(NOTES[0])}\n\n{json.dumps(NOTES[1])}\n{{}}\n"
    refusal = refused(lambda: add_from_file(case, filed("x.jsonl", text), kind=None, by="me"))
    assert refusal.field.startswith("line 4")


@pytest.mark.parametrize("text", ["[1]", '["note"]', "[null]", '"note"', "3"])
def test_what_is_no_object_is_no_entry(case: Path, text: str) -> None:
    refusal = refused(lambda: add_from_file(case, filed("x.json", text), kind=None, by="me"))
    assert refusal.code == "E-CASE-04"


@pytest.mark.parametrize(
    ("name", "text"), [("x.json", "[]"), ("x.jsonl", "\n"), ("x.csv", "kind\n")]
)
def test_a_file_without_an_entry_is_told_and_changes_nothing(
    case: Path, name: str, text: str
) -> None:
    before = case.read_bytes()
    refusal = refused(lambda: add_from_file(case, filed(name, text), kind=None, by="me"))
    assert refusal.code == "E-CSV-01"
    assert case.read_bytes() == before


@pytest.mark.parametrize("bad", range(8))
def test_the_first_row_that_cannot_stand_is_named_wherever_it_is(case: Path, bad: int) -> None:
    """A number of dead above the living is only seen when all rows are put together."""
    add_words(case, "stock", ("name=barb", "count=10"), by="me")
    before = case.read_bytes()
    dead = [1 if place != bad else 11 for place in range(8)]
    days = [f"2026-05-02T{10 + place}:00" for place in range(8)]
    lines = [f"{day},{number},barb" for day, number in zip(days, dead, strict=True)]
    rows = filed("d.csv", "\n".join(["on,number,group", *lines]) + "\n")
    refusal = refused(lambda: add_from_file(case, rows, kind="death", by="me"))
    assert refusal.field.startswith(f"line {bad + 2}")
    assert case.read_bytes() == before


def test_a_row_in_the_future_is_refused_on_its_line(case: Path) -> None:
    rows = filed("n.csv", "on,text\n2026-05-02,past\n2026-06-01,to come\n")
    refusal = refused(lambda: add_from_file(case, rows, kind="note", by="me"))
    assert refusal.code.startswith("E-DATE")
    assert refusal.field.startswith("line 3")


def case_lines(case: Path) -> list[str]:
    return case.read_text(encoding="utf-8").splitlines()


def taken(lines: Sequence[str]) -> Path:
    return filed("other.jsonl", "\n".join(lines) + "\n")


def test_an_imported_case_is_the_same_case(case: Path) -> None:
    add_words(case, "note", ("looked in",), by="me")
    stored = import_case(case, "new.jsonl")
    assert stored.view() == read_case(case).view()
    assert Path("new.jsonl").read_bytes() == case.read_bytes()


def test_an_import_never_writes_over_a_file(case: Path) -> None:
    there = filed("there.jsonl", "something else\n")
    refusal = refused(lambda: import_case(case, there))
    assert refusal.code == "E-PATH-03"
    assert there.read_text() == "something else\n"


def test_an_import_with_an_entry_of_the_future_names_its_line(case: Path) -> None:
    add_words(case, "note", ("looked in",), by="me")
    late = [line.replace("2026-05-0", "2026-06-0") for line in case_lines(case)[-1:]]
    refusal = refused(lambda: import_case(taken([*case_lines(case)[:-1], *late]), "new.jsonl"))
    assert refusal.field.startswith("line 3")
    assert not Path("new.jsonl").exists()


def test_an_import_that_the_fold_refuses_names_the_first_line_that_cannot_stand(
    case: Path,
) -> None:
    add_words(case, "stock", ("name=barb", "count=2"), by="me")
    add_words(case, "death", ("1", "group=barb"), by="me")
    lines = case_lines(case)
    lines[-1] = lines[-1].replace('"number":1', '"number":5')
    assert lines != case_lines(case)
    refusal = refused(lambda: import_case(taken(lines), "new.jsonl"))
    assert refusal.field.startswith(f"line {len(lines)}")
    assert not Path("new.jsonl").exists()
