"""Where the parasite is, day by day: on the fish, on the bottom, in the water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.present.figures.figure import INK, Figure, Spec, chart
from tankside.present.table import Table

PLACES = ("on the fish", "on the bottom", "in the water")
SHADES = {"on the fish": 0.75, "on the bottom": 0.4, "in the water": 0.15}


@dataclass(frozen=True, slots=True)
class StageDays:
    """The middle number of each stage on one day."""

    day: float
    on_fish: float
    on_bottom: float
    in_water: float


def stage_areas(days: Sequence[StageDays], course: str) -> Figure:
    """Return the three stages as panels over one day axis, each with its own scale.

    Numbers on the bottom dwarf those on the fish, so the panels do not share a scale; the titles
    say what each shows.
    """
    first, last = days[0], days[-1]
    peak = max(days, key=lambda day: day.on_bottom)
    sentence = (
        f"{course}: in the middle of all runs {_n(last.on_fish)} parasites are on the fish, "
        f"{_n(last.on_bottom)} on the bottom and {_n(last.in_water)} in the water on day "
        f"{_n(last.day)}, from {_n(first.on_fish)} on the fish at the start; most lie on the "
        f"bottom on day {_n(peak.day)} ({_n(peak.on_bottom)}), where no eye sees them."
    )
    values = [
        {"day": day.day, PLACES[0]: day.on_fish, PLACES[1]: day.on_bottom, PLACES[2]: day.in_water}
        for day in days
    ]
    panels = [_panel(place, place == PLACES[-1]) for place in PLACES]
    spec: dict[str, object] = dict(chart(sentence, 90, []))
    for key in ("layer", "width", "height"):
        del spec[key]
    spec |= {"data": {"values": values}, "vconcat": panels, "spacing": 12}
    rows = tuple((_n(d.day), _n(d.on_fish), _n(d.on_bottom), _n(d.in_water)) for d in days)
    table = Table("parasites by place, middle of all runs", ("day", *PLACES), rows)
    return Figure("stages", spec, sentence, table)


def _panel(place: str, last: bool) -> Spec:
    axis: dict[str, object] = {"field": "day", "type": "quantitative"}
    axis |= {"title": "days since the start"} if last else {"title": None}
    return {
        "width": 560,
        "height": 78,
        "mark": {"type": "area", "color": INK, "opacity": SHADES[place], "line": {"color": INK}},
        "encoding": {
            "x": axis,
            "y": {"field": place, "type": "quantitative", "title": place,
                  "axis": {"tickCount": 3, "format": "~s"}},
        },
    }  # fmt: skip


def _n(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 10 or float(value).is_integer() else f"{value:.1f}"
