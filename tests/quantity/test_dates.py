"""A date is written one way, from one list of months."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tankside.quantity.dates import day_words, entry_moment_words
from tankside.quantity.moment import Moment

SOURCE = Path(__file__).resolve().parents[2] / "src" / "tankside"


def test_a_day_is_written_so_that_no_country_misreads_it() -> None:
    assert day_words(date(2026, 3, 7)) == "Sat 7 Mar 2026"


@pytest.mark.parametrize(
    ("moment", "written"),
    [
        (Moment("2026-10-25T02:05+01:00"), "Sun 25 Oct 2026 02:05"),
        (Moment("2026-10-25T12:00+01:00", day_only=True), "Sun 25 Oct 2026"),
    ],
)
def test_the_clock_is_written_where_it_was_told(moment: Moment, written: str) -> None:
    assert entry_moment_words(moment) == written


def test_the_months_stand_in_one_file() -> None:
    holders = {
        path.relative_to(SOURCE).as_posix()
        for path in SOURCE.rglob("*.py")
        if '"July"' in path.read_text(encoding="utf-8")
    }
    assert holders == {"quantity/spelt_date.py"}
