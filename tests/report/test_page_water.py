"""Readings with their age, the toxic part of ammonia and the oxygen that warm water can hold."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside.report.page import open_case
from tankside.report.page_water import WaterPage, water_page
from tankside.services.cases import Opening, add_words, new_case


def made(
    folder: Path, monkeypatch: pytest.MonkeyPatch, *rows: str, now: str = "19T18:30"
) -> WaterPage:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-17T08:00+00:00")
    folder.mkdir(exist_ok=True)
    path = folder / "kiln.jsonl"
    new_case(path, Opening("Kiln", "keeper", "fresh", "UTC"), by="test")
    add_words(path, "system", ("main", "hose=10 L/min for 10 min"), by="test")
    add_words(path, "stock", ("name=cardinal tetra", "count=3", "length=3 cm"), by="test")
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-19T18:30+00:00")
    for row in rows:
        add_words(path, "water", row.split("; "), by="test")
    return water_page(open_case(path))


def test_toxic_ammonia_and_oxygen_are_those_of_the_printed_tables(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Emerson et al. 1975: 3.5 % at pH 7.8 and 25 C; Benson and Krause 1984:
    8.26 mg/L at 25 C, fresh, 1 atm (both as recalled; the formulas are tested on their tables)."""
    row = "temperature=25 C; ph=7.8; ammonia=1 mg/L as N; oxygen=7 mg/L"
    sheet = made(tmp_path, monkeypatch, row).sheets[0]
    assert sheet.ammonia[0].replace("\xa0", " ").startswith("3.5 % of it is the toxic form")
    bars = {bar.name: bar for bar in sheet.oxygen}
    assert bars["full, at this temperature"].words.replace("\xa0", " ") == "8.3 mg/L"
    assert bars["last read by day"].length / bars["full, at this temperature"].length == (
        pytest.approx(7 / 8.26, rel=0.01)
    )
    assert (bars["at dawn"].kind, bars["at dawn"].words) == ("not known", "not measured")


def test_each_reading_stands_on_its_time_line_and_old_ones_say_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = made(
        tmp_path, monkeypatch,
        "temperature=24 C; on=2026-03-17T18:30", "temperature=25 C; on=2026-03-18T18:30",
        "nitrite=0 mg/L as N",
    )  # fmt: skip
    strips = {strip.name: strip for strip in page.sheets[0].strips}
    warm = strips["temperature"]
    assert warm.places == pytest.approx((6, 170))  # 48 h and 24 h ago on a line of 48 h to 334
    assert warm.spread.replace("\xa0", " ") == "24 C to 25 C, rising"
    assert not strips["nitrite"].is_old
    assert page.sheets[0].ammonia == ("The toxic part cannot be worked out without: ph, ammonia.",)


def test_danger_comes_first_and_no_reading_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = made(tmp_path, monkeypatch, "ph=7; nitrite=0 mg/L as N; oxygen=6 mg/L")
    assert [strip.name for strip in page.sheets[0].strips] == ["oxygen", "nitrite", "pH"]
    (tmp_path / "b").mkdir()
    assert made(tmp_path / "b", monkeypatch).lead.startswith("No reading yet")


def test_what_was_not_read_or_is_old_is_measured_first_in_the_order_of_danger(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T14: oxygen kills first; ammonia says nothing without pH and temperature."""
    page = made(tmp_path, monkeypatch, "nitrite=0 mg/L as N", "temperature=24 C")
    said = page.sheets[0].first
    assert said == (
        "Measure first: oxygen (not measured), then ammonia (not measured), then pH (not measured)."
    )
    fresh = made(
        tmp_path / "b", monkeypatch, "nitrite=0 mg/L as N; temperature=24 C; ph=7.5; oxygen=8 mg/L;"
        " ammonia=0 mg/L as N"
    )  # fmt: skip
    assert fresh.sheets[0].first == ""


def test_the_dawn_to_come_is_worked_out_from_one_reading_by_day_and_one_at_dawn(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T15: with the water as it is the night falls as the last one did (5.1 mg/L); warmed less.

    Without both readings nothing is said of the night.
    """
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-17T08:00+00:00")
    path = tmp_path / "elm.jsonl"
    new_case(path, Opening("Elm", "keeper", "fresh", "UTC"), by="test")
    add_words(path, "system", ("main", "inside-length=100 cm", "inside-width=40 cm",
              "water-height=40 cm", "hose=10 L/min for 16 min"), by="test")  # fmt: skip
    add_words(path, "stock", ("name=cardinal tetra", "count=30", "length=3 cm"), by="test")
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-19T18:30+00:00")
    day = ("temperature=24 C", "ph=8.6", "oxygen=8.2 mg/L", "on=2026-03-18T18:30")
    add_words(path, "water", day, by="test")
    alone = {bar.name: bar for bar in water_page(open_case(path)).sheets[0].oxygen}
    assert alone["at the dawn to come"].kind == "not known"
    dawn = ("ph=7.4", "oxygen=5.1 mg/L", "dawn=yes", "on=2026-03-19T06:00")
    add_words(path, "water", dawn, by="test")
    sheet = water_page(open_case(path)).sheets[0]
    bars = {bar.name: bar for bar in sheet.oxygen}
    read, ahead = bars["at dawn"], bars["at the dawn to come, at least"]
    assert ahead.length == pytest.approx(read.length, rel=0.05)
    (warmed,) = (bar for name, bar in bars.items() if name.startswith("at dawn, warmed"))
    assert warmed.length < ahead.length
    assert "At most 1 C a day" in sheet.warming.replace("\xa0", " ")
    assert sheet.swing.replace("\xa0", " ") == (
        "Between dawn and day: oxygen 5.1 mg/L at dawn, 8.2 mg/L by day; "
        "pH 7.4 at dawn, 8.6 by day."
    )
