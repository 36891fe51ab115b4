"""A refusal names the box, shows what was typed, and says what would be right instead."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from decimal import Decimal
from functools import partial
from pathlib import Path

import pytest

from tankside.errors import BadInput
from tankside.errors.mistake import shown
from tankside.quantity import (
    CANONICAL,
    DOSE,
    STRENGTH,
    UNITS,
    Kind,
    check_share,
    find_unit,
    measured,
    parse_count,
    parse_number,
    parse_quantity,
    whole_count,
)
from tankside.quantity.moment import (
    Moment,
    check_moment,
    check_stored,
    find_zone,
    parse_date,
    parse_moment,
)
from tankside.quantity.ranges import BOUNDS
from tankside.quantity.strict_json import parse_json
from tankside.quantity.table import read_table

BAD = json.loads((Path(__file__).parents[1] / "golden" / "bad_inputs.json").read_text())["rows"]
BOX = "the box"
NOW = datetime(2026, 10, 31, 18, 0, tzinfo=UTC)
DOORS: dict[str, Callable[[str], object]] = {
    **dict.fromkeys(
        ("number", "amount", "bare number"), lambda t: parse_number(t, field=BOX, positive=True)
    ),
    "count": lambda text: parse_count(text, field=BOX),
}
KIND_OF: dict[str, Kind | Sequence[Kind]] = {
    "volume": Kind.VOLUME, "mass": Kind.MASS, "total": (Kind.MASS, Kind.VOLUME), "dose": DOSE,
    "reading ph": Kind.PH, "reading temperature": Kind.TEMPERATURE,
    "reading salinity": (Kind.SALINITY, Kind.PRACTICAL_SALINITY),
    "reading oxygen": (Kind.OXYGEN, Kind.OXYGEN_SATURATION), "reading ammonia": Kind.AMMONIA,
    "reading copper": Kind.COPPER,
}  # fmt: skip
for _name, _kinds in KIND_OF.items():
    DOORS[_name] = partial(parse_quantity, kinds=_kinds, field=BOX)

GALLONS = ("gal", "gallon", "gallons")
KITCHEN = (
    "oz", "ounce", "ounces", "fl oz", "pint", "pints", "quart", "quarts", "qt", "pt",
)  # fmt: skip
SPOONS = (
    "drop", "drops", "cup", "cups", "tsp", "tbsp", "teaspoon", "teaspoons", "tablespoon",
    "tablespoons", "spoon", "spoons", "cap", "caps", "capful", "capfuls", "pinch", "tablet",
    "tablets", "dose", "doses",
)  # fmt: skip
RATIOS = {
    "ppm": ("mg/L", "mL/m3"), "ppb": ("mg/L", "mL/m3"), "ppt": ("g/L", "psu"),
    "‰": ("g/L", "psu"), "o/oo": ("g/L", "psu"), "%": ("% w/w", "% w/v", "% v/v"),
}  # fmt: skip
# Letters whose size decides between a thousand and a thousandth, or between a metre and a minute.
UNCLEAR = ("M", "m", "ML", "MG", "Mg", "KG", "Kg", "l", "ml")
MEANS = {
    "L": ("litre", "litres", "liter", "liters"), "g": ("gram", "grams"), "kg": ("kilogram",),
    "US gal": ("US gallon", "US gallons", "us gal"),
    "imperial gal": ("UK gal", "imp gal", "imperial gallon", "imperial gallons"),
    "C": ("°C",), "F": ("°F",), "inch": ("inches", "in"), "m": ("metre", "metres"),
    "s": ("second", "seconds"), "min": ("minute", "minutes"), "h": ("hour", "hours"),
    "d": ("day", "days"), "week": ("weeks",), "per min": ("/min", "a minute"),
    "dH": ("°dH", "°dKH", "dKH", "dGH"), "psu": ("PSU",), "m3": ("m³",), "m3/h": ("m³/h",),
    "mL/m3": ("mL/m³",), "g/m3": ("g/m³",), "uS/cm": ("µS/cm",),
    "lb": ("lbs", "pound", "pounds"),
}  # fmt: skip


def refused(call: Callable[..., object], *args: object, **kwargs: object) -> BadInput:
    with pytest.raises(BadInput) as caught:
        call(*args, **kwargs)
    return caught.value


def holds(fault: BadInput, typed: object, field: str = BOX) -> None:
    """Hold a refusal to naming its box and showing what was typed, or the part that is wrong."""
    assert fault.field == field
    assert fault.given.rstrip("…") in shown(typed)
    assert fault.given.strip() or not str(typed).strip()


def enter(text: str, zone: str) -> None:
    check_moment(parse_moment(text, field=BOX, zone=zone), field=BOX, now=NOW)


def named(row: dict[str, str]) -> str:
    return f"{row['row']}-{row['what']}-{row['text']!r}"


@pytest.mark.parametrize("row", [r for r in BAD if r["what"] in DOORS], ids=named)
def test_every_bad_input_is_named_and_shown(row: dict[str, str]) -> None:
    door, text = DOORS[row["what"]], row["text"]
    holds(refused(door, text), text)


@pytest.mark.parametrize("row", [r for r in BAD if r["what"] in ("time", "clock change")],
                         ids=named)  # fmt: skip
def test_every_bad_time_is_named_and_shown(row: dict[str, str]) -> None:
    fault = refused(enter, row["text"], row.get("zone", "Europe/London"))
    assert fault.field == BOX
    assert fault.given[:10] == shown(row["text"])[:10]


@pytest.mark.parametrize(
    ("call", "typed"),
    [
        (lambda text: parse_number(text, field=BOX), 5),
        (lambda text: parse_number(text, field=BOX, comma_declared=True), "1.5"),
        (lambda text: parse_number(text, field=BOX), "-3"),
        (lambda text: parse_number(text, field=BOX), "1" * 16),
        (lambda text: parse_quantity(text, Kind.VOLUME, field=BOX), 5.5),
        (lambda text: parse_quantity(text, Kind.VOLUME, field=BOX), "5"),
        (lambda text: parse_quantity(text, (Kind.MASS, Kind.VOLUME), field=BOX), "5"),
        (lambda text: parse_quantity(text, Kind.VOLUME, field=BOX), "5 - 10 L"),
        (lambda text: parse_quantity(text, Kind.VOLUME, field=BOX), "1 250 L"),
        (lambda text: parse_quantity(text, Kind.OXYGEN, field=BOX), "400 mg/L"),
        (lambda text: parse_quantity(text, Kind.VOLUME, field=BOX, comma_declared=True), "1.5 L"),
        (lambda text: measured(text, "L", Kind.VOLUME, field=BOX), "-2"),
        (lambda text: measured("2", text, Kind.VOLUME, field=BOX), "kg"),
        (lambda text: parse_count(text, field=BOX), "-1"),
        (lambda text: parse_count(text, field=BOX), "1.5"),
        (lambda text: whole_count(text, field=BOX), "5"),
        (lambda text: whole_count(text, field=BOX), 1.5),
        (lambda text: whole_count(text, field=BOX), -4),
        (lambda text: parse_date(text, field=BOX), "April 3, 2026"),
        (lambda text: parse_date(text, field=BOX), "2026-02-30"),
        (lambda text: parse_date(text, field=BOX), "1989-12-31"),
        (lambda text: parse_moment(text, field=BOX, zone="UTC"), "April"),
        (lambda text: parse_moment(text, field=BOX, zone="UTC"), "2026-02-30T10:00"),
        (lambda text: parse_moment(text, field=BOX, zone="UTC"), "2026-03-04T25:00"),
        (lambda text: parse_moment(text, field=BOX, zone="UTC"), "2026-03-04T25:00Z"),
        (lambda text: parse_moment(text, field=BOX, zone="Europe/Berlin"), "2026-03-29T02:30"),
        (lambda text: check_stored(text, field=BOX), "2026-03-04"),
        (lambda text: check_stored(text, field=BOX), "2026-02-30T10:00Z"),
        (lambda text: find_zone(text, field=BOX), "Mars/Base"),
        (lambda text: check_moment(Moment(text), field=BOX, now=NOW), "2027-01-01T00:00+00:00"),
        (lambda text: check_moment(Moment(text), field=BOX, now=NOW,
                                   began=Moment("2026-03-02T00:00+00:00")),
         "2026-03-01T00:00+00:00"),
    ],
)  # fmt: skip
def test_each_door_names_its_box_and_shows_what_was_typed(
    call: Callable[[object], object], typed: object
) -> None:
    holds(refused(call, typed), typed)


@pytest.mark.parametrize(
    ("data", "field", "quoted"),
    [
        (b"", "file", "nothing"),
        (b"kind,kind\n", "header", "kind, kind"),
        (b"on,spots\n", "header", "kind"),
        (b"kind,spotz\n", "header", "spotz"),
        (b"# decimal=dot\nkind\n", "line 1", "decimal=dot"),
        (b"# decimal=comma\nkind\n", "line 1", "# decimal=comma"),
        (b"kind,spots\ncount,1,2\n", "line 2", "3 cells"),
        (b'kind,spots\ncount,"1\n', "line 2", "unexpected end of data"),
        (b"kind\n" + b"x" * 10_000_000, "file", "10000005 bytes"),
        (b"kind\n" + b"a\n" * 100_001, "file", "100001"),
        (b"kind\n\0", "file", r"b'kind\n\x00'"),
        (b"kind\nabcd\xffefgh\n", "file", r"b'\nabcd\xffefgh'"),
    ],
    ids=lambda value: str(value)[:24],
)
def test_a_file_that_cannot_be_read_says_where_and_what(
    data: bytes, field: str, quoted: str
) -> None:
    fault = refused(read_table, data, needed=("kind",), allowed=("spots",))
    assert fault.field == field
    assert fault.given == quoted


def test_a_header_is_told_what_columns_there_may_be() -> None:
    for data in (b"kind,kind\n", b"on\n", b"kind,spotz\n"):
        fault = refused(read_table, data, needed=("kind",), allowed=("spots", "fish"))
        assert fault.needed == "kind, spots, fish"
    assert "2 cells" in refused(read_table, b"a,b\n1\n").needed


@pytest.mark.parametrize(
    ("data", "quoted"),
    [
        ("[NaN]", "NaN"), ("[1e400]", "1e400"), ('{"twice": 1, "twice": 2}', "twice"),
        (b" " * 10_000_001, "10000001 bytes"), (b'"\xff"', r"""b'"\xff"'"""),
        ("[" * 30, "[" * 30), ("{", "Expecting property name enclosed in double quotes"),
    ],
    ids=lambda value: str(value)[:16],
)  # fmt: skip
def test_json_that_cannot_be_read_is_shown(data: bytes | str, quoted: str) -> None:
    assert quoted in refused(parse_json, data).given


def test_json_is_read_up_to_its_last_byte_and_level() -> None:
    assert parse_json(b" " * 9_999_999 + b"5") == 5
    assert parse_json('["a\\\\", [1]]') == ["a\\", [1]]
    refused(parse_json, '["a\\\\", ' + "[" * 24 + "]" * 24 + "]")
    assert parse_json("[" + "[]," * 40 + "{}]") == [[]] * 40 + [{}]


# What to write instead ------------------------------------------------------------------------


@pytest.mark.parametrize("kind", Kind)
def test_whoever_leaves_out_the_unit_is_told_every_unit_there_is(kind: Kind) -> None:
    fault = refused(find_unit, "", kind, field=BOX)
    assert (fault.code, fault.field) == ("E-UNIT-01", BOX)
    assert fault.needed.removeprefix("one of: ").split(", ") == list(UNITS[kind])
    other = refused(find_unit, "furlong", (kind, Kind.RATE), field=BOX)
    assert other.code == "E-UNIT-05"
    assert set(UNITS[kind]) | set(UNITS[Kind.RATE]) <= set(
        other.needed.removeprefix("one of: ").split(", ")
    )


@pytest.mark.parametrize("word", GALLONS + KITCHEN + SPOONS)
def test_a_household_measure_is_refused_and_told_what_is_safe(word: str) -> None:
    safe = {"US gal", "imperial gal"} if word in GALLONS else {"g", "mL"}
    for spelt in (word, word.upper(), word.capitalize()):
        fault = refused(find_unit, spelt, (Kind.VOLUME, Kind.MASS), field=BOX)
        assert (fault.code, fault.given) == ("E-UNIT-04", spelt)
        offered = fault.needed.partition(", measured")[0].replace(", ", " or ").split(" or ")
        assert safe <= set(offered)
        assert all(find_unit(unit, (Kind.VOLUME, Kind.MASS), field=BOX) for unit in offered)
        assert ("a scale or syringe" in fault.needed) == (word in SPOONS)


@pytest.mark.parametrize(("word", "meanings"), RATIOS.items())
def test_a_bare_ratio_is_refused_with_what_it_may_mean(word: str, meanings: list[str]) -> None:
    for spelt in (word, word.upper(), f"{word} as Cu"):
        fault = refused(find_unit, spelt, (Kind.COPPER, *DOSE), field=BOX)
        assert (fault.code, fault.given) == ("E-UNIT-03", spelt)
        assert all(meaning in fault.needed for meaning in meanings)


@pytest.mark.parametrize("word", UNCLEAR)
def test_a_letter_of_the_wrong_size_is_never_taken_for_the_right_one(word: str) -> None:
    fault = refused(find_unit, word, Kind.MASS, field=BOX)
    assert (fault.code, fault.given) == ("E-UNIT-05", word)
    assert "unclear" in fault.message


def test_a_unit_in_letters_of_another_size_is_said_to_be_just_that() -> None:
    fault = refused(find_unit, "LB", Kind.MASS, field=BOX)
    assert fault.code == "E-UNIT-05"
    assert "letters" in fault.message
    assert "letters" not in refused(find_unit, "stone", Kind.MASS, field=BOX).message


def test_a_unit_of_another_kind_is_told_what_is_measured_here() -> None:
    fault = refused(find_unit, "kg", Kind.VOLUME, field=BOX)
    assert fault.code == "E-UNIT-02"
    assert "volume" in fault.message
    both = refused(find_unit, "kg", (Kind.VOLUME, Kind.TIME), field=BOX)
    assert "volume or time" in both.message
    assert refused(find_unit, "kg as N", Kind.VOLUME, field=BOX).code == "E-UNIT-02"


@pytest.mark.parametrize("kind", [Kind.AMMONIA, Kind.NITRITE, Kind.NITRATE, Kind.COPPER])
def test_a_mass_without_what_it_is_of_is_refused(kind: Kind) -> None:
    fault = refused(find_unit, "mg/L", kind, field=BOX)
    assert fault.code == "E-UNIT-03"
    assert " as " in fault.needed


@pytest.mark.parametrize("unit", MEANS)
def test_another_spelling_means_its_unit_and_nothing_else(unit: str) -> None:
    kinds = [kind for kind in Kind if unit in UNITS[kind]]
    assert kinds
    for kind in kinds:
        for spelt in MEANS[unit]:
            assert find_unit(spelt, kind, field=BOX) is UNITS[kind][unit]
            assert find_unit(f"  {spelt} ", kind, field=BOX) is UNITS[kind][unit]


def test_a_reading_at_the_bound_passes_and_one_beyond_is_refused() -> None:
    for kind, (low, high, unit) in BOUNDS.items():
        assert unit == CANONICAL[kind]
        for value in (low, high):
            if value or kind not in STRENGTH:
                assert measured(str(value), unit, kind, field=BOX).canonical() == value
        beyond = str(Decimal(str(high)) + Decimal("0.1"))
        fault = refused(measured, beyond, unit, kind, field=BOX)
        assert (fault.code, fault.field) == ("E-RANGE-01", BOX)
        assert fault.given.startswith(beyond)
        assert fault.needed == f"between {low} and {high} {unit}"


def test_a_share_too_large_is_told_in_its_own_words() -> None:
    fault = refused(check_share, 6, 5, part_name="deaths", whole_name="fish", field=BOX)
    assert fault.field == BOX
    assert fault.given == "6 deaths, 5 fish"
    assert fault.needed == "at most 5 deaths"
    assert "more deaths than fish" in fault.message
