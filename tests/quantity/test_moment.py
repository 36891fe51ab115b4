"""Dates and times: year first, real days, no guess over a clock change, elapsed time in UTC."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.errors import BadInput
from tankside.quantity.moment import (
    Moment,
    check_moment,
    check_stored,
    hours_between,
    parse_date,
    parse_moment,
)

BAD = json.loads((Path(__file__).parents[1] / "golden" / "bad_inputs.json").read_text())["rows"]
NOW = datetime(2026, 10, 31, 18, 0, tzinfo=UTC)
OPENED = Moment("2026-03-02T00:00+00:00", day_only=True)


def enter(text: str, zone: str, began: Moment | None) -> None:
    check_moment(parse_moment(text, field="on", zone=zone), field="on", now=NOW, began=began)


@pytest.mark.parametrize(
    "row",
    [r for r in BAD if r["what"] in ("time", "clock change", "seen at")],
    ids=lambda r: r["text"],
)
def test_a_bad_date_is_refused_with_its_code(row: dict[str, str]) -> None:
    began = OPENED if row["what"] == "seen at" else None
    with pytest.raises(BadInput) as refused:
        enter(row["text"], row.get("zone", "Europe/London"), began)
    assert refused.value.code == row["code"]
    assert refused.value.needed


@pytest.mark.parametrize(
    ("text", "zone", "kept"),
    [
        ("2028-02-29", "Europe/London", "2028-02-29T12:00+00:00"),
        ("2026-06-04T18:30", "Europe/London", "2026-06-04T18:30+01:00"),
        ("2026-06-04 18:30", "Asia/Kathmandu", "2026-06-04T18:30+05:45"),
        ("2026-06-04T18:30+05:45", "Europe/London", "2026-06-04T18:30+05:45"),
        ("2026-06-04T18:30Z", "Europe/London", "2026-06-04T18:30Z"),
        ("2026-03-29T02:30+02:00", "Europe/Berlin", "2026-03-29T02:30+02:00"),
        ("2026-10-25T02:30+01:00", "Europe/Berlin", "2026-10-25T02:30+01:00"),
        ("2026-03-29", "Europe/Berlin", "2026-03-29T12:00+02:00"),
    ],
)
def test_a_good_moment_is_kept_with_its_offset(text: str, zone: str, kept: str) -> None:
    assert parse_moment(text, field="on", zone=zone).text == kept


def test_a_moment_says_how_its_clock_stands_in_the_clock_change() -> None:
    for text, how_often in (("2026-03-29T02:30", "never"), ("2026-10-25T02:30", "twice")):
        with pytest.raises(BadInput, match=how_often):
            parse_moment(text, field="on", zone="Europe/Berlin")


def test_twelve_hours_over_the_spring_change_are_twelve_hours() -> None:
    evening = parse_moment("2026-03-28T20:00", field="on", zone="Europe/London")
    morning = parse_moment("2026-03-29T09:00", field="on", zone="Europe/London")
    assert hours_between(evening, morning) == 12


def test_an_observation_a_few_minutes_ahead_passes() -> None:
    soon = Moment((NOW + timedelta(minutes=4)).isoformat(timespec="minutes"))
    check_moment(soon, field="on", now=NOW)
    late = Moment((NOW + timedelta(minutes=6)).isoformat(timespec="minutes"))
    with pytest.raises(BadInput, match="E-DATE-03"):
        check_moment(late, field="on", now=NOW)


def test_a_day_without_time_may_be_today_before_noon() -> None:
    morning = datetime(2026, 3, 4, 7, 0, tzinfo=UTC)
    today = parse_moment("2026-03-04", field="on", zone="Europe/London")
    check_moment(today, field="on", now=morning, began=OPENED)


def test_the_day_of_opening_itself_is_not_before_the_case() -> None:
    opened = Moment("2026-03-02T15:00+00:00")
    check_moment(Moment("2026-03-02T12:00+00:00", True), field="on", now=NOW, began=opened)
    with pytest.raises(BadInput, match="E-DATE-03"):
        check_moment(Moment("2026-03-02T14:59+00:00"), field="on", now=NOW, began=opened)


def test_an_unknown_zone_is_refused() -> None:
    for zone in ("Mars/Base", "../../etc/passwd", ""):
        with pytest.raises(BadInput, match="E-DATE-04"):
            parse_moment("2026-03-04T10:00", field="on", zone=zone)


@pytest.mark.parametrize("text", ["2026-03-04", "2026-03-04T10:00", "2026-03-04 10:00Z", 5, None])
def test_a_stored_moment_is_written_in_full(text: object) -> None:
    with pytest.raises(BadInput, match="E-DATE-01"):
        check_stored(text, field="time")


@given(st.text(alphabet="0123456789-T:+Z ", max_size=22))
def test_any_text_is_refused_with_a_code_or_is_a_day_that_exists(text: str) -> None:
    try:
        at = parse_moment(text, field="on", zone="Europe/London")
    except BadInput as refused:
        code, at = refused.code, None
    if at is None:
        assert code in ("E-DATE-01", "E-DATE-02", "E-DATE-03")
        return
    assert at.when.utcoffset() is not None
    assert parse_date(text.strip(" ")[:10], field="on").year >= 1990


def test_a_bare_day_is_read_without_a_clock() -> None:
    assert parse_date("2028-02-29", field="on").isoformat() == "2028-02-29"
    for text in ("2028-02-29T10:00", 5):
        with pytest.raises(BadInput, match="E-DATE-01"):
            parse_date(text, field="on")
