"""The case file as bytes: one canonical spelling, broken lines named, nothing half read."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from tankside.case import CATALOGUE, Entry, decode, encode, fold, to_object
from tankside.case.schema import schema_text
from tankside.errors import BadInput

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "case.v1.json"
Maker = Callable[[int], tuple[Entry, ...]]


def test_a_thousand_generated_cases_come_back_byte_for_byte(make_case: Maker) -> None:
    kinds: set[str] = set()
    corrected = 0
    for seed in range(1000):
        entries = make_case(seed)
        first = encode(entries)
        again = decode(first)
        assert again == entries
        assert encode(again) == first
        assert fold(again) == fold(entries)
        kinds |= {entry.kind for entry in entries}
        corrected += any(entry.kind == "correction" for entry in entries)
    assert kinds == set(CATALOGUE.by_name) - {"closed"}
    assert corrected > 500


def test_the_published_schema_is_the_one_of_the_models() -> None:
    assert SCHEMA.read_text(encoding="utf-8") == schema_text()


def test_every_generated_line_is_valid_under_the_published_schema(make_case: Maker) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for seed in range(12):
        for line in encode(make_case(seed)).splitlines():
            validator.validate(json.loads(line))
    with pytest.raises(jsonschema.ValidationError):
        validator.validate({"kind": "note", "text": "no number"})


def test_a_schedule_is_kept_exactly_as_written(entry: Callable[..., Entry]) -> None:
    course: dict[str, object] = {
        "none": None,
        "empty": [],
        "deep": {"x": [None, {"y": 0.1}]},
        "day_only": False,
    }
    chosen = entry(2, "course_chosen", name="salt", starts_at="2026-03-03T00:00Z", course=course)
    assert to_object(chosen)["course"] == course


def test_what_was_not_asked_is_absent_from_the_line(opened: Entry) -> None:
    line = encode([opened]).splitlines()[1]
    assert "null" not in line.decode()
    assert "country" not in json.loads(line)


def test_keys_are_sorted_and_blanks_left_out(opened: Entry) -> None:
    header, line = encode([opened]).splitlines()
    assert header == b'{"format":"tankside-case","version":1}'
    assert list(json.loads(line)) == sorted(json.loads(line))
    assert b'", "' not in line


BROKEN: dict[str, tuple[Callable[[list[bytes]], list[bytes]], str, int]] = {
    "cut short": (lambda lines: [*lines[:-1], lines[-1][:-9]], "E-CASE-01", 4),
    "not json": (lambda lines: [*lines[:2], b"{oops\n", *lines[2:]], "E-JSON-01", 3),
    "a line lost": (lambda lines: [lines[0], lines[1], lines[3]], "E-CASE-01", 3),
    "lines swapped": (lambda lines: [lines[0], lines[1], lines[3], lines[2]], "E-CASE-01", 3),
    "no header": (lambda lines: lines[1:], "E-CASE-01", 1),
    "newer version": (
        lambda lines: [b'{"format":"tankside-case","version":2}\n', *lines[1:]], "E-DB-01", 1),
    "unknown field": (lambda lines: [*lines[:2], lines[2].replace(b'"what"', b'"waht"'), lines[3]],
                      "E-CASE-04", 3),
    "unknown kind": (lambda lines: [*lines[:2], lines[2].replace(b'"count"', b'"guess"'), lines[3]],
                     "E-CASE-04", 3),
    "double key": (lambda lines: [*lines[:2], lines[2].replace(b"{", b'{"id":2,', 1), lines[3]],
                   "E-DUP-01", 3),
    "text for a count": (
        lambda lines: [*lines[:2], lines[2].replace(b":44", b':"44"'), lines[3]], "E-NUM-06", 3),
    "true for a count": (
        lambda lines: [*lines[:2], lines[2].replace(b":44", b":true"), lines[3]], "E-NUM-06", 3),
    "NaN for a count": (
        lambda lines: [*lines[:2], lines[2].replace(b":44", b":NaN"), lines[3]], "E-NUM-06", 3),
    "number for a typed value": (
        lambda lines: [*lines[:3], lines[3].replace(b'"7.0"', b"7.0")], "E-NUM-06", 4),
    "slipped digit": (
        lambda lines: [*lines[:3], lines[3].replace(b'"7.0"', b'"70"')], "E-RANGE-01", 4),
    "moment without offset": (
        lambda lines: [*lines[:3], lines[3].replace(b"+00:00", b"")], "E-DATE-01", 4),
}  # fmt: skip


@pytest.mark.parametrize("fault", BROKEN)
def test_a_broken_line_refuses_the_file_and_is_named(
    fault: str, opened: Entry, entry: Callable[..., Entry]
) -> None:
    count = entry(2, "count", what="spots", number=44, fish="worst loach")
    amount = {"value": "7.0", "unit": "pH"}
    test = entry(3, "water_test", readings=[{"what": "ph", "amount": amount}])
    lines = encode([opened, count, test]).splitlines(keepends=True)
    assert decode(b"".join(lines))
    spoil, code, line = BROKEN[fault]
    with pytest.raises(BadInput) as refused:
        decode(b"".join(spoil(lines)))
    assert refused.value.code == code
    assert refused.value.field.startswith(f"line {line}")


def test_an_empty_file_is_no_case() -> None:
    with pytest.raises(BadInput, match="E-CASE-01"):
        decode(b"")


def test_names_of_any_script_pass_and_hidden_signs_do_not(entry: Callable[..., Entry]) -> None:
    for name in ("O'Brien", "Łódź", "李", "<b>", "=SUM(A1)", "🐟"):
        assert to_object(entry(2, "photo", file="a.jpg", of=name))["of"] == name
    for name in ("", " ", "a\0b", "a\nb", "evil\u202egpj", "x" * 201):
        with pytest.raises(BadInput, match="E-PATH-01"):
            entry(2, "photo", file="a.jpg", of=name)
    for file in ("../../etc/passwd", "a/b.jpg", "..", "c:\\x.jpg", "\u202egpj.exe", ""):
        with pytest.raises(BadInput, match="E-PATH-01"):
            entry(2, "photo", file=file)


def test_a_long_note_passes_and_a_longer_one_does_not(entry: Callable[..., Entry]) -> None:
    assert entry(2, "note", text="x" * 10_000)
    with pytest.raises(BadInput, match="E-TEXT-01"):
        entry(2, "note", text="x" * 10_001)
    with pytest.raises(BadInput, match="E-TEXT-01"):
        entry(2, "note", text="a\0b")
