"""Figures: a chart, one sentence with the same facts, and a table."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

from tankside.course import CourseRun
from tankside.present.clock import CaseClock
from tankside.present.figures import (
    Band,
    Figure,
    Seen,
    StageDays,
    as_svg,
    course_chart,
    fan,
    stage_areas,
)

BANDS = [Band(day, 5 - day, 40 - day, (8 - day, 20 - day)) for day in range(5)]


def a_fan(what: str = "spots on the worst fish") -> Figure:
    seen = [Seen(0, 12), Seen(2, 0)]
    return fan(BANDS, seen, what=what, course="Salt", not_before=3)


def marks(spec: object) -> list[object]:
    if isinstance(spec, dict):
        own = [spec["mark"]] if "mark" in spec else []
        return own + [mark for value in spec.values() for mark in marks(value)]
    return [mark for item in spec for mark in marks(item)] if isinstance(spec, list) else []


def test_the_fan_has_two_bands_crosses_and_no_middle_line() -> None:
    kinds = [mark["type"] for mark in marks(dict(a_fan().spec))]  # type: ignore[index]
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
    assert len(figure.spec["vconcat"]) == 3  # type: ignore[arg-type]
    ET.fromstring(as_svg(figure))
    assert "3000" in figure.sentence


def test_the_time_line_holds_every_step_and_what_lasts(run: CourseRun, clock: CaseClock) -> None:
    figure = course_chart(run, clock)
    assert len(figure.table.rows) == len(run.lines)
    bars, points = (layer["data"]["values"] for layer in figure.spec["layer"])  # type: ignore
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
    kinds = [mark["type"] for mark in marks(dict(figure.spec))]  # type: ignore[index]
    assert kinds.count("area") == 1
    assert "The band holds 9 in 10" in figure.sentence
    assert figure.table.head == ("day", "9 in 10: from", "9 in 10: to")
