"""The fan: what may be seen from day to day, as two bands without a middle line.

A middle line is read as the forecast and a band as daily ups and downs; so there is none, what was
really seen stands on top as crosses, and one sentence says what the bands mean.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.present.figures.figure import INK, Figure, Spec, chart
from tankside.present.table import Table


@dataclass(frozen=True, slots=True)
class Band:
    """What one day may show: 9 in 10 runs lie between ``low`` and ``high``, half in ``inner``."""

    day: float
    low: float
    high: float
    inner: tuple[float, float] | None = None


STRETCH_FROM = 60
"""Bands that reach higher are drawn on a stretched scale."""
_BAND = "The band holds 9 in 10 of them; it is what is not known, not daily ups and downs."
_BANDS = "The dark band holds half of them, the light 9 in 10: not known, not ups and downs."


@dataclass(frozen=True, slots=True)
class Seen:
    """What was really counted on a day."""

    day: float
    value: float


def fan(
    bands: Sequence[Band],
    seen: Sequence[Seen],
    *,
    what: str,
    course: str,
    day_title: str = "days since the start",
    not_before: float | None = None,
) -> Figure:
    """Return the fan of one course.

    Args:
        bands: one for each day, rising.
        seen: counts, if any.
        what: what is counted, for example "spots on the worst fish".
        course: name of the course the bands belong to.
        day_title: words under the day axis.
        not_before: earliest day a stop may be discussed; None when there is none.
    """
    sentence = _sentence(bands, seen, what, course, not_before)
    values = [
        {"day": b.day, "low": b.low, "high": b.high}
        | ({} if b.inner is None else {"il": b.inner[0], "ih": b.inner[1]})
        for b in bands
    ]
    halves = all(band.inner is not None for band in bands)
    day = {"field": "day", "type": "quantitative", "title": day_title}
    data = {"data": {"values": values}}
    scale = stretched(max(band.high for band in bands))
    layers: list[Spec] = [
        {**data, **area("low", "high", 0.22, what, day, scale)},
        *([{**data, **area("il", "ih", 0.34, what, day, scale)}] if halves else []),
        crosses(seen, day),
    ]
    if not_before is not None:
        layers.append(_rule(not_before, day))
    rows = tuple(tuple(_n(v) for v in (b.day, b.low, *(b.inner or ()), b.high)) for b in bands)
    inner = ("half: from", "half: to") if halves else ()
    head = ("day", "9 in 10: from", *inner, "9 in 10: to")
    return Figure("fan", chart(sentence, 260, layers), sentence, Table(what, head, rows))


def area(low: str, high: str, opacity: float, what: str, day: Spec, scale: Spec) -> Spec:
    """Return a band between two fields, without a middle line."""
    return {
        "mark": {"type": "area", "color": INK, "opacity": opacity, "interpolate": "monotone"},
        "encoding": {
            "x": day,
            "y": {"field": low, "type": "quantitative", "title": what, **scale},
            "y2": {"field": high},
        },
    }


def stretched(highest: float) -> Spec:
    """Return a scale on which a count of 1 and one of 1,000 can both be read."""
    if highest <= STRETCH_FROM:
        return {}
    ticks = [0, *(n * 10**power for power in range(5) for n in (1, 3))]
    shown = [tick for tick in ticks if tick <= highest]
    return {"scale": {"type": "symlog"}, "axis": {"values": shown}}


def crosses(seen: Sequence[Seen], day: Spec) -> Spec:
    """Return what was really counted, as crosses."""
    return {
        "data": {"values": [{"day": s.day, "seen": s.value} for s in seen]},
        "mark": {"type": "point", "shape": "cross", "filled": True, "size": 150, "color": INK,
                 "angle": 45, "opacity": 1},
        "encoding": {"x": day, "y": {"field": "seen", "type": "quantitative"}},
    }  # fmt: skip


def _rule(at: float, day: Spec) -> Spec:
    return {
        "data": {"values": [{"day": at, "words": "not before"}]},
        "layer": [
            {"mark": {"type": "rule", "color": INK, "strokeDash": [6, 4], "strokeWidth": 2},
             "encoding": {"x": day}},
            {"mark": {"type": "text", "align": "left", "dx": 5, "baseline": "top"},
             "encoding": {"x": day, "y": {"value": 2}, "text": {"field": "words"}}},
        ],
    }  # fmt: skip


def _sentence(
    bands: Sequence[Band], seen: Sequence[Seen], what: str, course: str, not_before: float | None
) -> str:
    first, last = bands[0], bands[-1]
    top = max(bands, key=lambda band: band.high)
    words = [
        f"{course}: {what} may reach {_n(top.high)} about day {_n(top.day)}; on day "
        f"{_n(last.day)} 9 in 10 such tanks show {_n(last.low)} to {_n(last.high)}.",
        _BANDS if first.inner is not None else _BAND,
    ]
    if seen:
        counts = ", ".join(f"{_n(s.value)} on day {_n(s.day)}" for s in seen)
        words.append(f"Crosses are what was counted, and an eye misses some: {counts}.")
    if not_before is not None and not_before >= first.day:
        words.append(
            f"Dashed line: the earliest day a stop may be discussed, day {_n(not_before)}."
        )
    return " ".join(words)


def _n(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 10 or float(value).is_integer() else f"{value:.1f}"
