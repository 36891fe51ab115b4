"""The edges of the parser: the last value that passes, the first that does not, and why not."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from tankside.errors import BadInput
from tankside.errors.mistake import shown
from tankside.quantity import Kind, Measured, find_unit, parse_count, parse_number, parse_quantity
from tankside.quantity.moment import Moment, check_moment, parse_date, parse_moment
from tankside.quantity.show import NO_BREAK, amount, plain, reading, rounded
from tankside.quantity.table import read_table

NOW = datetime(2026, 10, 31, 18, 0, tzinfo=UTC)


def refusal(call: Callable[..., Any], *args: Any, **kwargs: Any) -> BadInput:
    with pytest.raises(BadInput) as refused:
        call(*args, **kwargs)
    return refused.value


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("nan", "04"), ("-NaN", "04"), ("+nan", "04"), ("inf", "05"), ("-Infinity", "05"),
        ("infinity", "05"), ("+inf", "05"), ("-inf", "05"), ("+Infinity", "05"), ("inf-", "04"),
        ("X5", "04"),
        ("+INF", "05"), ("1e308", "07"), ("1e309", "05"), ("1e-308", "07"), ("1e-309", "10"),
        ("-1.5E+3", "07"), ("1.e5", "07"), ("1e" + "9" * 16, "05"), ("1e-" + "9" * 16, "10"),
        ("1" * 31, "10"), ("0" * 31, "10"), ("0" * 30, "03"), ("-" + "1" * 31 + ".", "10"),
        ("½", "07"), ("5²", "07"), ("٣", "08"), ("5\u2009000", "08"), ("≤5", "11"), ("±0.5", "11"),
        ("≈5", "11"), ("≥5", "11"), ("−5", "08"), ("5–6", "08"), ("5°", "08"),
        ("l2", "08"), ("I2", "08"), ("1O", "08"), ("1o", "08"), ("S5", "08"), ("1.S", "08"),
        ("1,5", "02"), ("1'000", "02"), ("1 000", "02"), ("+1,5", "02"), ("-1,5", "02"),
        (".5", "03"), ("-.5", "03"), ("5.", "03"), ("05", "03"), ("1.2.3", "03"), ("-00", "03"),
        ("+5", "07"), ("1_000", "07"), ("0x1F", "07"), ("0b11", "07"), ("0o17", "07"),
        ("-0xff", "07"), ("5-6", "11"), ("5 to 6", "11"), ("5...6", "03"), ("~5", "11"),
        ("<5", "11"), (">5", "11"), ("5 mg", "11"), ("+5 mg", "11"), ("-5 mg", "11"),
        ("about 5", "04"), ("abc", "04"), ("-", "04"), ("é", "04"), ("l", "08"), ("fish", "04"),
    ],
)  # fmt: skip
def test_each_way_of_not_being_a_number_has_its_own_code(text: str, code: str) -> None:
    fault = refusal(parse_number, text, field="box", negative=True)
    assert fault.code == f"E-NUM-{code}"
    assert fault.given.rstrip("…") in shown(text)
    assert fault.message
    assert fault.needed


@pytest.mark.parametrize("text", ["0", "-0.5", "0.0", "9" * 15, "0." + "1" * 14, "\t\r\n 5 "])
def test_the_last_numbers_that_are_read(text: str) -> None:
    assert parse_number(text, field="box", negative=True) == Decimal(text.strip())


def test_zero_passes_unless_the_number_has_to_be_above_it() -> None:
    assert parse_number("0", field="box") == 0
    assert refusal(parse_number, "0", field="box", positive=True).code == "E-NUM-09"
    assert refusal(parse_number, "-1", field="box", positive=True, negative=True).code == "E-NUM-09"
    assert refusal(parse_number, "-0.0", field="box", negative=True).code == "E-NUM-09"
    assert parse_number("0.000000000001", field="box", positive=True) > 0


@pytest.mark.parametrize("text", ["3.0", "3.", "3e0"])
def test_a_count_has_no_point(text: str) -> None:
    assert refusal(parse_count, text, field="box").code in ("E-COUNT-01", "E-NUM-03", "E-NUM-07")
    assert parse_count(" 3\t", field="box") == 3


@pytest.mark.parametrize("text", ["-3", "-3.5", " -0 "])
def test_a_count_below_zero_is_called_one(text: str) -> None:
    fault = refusal(parse_count, text, field="box")
    assert fault.code == "E-COUNT-01"
    assert "below 0" in fault.message


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("5L", "5", "L"), ("-1.5°C", "-1.5", "C"), ("35% w/w", "35", "% w/w"),
        ("12.5  US  gal", "12.5", "US gal"), ("0.3 mg/L as N", "0.3", "mg/L as N"),
        ("3/min", "3", "per min"), ("30‰", "", ""), ("5µS/cm", "5", "uS/cm"),
        ("1.0 imperial gallons", "1.0", "imperial gal"), ("\t25 C\n", "25", "C"),
    ],
)  # fmt: skip
def test_number_and_unit_are_parted_at_the_first_letter(text: str, value: str, unit: str) -> None:
    kinds = [*Kind]
    if not unit:
        assert refusal(parse_quantity, text, kinds, field="box").code == "E-UNIT-03"
        return
    read = parse_quantity(text, kinds, field="box")
    assert (read.value, read.unit.text) == (value, unit)


@pytest.mark.parametrize("text", ["5e3 L", "5E3L", "5x10 L", "5e+3L", "5x3L"])
def test_an_exponent_is_no_unit(text: str) -> None:
    assert refusal(parse_quantity, text, Kind.VOLUME, field="box").code in ("E-NUM-07", "E-NUM-11")


@pytest.mark.parametrize("text", ["5 -10 L", "5 to 10 L", "5 .. 10 L", "5 ..10 L"])
def test_a_range_with_a_unit_is_called_one(text: str) -> None:
    fault = refusal(parse_quantity, text, Kind.VOLUME, field="box")
    assert (fault.code, fault.field) == ("E-NUM-11", "box")
    assert "range" in fault.message
    assert refusal(parse_quantity, "5 tons", Kind.MASS, field="box").code == "E-UNIT-05"


@pytest.mark.parametrize("blank", ["\u00a0", "\u2009", "\u3000", "\x0b"])
def test_only_plain_blanks_are_passed_over(blank: str) -> None:
    assert refusal(find_unit, f"L{blank}", Kind.VOLUME, field="box").code == "E-UNIT-05"
    for call in (parse_number, parse_count):
        assert refusal(call, f"5{blank}", field="box").code.startswith("E-NUM")
    assert refusal(parse_date, f"2026-04-03{blank}", field="on").code == "E-DATE-01"
    assert refusal(parse_moment, f"2026-04-03{blank}", field="on", zone="UTC").code == "E-DATE-01"


def test_a_unit_that_is_missing_shows_the_number_alone() -> None:
    assert refusal(find_unit, " ", Kind.VOLUME, field="box").given == ""
    assert refusal(parse_quantity, "5 ", Kind.VOLUME, field="box").given == "5 "


def test_a_blank_inside_a_number_is_called_one() -> None:
    for text in ("1 250 L", "1 .5 L", "1 ,5 L"):
        fault = refusal(parse_quantity, text, Kind.VOLUME, field="box")
        assert (fault.code, fault.field) == ("E-NUM-02", "box")
        assert "blank" in fault.message


def test_only_ph_may_leave_out_its_unit() -> None:
    assert parse_quantity("7.4", Kind.PH, field="box").unit.text == "pH"
    assert parse_quantity("7.4 pH", Kind.PH, field="box").text == "7.4"
    assert refusal(parse_quantity, "7.4", (Kind.PH, Kind.MASS), field="box").code == "E-UNIT-01"
    assert refusal(parse_quantity, "7.4 L", Kind.PH, field="box").code == "E-UNIT-02"


def test_a_declared_comma_is_read_with_its_sign() -> None:
    read = parse_quantity("-1,5 C", Kind.TEMPERATURE, field="box", comma_declared=True)
    assert read.to("C") == Decimal("-1.5")
    fault = refusal(parse_quantity, "C", Kind.TEMPERATURE, field="box", comma_declared=True)
    assert (fault.code, fault.field) == ("E-NUM-04", "box")


def test_a_value_keeps_its_digits_in_its_own_unit_and_is_exact_in_another() -> None:
    typed = parse_quantity("7.50 mg/L as N", Kind.AMMONIA, field="box")
    assert str(typed.to("mg/L as N")) == "7.50"
    assert str(Measured("1.10", find_unit("L", Kind.VOLUME, field="b")).to("litre")) == "1.10"
    assert typed.number("mg/L as N") == 7.5
    assert parse_quantity("1 m3", Kind.VOLUME, field="box").to("mL") == 1_000_000
    assert parse_quantity("25 C", Kind.TEMPERATURE, field="box").to("F") == pytest.approx(77)
    fault = refusal(typed.to, "kg")
    assert (fault.code, fault.field) == ("E-UNIT-02", "unit")


# Display --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "text"),
    [("100", "100"), ("1E+2", "100"), ("0.500", "0.5"), ("-0.0", "0"), ("-0", "0"), ("0.0", "0"),
     ("10.0", "10"), ("-2.50", "-2.5"), ("1E-7", "0.0000001"), ("1200", "1200")],
)  # fmt: skip
def test_a_number_is_written_in_plain_digits(value: str, text: str) -> None:
    assert plain(Decimal(value)) == text


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [("172.844", 3, "173"), ("0.001234", 2, "0.0012"), ("99.96", 3, "100.0"), ("-2.5", 1, "-3"),
     ("1234.5", 2, "1.2E+3"), ("9.995", 3, "10.00"), ("5", 3, "5.00")],
)  # fmt: skip
def test_significant_digits_are_counted_from_the_first_that_is_not_zero(
    value: str, digits: int, text: str
) -> None:
    assert str(rounded(Decimal(value), digits)) == text
    assert rounded(float(value), digits) == Decimal(text)


def test_every_blank_of_an_amount_holds_it_together() -> None:
    assert NO_BREAK == "\u00a0"
    assert amount(Decimal("2.50"), "mg/L as Cu") == "2.5\u00a0mg/L\u00a0as\u00a0Cu"
    assert reading(parse_quantity("2.50 mg/L as Cu", Kind.COPPER, field="b")) == (
        "2.50\u00a0mg/L\u00a0as\u00a0Cu"
    )


# Dates ----------------------------------------------------------------------------------------


def test_the_first_year_that_is_read() -> None:
    assert parse_date("1990-01-01", field="on") == date(1990, 1, 1)
    assert refusal(parse_date, "1989-12-31", field="on").code == "E-DATE-03"
    assert parse_date(" 2026-04-03 ", field="on") == date(2026, 4, 3)
    assert refusal(parse_date, "2026-04-03\n", field="on").code == "E-DATE-01"


def test_a_day_stands_at_noon_or_at_its_start() -> None:
    noon = parse_moment("2026-06-04", field="on", zone="Europe/London")
    start = parse_moment(" 2026-06-04 ", field="on", zone="Europe/London", day_starts=True)
    assert (noon.text, noon.day_only) == ("2026-06-04T12:00+01:00", True)
    assert (start.text, start.day_only) == ("2026-06-04T00:00+01:00", True)
    assert not parse_moment("2026-06-04T12:00", field="on", zone="UTC").day_only
    assert not parse_moment("2026-06-04T12:00Z", field="on", zone="UTC").day_only
    assert Moment("2026-06-04T12:00Z").day_only is False


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("2026-06-04T18:30:15", "2026-06-04T18:30:15+00:00"),
        ("2026-06-04T18:30", "2026-06-04T18:30+00:00"),
        ("2026-06-04T18:30:00", "2026-06-04T18:30:00+00:00"),
        ("2026-06-04 18:30:15Z", "2026-06-04T18:30:15Z"),
    ],
)
def test_seconds_are_kept_where_they_were_told(text: str, kept: str) -> None:
    assert parse_moment(text, field="on", zone="UTC").text == kept


def test_a_moment_knows_its_own_day_and_the_day_of_greenwich() -> None:
    late = Moment("2026-03-04T23:30-05:00")
    assert late.day == date(2026, 3, 4)
    assert late.utc == datetime(2026, 3, 5, 4, 30, tzinfo=UTC)
    assert late.utc.utcoffset() == timedelta(0)
    assert late.when.utcoffset() == timedelta(hours=-5)


def test_the_clock_of_the_machine_plays_no_part(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    time.tzset()
    try:
        test_a_moment_knows_its_own_day_and_the_day_of_greenwich()
        test_five_minutes_ahead_is_the_last_that_passes()
        test_today_is_the_day_at_the_place_of_the_tank()
    finally:
        monkeypatch.undo()
        time.tzset()


def test_five_minutes_ahead_is_the_last_that_passes() -> None:
    check_moment(Moment("2026-10-31T18:05+00:00"), field="on", now=NOW)
    fault = refusal(check_moment, Moment("2026-10-31T18:05:01+00:00"), field="on", now=NOW)
    assert (fault.code, fault.needed) == ("E-DATE-03", "at most 2026-10-31T18:00+00:00")
    east = refusal(check_moment, Moment("2026-11-01T03:00+05:45"), field="on", now=NOW)
    assert east.needed == "at most 2026-10-31T23:45+05:45"


def test_today_is_the_day_at_the_place_of_the_tank() -> None:
    """At 18:00 UTC it is already the first of November in Kiritimati (UTC+14)."""
    check_moment(Moment("2026-11-01T12:00+14:00", day_only=True), field="on", now=NOW)
    fault = refusal(
        check_moment, Moment("2026-11-01T12:00+00:00", day_only=True), field="on", now=NOW
    )
    assert fault.code == "E-DATE-03"


def test_an_observation_at_the_moment_of_opening_passes() -> None:
    opened = Moment("2026-03-02T15:00+00:00")
    check_moment(opened, field="on", now=NOW, began=opened)
    fault = refusal(check_moment, Moment("2026-03-01T12:00+00:00", day_only=True), field="on",
                    now=NOW, began=opened)  # fmt: skip
    assert (fault.code, fault.needed) == ("E-DATE-03", "at or after 2026-03-02T15:00+00:00")


# Tables ---------------------------------------------------------------------------------------


def test_a_declaration_may_name_each_thing_alone() -> None:
    assert read_table(b"#decimal=point\nkind,x\n").columns == ("kind", "x")
    assert read_table(b"# separator=semicolon\nkind;x\n").columns == ("kind", "x")
    assert not read_table(b"# separator=semicolon\nkind;x\n").comma_declared
    for line in ("separator=tab", "colour=comma", "decimal", "decimal=comma separator=comma"):
        fault = refusal(read_table, f"# {line}\nkind\n".encode())
        assert (fault.code, fault.field) == ("E-CSV-01", "line 1")
        assert "separator=" in fault.needed


def test_a_column_may_carry_a_unit_and_is_known_by_its_name() -> None:
    table = read_table(b"kind,temperature [C]\nwater,25\n", needed=("kind", "temperature"))
    assert table.columns == ("kind", "temperature [C]")
    fault = refusal(read_table, b"kind,temperature  [C],spotz\n", needed=("kind",),
                    allowed=("temperature",))  # fmt: skip
    assert fault.given == "spotz"


def test_a_file_as_large_as_may_be_is_read() -> None:
    largest = b"kindly123\n" + b"x" * 90 + (b"\n" + b"x" * 999) * 9_999
    largest += b"x" * (10_000_000 - len(largest))
    assert len(read_table(largest).rows) == 10_000
    assert refusal(read_table, largest + b"x").code == "E-CSV-03"
    assert len(read_table(b"k\n" + b"a\n" * 100_000).rows) == 100_000


def test_the_words_around_a_broken_letter_are_shown() -> None:
    fault = refusal(read_table, b"kind\n\xff")
    assert fault.given == r"b'kind\n\xff'"
    assert refusal(read_table, b"kind,fish\ncount,\xe9l\xe8ve\n").given == r"b'ount,\xe9l\xe8ve'"


@pytest.mark.parametrize(
    ("text", "rules", "needed"),
    [
        ("0", {"positive": True}, "a number above 0"),
        ("-1", {}, "0 or a number above 0"),
        ("1.5", {"comma_declared": True}, "1,5 in this file; no thousands marks"),
        ("", {}, "digits and at most one point, for example 12.5"),
    ],
)
def test_a_refused_number_says_what_would_be_one(
    text: str, rules: dict[str, bool], needed: str
) -> None:
    with pytest.raises(BadInput) as refused:
        parse_number(text, field="box", **rules)
    assert refused.value.needed == needed
