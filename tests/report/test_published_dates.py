"""Dates in print: counted from the last day of the case, said as the refusal says them.

Printed times: anchor worm, whole cycle 18-25 d at 26-28 C (Hossain 2018); marine skin fluke, first
hatch after 7 d at 20 C (Bondad-Reantaso 1995). Dates are counted by hand.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.errors import NotPossible
from tankside.intake.clock import VARIABLE
from tankside.intake.forecast_setup import ForecastRequest
from tankside.present.block_text import document_text
from tankside.report.published_dates import ADVICE, dates_document, dates_json
from tankside.services import cases
from tankside.services.forecast import forecast
from tankside.services.published_dates import PublishedDatesAnswer, published_dates

WORM, FLUKE = "lernaea_cyprinacea", "neobenedenia_girellae"


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(VARIABLE, "2026-05-20T12:00+00:00")
    file = tmp_path / "case.jsonl"
    opening = cases.Opening("Weir", "a keeper", "fresh", "Etc/UTC", "2026-03-02")
    cases.new_case(file, opening, by="t")
    rows = (
        ("system", "meter=160 L"),
        ("stock", "koi", "name=koi", "count=4", "length=12 cm"),
        ("water", "temperature=27.0 C"),
        ("note", "on=2026-03-05", "seen again"),
    )
    for kind, *words in rows:
        cases.add_words(file, kind, tuple(words), by="t")
    return file


def answer(case: Path, organism: str) -> PublishedDatesAnswer:
    dates = published_dates(case, organism)
    assert dates is not None
    return dates


def test_a_cycle_of_18_to_25_days_from_5_march_is_over_between_23_and_30_march(case: Path) -> None:
    dates = answer(case, WORM)
    assert (dates.begins, dates.temperature_c) == (date(2026, 3, 5), 27.0)
    cycle = next(dated for dated in dates.dated if dated.time.part == "whole cycle")
    assert (cycle.first, cycle.last) == (date(2026, 3, 23), date(2026, 3, 30))


def test_those_for_this_temperature_come_first(case: Path) -> None:
    beside = [str(dated.time.beside) for dated in answer(case, FLUKE).dated]
    here = beside.count("at this temperature")
    assert 0 < here < len(beside)
    assert set(beside[:here]) == {"at this temperature"}


def test_a_line_says_the_time_as_printed_then_the_dates_then_the_warmth(case: Path) -> None:
    text = document_text(dates_document(answer(case, WORM)))
    assert text.startswith(
        "Dates in print: anchor worm, water 27 C, counted from Thu 5 Mar 2026\n\n"
    )
    line = "whole cycle, length: 18-25 d at 26-28 C [hossain_2018]"
    assert f"{line}: Mon 23 Mar 2026 to Mon 30 Mar 2026; at this temperature." in text
    assert text.endswith(ADVICE)
    with pytest.raises(NotPossible) as refused:
        forecast(case, ForecastRequest(organism=WORM))
    assert line in refused.value.next_step


def test_one_day_is_said_once(case: Path) -> None:
    text = document_text(dates_document(answer(case, FLUKE)))
    assert "7 d at 20 C [bondad_reantaso_1995]: Thu 12 Mar 2026; printed for colder water" in text


def test_without_any_time_in_print_that_is_said(case: Path) -> None:
    text = document_text(dates_document(answer(case, "brooklynella_hostilis")))
    assert "No time is in print for " in text
    assert ADVICE not in text


def test_the_json_has_days_and_dates_of_both_ends(case: Path) -> None:
    answered: dict[str, Any] = dates_json(answer(case, WORM))
    cycle = next(row for row in answered["dates"] if row["part"] == "whole cycle")
    assert (cycle["days_low"], cycle["days_high"]) == (18, 25)
    assert (cycle["from"], cycle["to"]) == ("2026-03-23", "2026-03-30")
    assert "adult.lay_per_d" in answered["missing"]


def test_an_end_that_is_not_printed_has_no_day(case: Path) -> None:
    # White spot: a whole cycle of less than 4 d in warm and at least 35 d in cold water (SRAC 476).
    white_spot = answer(case, "ichthyophthirius_multifiliis")
    answered: dict[str, Any] = dates_json(white_spot)
    cycles = [row for row in answered["dates"] if row["part"] == "whole cycle"]
    ends = {(row["from"], row["to"]) for row in cycles}
    assert {(None, "2026-03-09"), ("2026-04-09", None)} <= ends
    text = document_text(dates_document(white_spot))
    assert "[srac_476]: Mon 9 Mar 2026;" in text
    assert "[srac_476]: Thu 9 Apr 2026;" in text


def test_nothing_is_dated_where_no_parasite_is_suspected(case: Path) -> None:
    assert published_dates(case, "sea serpent") is None


def test_the_command_prints_the_same_document_and_leaves_with_code_3(
    case: Path, tmp_path: Path
) -> None:
    pdf = tmp_path / "dates.pdf"
    ran = CliRunner().invoke(app, ["forecast", str(case), "--organism", WORM, "--pdf", str(pdf)])
    assert ran.exit_code == 3
    assert ran.stdout.rstrip("\n") == document_text(dates_document(answer(case, WORM)))
    assert ran.stderr.startswith("E-FC-02")
    assert pdf.read_bytes().startswith(b"%PDF")
    ran = CliRunner().invoke(app, ["forecast", str(case), "--organism", WORM, "--json"])
    assert json.loads(ran.stdout)["error"]["code"] == "E-FC-02"
