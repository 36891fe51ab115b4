"""One picture of a forecast: what may be counted, what is really there, when 20 runs are clear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from tankside.present.figures.fan import Band, Seen, area, crosses, stretched
from tankside.present.figures.figure import CONFIG, INK, PADDING, WIDTH, Figure, Spec
from tankside.present.table import Table

PANEL = 130
ROW = 64
DOT = 50
STACK = 7
"""Dots on top of each other before the next column begins."""
NOT_CLEAR = "not clear"
BANDS = "dark: half of the runs lie here; light: 18 of 20. Not known, not ups and downs."
THERE = "parasites on a fish, those on the gills and too young to be seen as well"
CROSSES = " Crosses: counted."


@dataclass(frozen=True, slots=True)
class Clearing:
    """When a course is clear for good.

    Args:
        course: its name.
        words: in how many runs, for example "17 of 20" or "fewer than 1 of 20".
        days: the day of each of 20 runs that stand for all, infinite for not clear.
    """

    course: str
    words: str
    days: tuple[float, ...]


def forecast_chart(
    counted: Sequence[Band],
    there: Sequence[Band],
    seen: Sequence[Seen],
    clearing: Sequence[Clearing],
    *,
    what: str,
    course: str,
) -> Figure:
    """Return the picture of a forecast.

    Args:
        counted: what a person may count, day by day.
        there: parasites on a fish, day by day.
        seen: what was really counted.
        clearing: 20 runs of each course, the one of the bands first.
        what: what is counted, for example "spots on the worst fish".
        course: name of the course the bands belong to.
    """
    last = max(band.day for band in counted)
    end = last + _margin(last)
    ticks = list(range(0, int(last) + 1, 1 if last <= WEEKS else 2))
    day: Spec = {"field": "day", "type": "quantitative", "title": None,
                 "scale": {"domain": [0, end], "nice": False},
                 "axis": {"values": ticks, "title": None}}  # fmt: skip
    sentence = _sentence(clearing, what, course, last)
    note = BANDS + (CROSSES if seen else "")
    spec: dict[str, object] = {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "description": sentence,
        "title": {**_title(course), "fontWeight": "bold", "subtitle": note,
                  "subtitleColor": INK, "subtitleFontSize": 12, "offset": 12},
        "padding": PADDING,
        "config": CONFIG,
        "spacing": 14,
        "vconcat": [
            _bands(counted, what, day, seen),
            _bands(there, THERE, day, ()),
            *_dots(clearing, day, last),
        ],
    }  # fmt: skip
    rows = tuple((cleared.course, *(_n(value) for value in cleared.days)) for cleared in clearing)
    head = ("course", *(str(number) for number in range(1, 21)))
    return Figure("forecast", spec, sentence, Table("day of clearance of 20 runs", head, rows))


WEEKS = 21
"""Days that can stand under an axis one by one."""


def _margin(last: float) -> float:
    """Return room at the right for the runs that are not clear."""
    return max(2.0, last * 0.14)


def _bands(bands: Sequence[Band], title: str, day: Spec, seen: Sequence[Seen]) -> Spec:
    scale = stretched(max(band.high for band in bands))
    values = [
        {"day": b.day, "low": b.low, "high": b.high}
        | ({} if b.inner is None else {"il": b.inner[0], "ih": b.inner[1]})
        for b in bands
    ]
    halves = all(band.inner is not None for band in bands)
    data: Spec = {"data": {"values": values}}
    layers: list[Spec] = [
        {**data, **area("low", "high", 0.22, "", day, scale)},
        *([{**data, **area("il", "ih", 0.34, "", day, scale)}] if halves else []),
        *([crosses(seen, day)] if seen else []),
    ]
    return {"width": WIDTH, "height": PANEL, "title": _title(title), "layer": layers}


def _title(words: str) -> Spec:
    return {"text": words, "anchor": "start", "fontSize": 13, "fontWeight": "normal",
            "color": INK, "limit": WIDTH}  # fmt: skip


def _dots(clearing: Sequence[Clearing], day: Spec, last: float) -> list[Spec]:
    """Return one row of 20 dots for each course; dots of one day are stacked."""
    panels: list[Spec] = []
    for number, cleared in enumerate(clearing, 1):
        axis = {"title": "days since the start"} if number == len(clearing) else {}
        x = {**day, "axis": {**_axis(day), **axis}}
        clear = sum(isfinite(value) for value in cleared.days)
        words = f"clear for good in {cleared.words} runs, one dot each: {cleared.course}"
        layers = [_dot_layer(cleared, x, last), _aside(x, last, len(cleared.days) - clear)]
        panels.append({"width": WIDTH, "height": ROW, "title": _title(words), "layer": layers})
    return panels


def _axis(day: Spec) -> dict[str, object]:
    axis = day["axis"]
    return dict(axis) if isinstance(axis, dict) else {}


def _dot_layer(cleared: Clearing, x: Spec, last: float) -> Spec:
    step = _margin(last) / 6
    stacked: dict[float, int] = {}
    values = []
    for value in cleared.days:
        count = stacked[value] = stacked.get(value, 0) + 1
        columns, level = (0, count - 1) if isfinite(value) else divmod(count - 1, STACK)
        at = value if isfinite(value) else last + (2 + columns) * step
        values.append({"day": at, "level": level + 1})
    top = max([STACK, *(number for day, number in stacked.items() if isfinite(day))])
    return {
        "data": {"values": values},
        "mark": {"type": "point", "filled": True, "size": DOT, "color": INK, "opacity": 1},
        "encoding": {"x": x, "y": {"field": "level", "type": "quantitative", "axis": None,
                                   "scale": {"domain": [0, top + 1], "nice": False}}},
    }  # fmt: skip


def _aside(x: Spec, last: float, lost: int) -> Spec:
    """Return the line right of which the runs stand that are not clear, with their number."""
    at = last + _margin(last) / 6
    label = {"type": "text", "align": "left", "dx": 6, "dy": ROW / 2 + 10, "color": INK}
    return {
        "data": {"values": [{"day": at, "words": f"{lost} {NOT_CLEAR}"}]},
        "layer": [
            {"mark": {"type": "rule", "color": INK, "strokeDash": [2, 4]}, "encoding": {"x": x}},
            {"mark": label, "encoding": {"x": x, "text": {"field": "words"}}},
        ],
    }


def _sentence(clearing: Sequence[Clearing], what: str, course: str, last: float) -> str:
    courses = []
    for cleared in clearing:
        days = [value for value in cleared.days if isfinite(value)]
        if days:
            span = f"between day {_n(min(days))} and {_n(max(days))}"
            courses.append(f"{cleared.course}: {cleared.words} runs clear, {span}")
        else:
            courses.append(f"{cleared.course}: {cleared.words} runs clear by day {_n(last)}")
    return (
        f"Upper panels: {what} and parasites on a fish under {course}; the dark band holds half "
        f"of the runs, the light one 9 in 10: not known, not ups and downs. {'. '.join(courses)}."
    )


def _n(value: float) -> str:
    return f"{value:.0f}" if isfinite(value) else NOT_CLEAR
