"""Two courses in one drawing: told apart without colour, on a scale that can be read back."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from math import log1p

import pytest

from tankside.present.figures.fan import Band
from tankside.present.figures.two_fans import DESK, PHONE, FanSheet, LaidFan, key_of, two_fans

A = LaidFan("A", (Band(0, 5, 50), Band(10, 0, 20)), (0.75, 1.75), (2.0,))
B = LaidFan("B", (Band(0, 5, 50), Band(10, 0, 99)), (), (1.0, 2.0, 3.0))
SVG = "{http://www.w3.org/2000/svg}"


def drawn(sheet: FanSheet = DESK, stop: float | None = 5) -> str:
    return two_fans((A, B), 10, lambda day: f"{day} Mar", 'said & "done"', sheet, stop)


@pytest.mark.parametrize("sheet", [DESK, PHONE], ids=lambda sheet: sheet.key)
def test_it_is_well_formed_speaks_its_words_and_stays_on_its_sheet(sheet: FanSheet) -> None:
    root = ET.fromstring(drawn(sheet))
    assert root.attrib["aria-label"] == 'said & "done"'
    assert root.attrib["viewBox"] == f"0 0 {sheet.wide} {sheet.high}"
    for path in root.iter("path"):
        for x in re.findall(r"[ML](-?[\d.]+) ", path.attrib["d"]):
            assert 0 <= float(x) <= sheet.wide


def test_it_has_no_style_no_script_and_no_colour_but_the_ink_of_the_page() -> None:
    text = drawn()
    assert "style" not in text
    assert "script" not in text
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', text))
    assert colours == {"currentColor", "none", "url(#hatch-desk)"}


def test_the_edge_of_the_second_is_dashed_and_its_marks_are_open() -> None:
    root = ET.fromstring(drawn())
    diamonds = [p for p in root.iter("path") if p.attrib["d"].endswith("z") and
                p.attrib.get("stroke-width") == "1.5"]  # fmt: skip
    assert [p.attrib["fill"] for p in diamonds] == ["currentColor"] * 2
    dashed = [p for p in root.iter("path") if p.attrib.get("stroke-dasharray") == "6 4"]
    assert len(dashed) == 1
    assert [line[0] for line in key_of((A, B))] == ["A", "B"]


def test_a_count_stands_where_the_log_of_it_and_one_puts_it() -> None:
    """99 is the highest: at the top; 20 on day 10 of A is log 21 / log 100 of the way up."""
    room = DESK.floor - DESK.top
    y = DESK.floor - room * log1p(20) / log1p(99)
    x = DESK.wide - DESK.right
    assert f"{x:.1f} {y:.1f}" in drawn()
    assert f"{x:.1f} {DESK.top:.1f}" in drawn()


def test_the_earliest_stop_is_a_double_line_and_left_out_where_there_is_none() -> None:
    assert "no stop before" in drawn()
    assert "no stop before" not in drawn(stop=None)


def test_on_a_phone_fewer_dates_are_named_and_none_lies_outside() -> None:
    many = two_fans((A, B), 70, lambda day: f"{day} Mar", "said", PHONE)
    dates = re.findall(r">(\d+) Mar<", many)
    assert 2 <= len(dates) <= 4
