"""One list of bad inputs, refused alike by command line, CSV, JSON and case file."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from tests.cli.conftest import Ran

from tankside.errors import BadInput
from tankside.services.case_copies import import_case
from tankside.services.case_import import add_from_file
from tankside.services.cases import add_words

Row = dict[str, str]
BAD: list[Row] = json.loads(
    (Path(__file__).parents[1] / "golden" / "bad_inputs.json").read_text(encoding="utf-8")
)["rows"]
CASE = Path("elm.jsonl")

# what is typed -> words of the command line, as (kind, key); the text is the value of the key
TYPED: dict[str, list[tuple[str, str, str]]] = {
    "number": [("system", "meter", "{} L"), ("water", "ph", "{}"), ("count", "spots", "mean {}")],
    "amount": [("system", "meter", "{} L"), ("in-water", "amount", "{} g"),
               ("stock", "length", "{} cm")],
    "bare number": [("count", "spots", "mean {}")],
    "volume": [("system", "meter", "{}"), ("system", "label", "{}"), ("system", "adds", "{}")],
    "mass": [("stock", "weight", "{}")],
    "total": [("done", "amount", "{}")],
    "dose": [("in-water", "amount", "{}")],
    "count": [("count", "spots", "{}"), ("death", "number", "{}"), ("stock", "count", "{}"),
              ("count", "spots", "{} of 5")],
    "share": [("count", "flukes", "{}")],
    "deaths": [("death", "number", "{}")],
    "time": [("water", "on", "{}"), ("note", "on", "{}")],
    "clock change": [("note", "on", "{}")],
    "seen at": [("count", "on", "{}"), ("water", "on", "{}")],
    "reading ph": [("water", "ph", "{}")],
    "reading temperature": [("water", "temperature", "{}")],
    "reading salinity": [("water", "salinity", "{}")],
    "reading oxygen": [("water", "oxygen", "{}")],
    "reading ammonia": [("water", "ammonia", "{}")],
    "reading copper": [("water", "copper", "{}")],
}  # fmt: skip
NEEDS: dict[tuple[str, str], dict[str, str]] = {
    ("death", "number"): {"group": "cardinal_tetra"},
    ("done", "amount"): {"action": "salt"},
    ("in-water", "amount"): {"agent": "salt"},
    ("stock", "length"): {"name": "loach"},
    ("stock", "weight"): {"name": "loach"},
    ("stock", "count"): {"name": "loach"},
    ("water", "on"): {"ph": "7.4"},
    ("note", "on"): {"text": "seen"},
    ("count", "on"): {"spots": "4"},
}


def typed_rows() -> Iterator[tuple[Row, str, dict[str, str]]]:
    """Yield each bad input with the kind and keys by which it is typed."""
    for row in BAD:
        for kind, key, shape in TYPED[row["what"]]:
            blank = not row["text"].strip()
            text = row["text"] if blank else shape.format(row["text"])
            yield row, kind, {key: text} | NEEDS.get((kind, key), {})


def named(value: object) -> str | None:
    if isinstance(value, dict) and "row" in value:
        return f"{value['row']}-{value['text'][:10]!r}"
    return "-".join(value) if isinstance(value, dict) else None


@pytest.fixture
def case(elm: Callable[..., Ran], row: Row) -> Callable[..., Ran]:
    """Give the case the time zone that a row is about."""
    if "zone" in row:
        lines = CASE.read_text(encoding="utf-8").replace("Europe/London", row["zone"])
        CASE.write_text(lines.replace("+00:00", "+01:00"), encoding="utf-8")
    return elm


@pytest.mark.parametrize(("row", "kind", "keys"), list(typed_rows()), ids=named)
def test_the_command_line_refuses_it_and_saves_nothing(
    case: Callable[..., Ran], row: Row, kind: str, keys: dict[str, str]
) -> None:
    before = CASE.read_bytes()
    words = [f"{key}={text}" for key, text in keys.items()]
    ran = case("case", "add", "elm.jsonl", kind, *words, "--json")
    assert (ran.code, ran.error["code"]) == (2, row["code"]), ran.error
    assert ran.error["needed"]
    assert ran.error["next"]
    assert len(ran.error["given"]) <= 80
    assert CASE.read_bytes() == before


def refused_by(call: Callable[[], object]) -> BadInput:
    """Return the refusal of a call that must leave the case as it was."""
    before = CASE.read_bytes()
    with pytest.raises(BadInput) as refused:
        call()
    assert CASE.read_bytes() == before
    return refused.value


def add_file(name: str) -> Callable[[], object]:
    return lambda: add_from_file(CASE, name, kind=None, by="me")


NOT_ASKED = ("system", "in-water", "stock")  # an empty cell of these was not asked


IN_CSV = [bad_row for bad_row in typed_rows() if bad_row[0]["text"] or bad_row[1] not in NOT_ASKED]


@pytest.mark.parametrize("kind", NOT_ASKED)
def test_an_empty_cell_is_a_question_not_asked_and_nothing_is_put_in_its_place(
    elm: Callable[..., Ran], kind: str
) -> None:
    key = {"system": "meter", "in-water": "amount", "stock": "length"}[kind]
    bad_row = {"name": "loach", "agent": "salt"}
    text = f"kind,name,agent,{key}\n"
    text += f"{kind},{bad_row['name'] if kind != 'in-water' else ''},"
    text += f"{bad_row['agent'] if kind == 'in-water' else ''},\n"
    Path("rows.csv").write_text(text)
    ran = elm("case", "add", "elm.jsonl", "--from", "rows.csv", "--json")
    added = json.loads(CASE.read_text(encoding="utf-8").splitlines()[-1])
    assert ran.code == 0
    assert not {key, "volume", "amount", "length"} & added.keys()


@pytest.mark.parametrize(("row", "kind", "keys"), IN_CSV, ids=named)
def test_a_csv_refuses_it_with_its_line_and_takes_no_row(
    case: Callable[..., Ran], row: Row, kind: str, keys: dict[str, str]
) -> None:
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["kind", *keys])
    writer.writerow([kind, *keys.values()])
    Path("rows.csv").write_bytes(text.getvalue().encode("utf-8"))
    refusal = refused_by(add_file("rows.csv"))
    assert refusal.code == row["code"], refusal
    assert refusal.field.startswith("line 2")


def apart(text: str) -> dict[str, str]:
    """Part a typed amount into the fields of a case file without judging it."""
    value, _, unit = text.partition(" ")
    unit, _, basis = unit.partition(" as ")
    return {"value": value, "unit": unit} | ({"basis": f"as {basis}"} if basis else {})


DATED = {"occurred_at": "2026-03-04T12:00+00:00"}
ENTRIES: dict[str, Callable[[str], dict[str, object]]] = {
    "number": lambda text: {"kind": "system", "volume": [meter({"value": text, "unit": "L"})]},
    "volume": lambda text: {"kind": "system", "volume": [meter(apart(text))]},
    "mass": lambda text: {"kind": "stock", "group": "l", "name": "l", "weight": apart(text)},
    "total": lambda text: {
        "kind": "action_done", "action": "a", "state": "done", "amount": apart(text)},
    "dose": lambda text: {
        "kind": "agent_in_water", "agent": "salt", "amount_state": "answered",
        "amount": apart(text)},
    "count": lambda text: {
        "kind": "death", "number": json.loads(text), "group": "cardinal_tetra"},
    "share": lambda text: {
        "kind": "count", "what": "flukes", "infected": int(text[0]), "examined": int(text[-1])},
    "ph": lambda text: water_test("ph", f"{text} pH"),
    "moment": lambda text: {"kind": "note", "text": "x", "occurred_at": with_offset(text)},
    "day": lambda text: {"kind": "death", "number": 0, "occurred_at": with_offset(
        text if "T" in text else f"{text}T12:00")},
}  # fmt: skip
SAME = {"amount": "number", "deaths": "count", "reading ph": "ph", "seen at": "day"}


def with_offset(text: str) -> str:
    """Give a moment the offset that a file needs; what is no date at all stays as it is."""
    return f"{text}+00:00" if re.fullmatch(r"[0-9]{4}(-[0-9]{2}){2}T[0-9:]{5}", text) else text


def meter(volume: dict[str, str]) -> dict[str, object]:
    return {"method": "meter", "volume": volume}


def water_test(what: str, text: str) -> dict[str, object]:
    return {"kind": "water_test", "readings": [{"what": what, "amount": apart(text)}]}


def as_entry(row: Row) -> dict[str, object] | None:
    """Return the same bad input as an entry of a case file; None where the door has no place."""
    text, what = row["text"], SAME.get(row["what"], row["what"])
    if what == "time":
        what = "moment" if row["code"] == "E-DATE-01" else "day"
    if what.startswith("reading "):
        return DATED | water_test(what.removeprefix("reading "), text)
    return DATED | ENTRIES[what](text) if what in ENTRIES else None


FILED = [(row, filed) for row in BAD if (filed := as_entry(row)) is not None]


def test_nearly_every_row_has_a_place_in_a_case_file() -> None:
    left = {row["what"] for row in BAD} - {row["what"] for row, _ in FILED}
    assert left == {"bare number", "clock change"}


@pytest.mark.parametrize(("row", "filed"), FILED, ids=named)
@pytest.mark.parametrize("ending", ["json", "jsonl"])
def test_a_json_file_refuses_it_and_adds_nothing(
    case: Callable[..., Ran], row: Row, filed: dict[str, object], ending: str
) -> None:
    good = json.dumps(DATED | {"kind": "note", "text": "good"})
    bad = json.dumps(filed)
    Path(f"x.{ending}").write_text(f"{good}\n{bad}" if ending == "jsonl" else f"[{good},{bad}]")
    refusal = refused_by(add_file(f"x.{ending}"))
    assert refusal.code == row["code"], refusal
    assert refusal.field.startswith("line 2")


@pytest.mark.parametrize(("row", "filed"), FILED, ids=named)
def test_a_case_file_with_it_is_not_imported_and_the_line_is_named(
    case: Callable[..., Ran], row: Row, filed: dict[str, object]
) -> None:
    stamp = {"id": 3, "recorded_at": "2026-03-30T10:00:00Z", "by": "me"}
    lines = CASE.read_text(encoding="utf-8") + json.dumps(stamp | filed) + "\n"
    Path("other.jsonl").write_text(lines, encoding="utf-8")
    refusal = refused_by(lambda: import_case("other.jsonl", "new.jsonl"))
    assert refusal.code == row["code"], refusal
    assert refusal.field.startswith("line 4")
    assert not Path("new.jsonl").exists()


def said(refusal: BadInput) -> dict[str, str]:
    """Return what a refusal says, without the line of the file."""
    bad_row = refusal.as_json()
    bad_row["message"] = re.sub(r"^Line [0-9]+: ", "", str(bad_row["message"]))
    bad_row["given"] = str(bad_row["given"]).removesuffix("+00:00")
    return {key: str(bad_row[key]) for key in ("code", "message", "given", "needed", "next")}


@pytest.mark.parametrize("row", BAD, ids=named)
def test_every_door_says_the_same(case: Callable[..., Ran], row: Row) -> None:
    """The refusals of one bad input agree in code, message, given, needed and next step.

    An empty cell of a CSV is a question not asked; a date in a file is written in full.
    """
    bad_row: dict[str, dict[str, str]] = {}
    for bad, kind, keys in typed_rows():
        if bad is not row:
            continue
        bad_row[f"typed {kind}"] = said(refused_by(typed(kind, keys)))
        if row["text"]:
            bad_row[f"CSV {kind}"] = said(refused_by(written(kind, keys)))
    filed = as_entry(row)
    if filed is not None:
        Path("x.json").write_text(json.dumps([filed]))
        bad_row["JSON"] = said(refused_by(add_file("x.json")))
    assert filed is not None or row["what"] in ("bare number", "clock change")
    if row["code"] == "E-DATE-01":
        assert bad_row["JSON"]["needed"].startswith("date, time and offset")
        bad_row["JSON"] |= {key: bad_row["typed note"][key] for key in ("message", "needed")}
    assert len({tuple(answer.items()) for answer in bad_row.values()}) == 1, bad_row


def typed(kind: str, keys: dict[str, str]) -> Callable[[], object]:
    words = [f"{key}={text}" for key, text in keys.items()]
    return lambda: add_words(CASE, kind, words, by="me")


def written(kind: str, keys: dict[str, str]) -> Callable[[], object]:
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["kind", *keys])
    writer.writerow([kind, *keys.values()])
    Path("rows.csv").write_bytes(text.getvalue().encode("utf-8"))
    return add_file("rows.csv")


WRONG_JSON = {
    "NaN": '{"kind":"death","number":NaN',
    "Infinity": '{"kind":"death","number":Infinity',
    "text for a number": '{"kind":"death","number":"5"',
    "true for a number": '{"kind":"death","number":true',
    "number for a typed value":
        '{"kind":"system","volume":[{"method":"meter","volume":{"value":5,"unit":"L"}}]',
    "double key": '{"kind":"death","number":1,"number":2',
}  # fmt: skip


@pytest.mark.parametrize("fault", WRONG_JSON)
def test_json_of_the_wrong_type_is_refused_with_its_line(
    elm: Callable[..., Ran], fault: str
) -> None:
    before = CASE.read_bytes()
    text = WRONG_JSON[fault] + ',"occurred_at":"2026-03-04T12:00+00:00"}'
    Path("x.jsonl").write_text(f"\n{text}\n")
    ran = elm("case", "add", "elm.jsonl", "--from", "x.jsonl", "--json")
    assert ran.code == 2
    assert ran.error["code"] == ("E-DUP-01" if fault == "double key" else "E-NUM-06")
    assert ran.error["field"].startswith("line 2")
    assert CASE.read_bytes() == before


def test_one_bad_row_of_500_takes_none_and_names_its_line(elm: Callable[..., Ran]) -> None:
    before = CASE.read_bytes()
    rows = [f"count,2026-03-04,fish {i},{i}" for i in range(500)]
    rows[342] = "count,2026-03-04,fish 342,3.5"
    Path("counts.csv").write_text("kind,on,fish,spots\n" + "\n".join(rows) + "\n")
    ran = elm("case", "add", "elm.jsonl", "--from", "counts.csv", "--json")
    assert (ran.code, ran.error["code"]) == (2, "E-COUNT-01")
    assert ran.error["field"].startswith("line 344")
    assert CASE.read_bytes() == before
    rows[342] = "count,2026-03-04,fish 342,3"
    Path("counts.csv").write_text("kind,on,fish,spots\n" + "\n".join(rows) + "\n")
    assert elm("case", "add", "elm.jsonl", "--from", "counts.csv", "--json").code == 0


def test_one_observation_told_twice_with_another_value_names_the_second(
    elm: Callable[..., Ran],
) -> None:
    before = CASE.read_bytes()
    rows = ["count,2026-03-04,loach,61", "count,2026-03-04,tetra,9", "count,2026-03-04,loach,16"]
    rows += [f"count,2026-03-04,other {i},1" for i in range(20)]
    Path("counts.csv").write_text("kind,on,fish,spots\n" + "\n".join(rows) + "\n")
    ran = elm("case", "add", "elm.jsonl", "--from", "counts.csv", "--json")
    assert (ran.code, ran.error["code"]) == (2, "E-DUP-01")
    assert ran.error["field"].startswith("line 4")
    assert CASE.read_bytes() == before


@pytest.mark.parametrize(
    ("data", "code"),
    [
        ("kind,fish\ncount,loach\n".encode("utf-16"), "E-CSV-03"),
        (b"kind,fish\ncount,a\0b\n", "E-CSV-03"),
        (b"kind,fish\ncount,\xc5\n", "E-CSV-03"),
        (b"kind,fish\n" + b"x" * 10_000_000, "E-CSV-03"),
        (b"kind,kind\ncount,count\n", "E-CSV-01"),
        (b"on,spots\n2026-03-04,5\n", "E-CSV-01"),
        (b"kind,on,spots\ncount,2026-03-04\n", "E-CSV-02"),
        (b"kind,on,spots\n,2026-03-04,5\n", "E-CSV-02"),
        (b"kind,on,spots\n", "E-CSV-01"),
    ],
)
def test_a_broken_csv_is_refused_and_adds_nothing(
    elm: Callable[..., Ran], data: bytes, code: str
) -> None:
    before = CASE.read_bytes()
    Path("x.csv").write_bytes(data)
    ran = elm("case", "add", "elm.jsonl", "--from", "x.csv", "--json")
    assert (ran.code, ran.error["code"]) == (2, code), ran.error
    assert CASE.read_bytes() == before


@pytest.mark.parametrize(
    ("data", "code"),
    [
        ('[{"kind":"note"}]'.encode("utf-16"), "E-JSON-02"),
        (b'[{"kind":"note","text":"\xc5"}]', "E-JSON-02"),
        (b'[{"kind":"note","text":"a\0b"}]', "E-JSON-01"),
        (b'[{"kind":"note","text":"' + b"x" * 10_000_000 + b'"}]', "E-JSON-02"),
        (b'[{"kind":"note","kind":"note"}]', "E-DUP-01"),
        (b'[{"kind":"note","words":"x"}]', "E-CASE-04"),
        (b'[{"kind":"note","text":"good"},{"kind":"note"}]', "E-CASE-04"),
        (b"[]", "E-CSV-01"),
    ],
)
def test_the_like_of_a_broken_csv_in_a_json_file_is_refused_and_adds_nothing(
    elm: Callable[..., Ran], data: bytes, code: str
) -> None:
    before = CASE.read_bytes()
    Path("x.json").write_bytes(data)
    ran = elm("case", "add", "elm.jsonl", "--from", "x.json", "--json")
    assert (ran.code, ran.error["code"]) == (2, code), ran.error
    assert CASE.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["note", "text=a\0b"], "E-TEXT-01"),
        (["count", "spotz"], "E-WORD-01"),
        (["water", "ph=7.4", "ph=7.4"], "E-DUP-01"),
        (["count", "fish=loach", "spots=3", "spots=4"], "E-DUP-01"),
        (["water", "ph=7.4", "temperature=warm"], "E-NUM-04"),
        (["finding", "flashing=frequent", "spot_size="], "E-WORD-02"),
    ],
)
def test_the_like_of_a_broken_csv_typed_is_refused_and_adds_nothing(
    elm: Callable[..., Ran], words: list[str], code: str
) -> None:
    before = CASE.read_bytes()
    ran = elm("case", "add", "elm.jsonl", *words, "--json")
    assert (ran.code, ran.error["code"]) == (2, code), ran.error
    assert CASE.read_bytes() == before
