"""Figures: a chart, one sentence with the same facts, and a table."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Mapping
from dataclasses import replace
from math import inf
from typing import Any

import pytest

from tankside.course import CourseRun
from tankside.errors import BadInput
from tankside.present.clock import CaseClock
from tankside.present.figures import (
    Band,
    Clearing,
    Figure,
    Seen,
    StageDays,
    as_file,
    as_svg,
    course_chart,
    fan,
    forecast_chart,
    stage_areas,
)

BANDS = [Band(day, 5 - day, 40 - day, (8 - day, 20 - day)) for day in range(5)]


def a_fan(what: str = "spots on the worst fish") -> Figure:
    seen = [Seen(0, 12), Seen(2, 0)]
    return fan(BANDS, seen, what=what, course="Salt", not_before=3)


def marks(spec: object) -> list[Any]:
    if isinstance(spec, dict):
        mark_here = [spec["mark"]] if "mark" in spec else []
        return mark_here + [mark for value in spec.values() for mark in marks(value)]
    return [mark for item in spec for mark in marks(item)] if isinstance(spec, list) else []


def test_the_fan_has_two_bands_crosses_and_no_middle_line() -> None:
    kinds = [mark["type"] for mark in marks(dict(a_fan().spec))]
    assert kinds.count("area") == 2
    assert "point" in kinds
    assert "line" not in kinds


def test_sentence_and_table_say_what_the_chart_shows() -> None:
    figure = a_fan()
    for fact in ("40 about day 0", "12 on day 0, 0 on day 2", "day 3", "9 in 10"):
        assert fact in figure.sentence
    assert figure.table.rows[0] == ("0", "5", "8", "20", "40")
    assert len(figure.table.rows) == len(BANDS)


def test_svg_is_well_formed_speaks_its_sentence_and_holds_no_script_or_style() -> None:
    svg = as_svg(a_fan())
    root = ET.fromstring(svg)
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-label"] == a_fan().sentence
    assert "<script" not in svg
    assert "style=" not in svg
    assert "http" not in svg.replace("http://www.w3.org/", "")


def test_a_hostile_name_stays_text_in_svg() -> None:
    svg = as_svg(a_fan('"><script>alert(1)</script>'))
    assert "<script" not in svg
    ET.fromstring(svg)


def test_stages_stand_in_their_own_panels() -> None:
    days = [StageDays(day, 40 - day, 3000 - day, 100) for day in range(4)]
    figure = stage_areas(days, "Salt")
    spec: Any = figure.spec
    assert len(spec["vconcat"]) == 3
    ET.fromstring(as_svg(figure))
    assert "3000" in figure.sentence


def test_the_time_line_holds_every_step_and_what_lasts(run: CourseRun, clock: CaseClock) -> None:
    figure = course_chart(run, clock)
    assert len(figure.table.rows) == len(run.lines)
    spec: Any = figure.spec
    bars, points = (layer["data"]["values"] for layer in spec["layer"])
    assert {bar["what"] for bar in bars} == {"air stone on", "carbon out", "UV off"}
    assert len(points) == len(run.lines) - 3
    ET.fromstring(as_svg(figure))


def test_a_course_without_a_step_can_be_drawn(run: CourseRun, clock: CaseClock) -> None:
    empty = replace(run, lines=(), amounts=())
    assert "0 steps" in course_chart(empty, clock).sentence
    ET.fromstring(as_svg(course_chart(empty, clock)))


def test_without_quartiles_there_is_one_band_and_the_words_say_one() -> None:
    bands = [Band(day, 0, 40 - day) for day in range(3)]
    figure = fan(bands, [], what="spots", course="Salt")
    kinds = [mark["type"] for mark in marks(dict(figure.spec))]
    assert kinds.count("area") == 1
    assert "The band holds 9 in 10" in figure.sentence
    assert figure.table.head == ("day", "9 in 10: from", "9 in 10: to")


LONG = [Band(day, 1, 40 - day, (2, 20 - day / 2)) for day in range(26)]


def a_forecast() -> Figure:
    clear = Clearing("Salt", "17 of 20", (*(float(8 + k // 3) for k in range(17)), *([inf] * 3)))
    never = Clearing("no treatment", "fewer than 1 of 20", (inf,) * 20)
    return forecast_chart(LONG, LONG, [Seen(0, 12)], [clear, never], what="spots", course="Salt")


def dots(spec: Mapping[str, Any]) -> list[list[Mapping[str, float]]]:
    """The dots of each row: the layers of points without crosses."""
    rows = []
    for panel in spec["vconcat"]:
        for layer in panel["layer"]:
            mark = layer.get("mark", {})
            if mark.get("type") == "point" and mark.get("shape") != "cross":
                rows.append(layer["data"]["values"])
    return rows


def test_a_forecast_shows_20_dots_for_each_course_and_those_not_clear_aside() -> None:
    rows = dots(a_forecast().spec)
    assert [len(row) for row in rows] == [20, 20]
    last = max(band.day for band in LONG)
    treated = [dot["day"] for dot in rows[0]]
    assert sorted(treated)[:17] == [8 + k // 3 for k in range(17)]
    assert all(dot["day"] > last for dot in rows[1])
    places = {(dot["day"], dot["level"]) for dot in rows[1]}
    assert len(places) == 20  # no dot hides another


def test_a_forecast_says_in_words_what_it_draws_and_never_none() -> None:
    sentence = a_forecast().sentence
    assert "Salt: 17 of 20 runs clear, between day 8 and 13" in sentence
    assert "no treatment: fewer than 1 of 20 runs clear" in sentence
    assert a_forecast().table.rows[1][1:] == ("not clear",) * 20


def test_a_forecast_has_bands_without_a_middle_line() -> None:
    kinds = [mark["type"] for mark in marks(dict(a_forecast().spec))]
    assert kinds.count("area") == 4
    assert "line" not in kinds


@pytest.mark.parametrize(("kind", "begins"), [(".png", b"\x89PNG"), (".pdf", b"%PDF")])
def test_a_figure_on_paper_is_black_on_white(kind: str, begins: bytes) -> None:
    assert as_file(a_forecast(), kind).startswith(begins)
    ET.fromstring(as_file(a_forecast(), ".svg"))
    with pytest.raises(BadInput, match="E-PRINT-03"):
        as_file(a_forecast(), ".bmp")
