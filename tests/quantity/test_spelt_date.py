"""A date can be typed as it is printed; whatever would have to be guessed is not read."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.errors import BadInput
from tankside.quantity.dates import day_words, moment_words
from tankside.quantity.moment import check_stored, parse_date, parse_moment
from tankside.quantity.spelt_date import as_iso

DAYS = st.dates(date(1990, 1, 1), date(2099, 12, 31))


@given(DAYS)
def test_a_day_is_read_as_it_is_printed(day: date) -> None:
    assert parse_date(day_words(day), field="on") == day
    assert parse_date(f"{day.day} {day:%B} {day.year}", field="on") == day


@given(st.datetimes(datetime(1990, 1, 1), datetime(2099, 12, 31)))
def test_a_moment_is_read_as_it_is_printed(moment: datetime) -> None:
    read = parse_moment(moment_words(moment), field="on", zone="UTC")
    assert read.when.replace(tzinfo=None) == moment.replace(second=0, microsecond=0)
    assert not read.day_only


@given(DAYS, st.integers(1, 6))
def test_a_day_of_the_week_that_is_not_that_of_the_date_is_refused(day: date, off: int) -> None:
    other = day_words(day + timedelta(days=off)).split()[0]
    with pytest.raises(BadInput, match="E-DATE-01"):
        parse_date(f"{other} {day_words(day).split(maxsplit=1)[1]}", field="on")


@pytest.mark.parametrize(
    ("typed", "iso"),
    [
        ("19 mar 2026", "2026-03-19"), ("9 Sept 2026", "2026-09-09"),
        ("Thursday, 19 March 2026, 18:30", "2026-03-19T18:30"),
        ("19 Mar 2026 18:30+01:00", "2026-03-19T18:30+01:00"), ("19\u00a0Mar 2026", "2026-03-19"),
    ],
)  # fmt: skip
def test_usual_spellings_are_read(typed: str, iso: str) -> None:
    assert as_iso(typed) == iso


@pytest.mark.parametrize(
    "typed",
    ["19 Ma 2026", "19 Mat 2026", "19 Mar 26", "Mar 19 2026", "19.3.2026", "19/03/2026", "19 2026",
     "Mond 19 Mar 2026", "119 Mar 2026", "19 Mar 2026 6pm", ""],
)  # fmt: skip
def test_what_would_have_to_be_guessed_is_not_read(typed: str) -> None:
    with pytest.raises(BadInput, match="E-DATE-01"):
        parse_moment(typed, field="on", zone="UTC")


def test_a_day_that_does_not_exist_is_told_and_a_case_file_keeps_one_spelling() -> None:
    with pytest.raises(BadInput, match="E-DATE-02"):
        parse_date("31 Apr 2026", field="on")
    with pytest.raises(BadInput, match="E-DATE-01"):
        check_stored("19 Mar 2026 18:30+00:00", field="occurred_at")
