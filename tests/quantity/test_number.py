"""The strict parser at its own door: every bad input refused, every good one kept as typed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.errors import BadInput
from tankside.quantity import AMOUNT, DOSE, Kind, parse_count, parse_number, parse_quantity

BAD = json.loads((Path(__file__).parents[1] / "golden" / "bad_inputs.json").read_text())["rows"]
KINDS: dict[str, Kind | Sequence[Kind]] = {
    "volume": Kind.VOLUME,
    "mass": Kind.MASS,
    "total": AMOUNT,
    "dose": DOSE,
    "reading ph": Kind.PH,
    "reading temperature": Kind.TEMPERATURE,
    "reading salinity": (Kind.SALINITY, Kind.PRACTICAL_SALINITY),
    "reading oxygen": (Kind.OXYGEN, Kind.OXYGEN_SATURATION),
    "reading ammonia": Kind.AMMONIA,
    "reading copper": Kind.COPPER,
}


def named(row: dict[str, object]) -> str:
    return f"{row['row']}-{row['what']}-{str(row['text'])[:12]!r}"


@pytest.mark.parametrize(
    "row", [r for r in BAD if r["what"] in ("number", "amount", "bare number")], ids=named
)
def test_a_bad_number_is_refused_with_its_code(row: dict[str, str]) -> None:
    with pytest.raises(BadInput) as refused:
        parse_number(row["text"], field="volume", positive=True)
    assert refused.value.code == row["code"]
    assert refused.value.field == "volume"
    assert refused.value.needed
    assert refused.value.next_step
    assert len(refused.value.given) <= 80
    assert refused.value.given.isprintable()


@pytest.mark.parametrize("row", [r for r in BAD if r["what"] in KINDS], ids=named)
def test_a_bad_unit_or_range_is_refused_with_its_code(row: dict[str, str]) -> None:
    with pytest.raises(BadInput) as refused:
        parse_quantity(row["text"], KINDS[row["what"]], field="box")
    assert refused.value.code == row["code"]
    assert refused.value.needed


@pytest.mark.parametrize("row", [r for r in BAD if r["what"] == "count"], ids=named)
def test_a_bad_count_is_refused_with_its_code(row: dict[str, str]) -> None:
    with pytest.raises(BadInput) as refused:
        parse_count(row["text"], field="spots")
    assert refused.value.code == row["code"]


@pytest.mark.parametrize("text", ["0.5", "25", " 25 ", "12.5", "0.001", "1000", "7.0", "0.10"])
def test_a_good_number_is_kept_digit_for_digit(text: str) -> None:
    assert str(parse_number(text, field="volume", positive=True)) == text.strip()


@pytest.mark.parametrize("value", [5, 5.0, True, None, ["5"]])
def test_what_is_not_text_is_no_typed_number(value: object) -> None:
    with pytest.raises(BadInput, match="E-NUM-06"):
        parse_number(value, field="volume")


@pytest.mark.parametrize(
    ("text", "kind"),
    [("-1.5 C", Kind.TEMPERATURE), ("9.2", Kind.PH), ("0 g/L", Kind.SALINITY), ("7.0", Kind.PH),
     ("25.5C", Kind.TEMPERATURE), ("0 mg/L as N", Kind.NITRITE), ("40 US gal", Kind.VOLUME)],
)  # fmt: skip
def test_a_good_reading_is_kept_as_typed(text: str, kind: Kind) -> None:
    typed = parse_quantity(text, kind, field="box")
    assert typed.value == text.split(" ", maxsplit=1)[0].rstrip("C")


def test_a_negative_number_needs_a_field_that_allows_it() -> None:
    assert parse_number("-1.5", field="temperature", negative=True) == Decimal("-1.5")
    with pytest.raises(BadInput, match="E-NUM-09"):
        parse_number("-1.5", field="nitrite")
    with pytest.raises(BadInput, match="E-NUM-09"):
        parse_number("-0", field="temperature", negative=True)


def test_a_comma_is_read_only_where_the_file_declares_it() -> None:
    assert parse_number("1,5", field="dose", comma_declared=True) == Decimal("1.5")
    with pytest.raises(BadInput, match="E-NUM-02"):
        parse_number("1.5", field="dose", comma_declared=True)
    with pytest.raises(BadInput, match="E-NUM-03"):
        parse_number("1,234,5", field="dose", comma_declared=True)


@given(st.text(max_size=30))
def test_any_text_is_either_refused_with_a_code_or_is_plain_digits(text: str) -> None:
    try:
        value = parse_number(text, field="box", negative=True)
    except BadInput as refused:
        code, value = refused.code, None
    if value is None:
        assert code.startswith("E-NUM-")
        return
    assert value.is_finite()
    assert f"{value:f}" == text.strip(" \t\r\n")


@given(st.text(alphabet="0123456789.-+,eE xX_nainfol<>~ mgL%/", max_size=12))
def test_what_the_parser_takes_python_reads_as_the_same_number(text: str) -> None:
    try:
        value = parse_number(text, field="box", negative=True)
    except BadInput:
        return
    assert value == Decimal(text.strip(" \t\r\n"))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (5, "E-NUM-06"), (None, "E-NUM-06"), ("1 250 L", "E-NUM-02"), ("1 1/2 L", "E-NUM-02"),
        ("5 - 10 L", "E-NUM-11"), ("5 to 10 L", "E-NUM-11"), ("5 .. 10 L", "E-NUM-11"),
        ("", "E-NUM-01"), ("L", "E-NUM-04"), ("5e3L", "E-NUM-11"), ("5L L", "E-UNIT-05"),
        ("½ L", "E-NUM-07"), ("5 L as N", "E-UNIT-02"), ("x²5 L", "E-NUM-07"),
    ],
)  # fmt: skip
def test_a_number_with_its_unit_is_parted_without_repair(text: object, code: str) -> None:
    with pytest.raises(BadInput) as refused:
        parse_quantity(text, Kind.VOLUME, field="box")
    assert refused.value.code == code


def test_digits_without_end_are_too_long_however_they_are_spelt() -> None:
    for text in ("0" * 5000, "." + "3" * 5000, "-" + "9" * 5000, "1" + "0" * 5000 + "."):
        with pytest.raises(BadInput, match="E-NUM-10"):
            parse_number(text, field="box", negative=True)


def test_a_count_too_large_to_be_one_is_refused() -> None:
    with pytest.raises(BadInput, match="E-COUNT-01"):
        parse_count("10000001", field="spots")
    assert parse_count(" 0 ", field="spots") == 0
