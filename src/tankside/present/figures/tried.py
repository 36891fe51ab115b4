"""Small drawings of an invented tank, made of plain shapes so that they come at once."""

from __future__ import annotations

from collections.abc import Sequence
from math import log1p

from tankside.present.figures.fan import Band
from tankside.quantity.show import NO_BREAK

WIDE, HIGH, LEFT, BELOW = 560, 240, 60, 42
ROW = 54


def small_fan(bands: Sequence[Band], days: int, done: Sequence[int], words: str) -> str:
    """Return the fan of what a person counts, with a tick for each day on which work was done.

    Low counts are drawn taller than they are (log of the count and one), as on the cards of cases.

    Args:
        bands: day by day, while a fish lives.
        days: how long the tank is played.
        done: days of work.
        words: the same in words, for who does not see it.
    """
    top = max((band.high for band in bands), default=1.0)

    def at(day: float, count: float) -> str:
        x = LEFT + (WIDE - LEFT - 10) * day / days
        y = (HIGH - BELOW) - (HIGH - BELOW - 14) * log1p(count) / log1p(max(top, 1.0))
        return f"{x:.1f} {y:.1f}"

    outer = _band([(b.day, b.low, b.high) for b in bands], at)
    inner = _band([(b.day, *b.inner) for b in bands if b.inner is not None], at)
    floor = HIGH - BELOW
    ticks = "".join(f'<path class="n" d="M{at(d, 0).split()[0]} {floor}v7"/>' for d in done)
    marks = "".join(_count(count, at) for count in (1, 10, 100, 1000) if count <= top)
    weeks = "".join(
        f'<text class="s mid" x="{at(day, 0).split()[0]}" y="{HIGH - 6}">day {day}</text>'
        for day in range(7, days + 1, 7)
    )
    return (
        f'<svg viewBox="0 0 {WIDE} {HIGH}" role="img" aria-label="{words}">{marks}'
        f'<path class="b1" d="{outer}"/><path class="b2" d="{inner}"/>'
        f'<path class="n" d="M{LEFT} {floor}H{WIDE - 10}"/>{ticks}{weeks}</svg>'
    )


def stage_bars(rows: Sequence[tuple[str, float, float, str]], words: str) -> str:
    """Return one bar a stage from its fast to its slow end, over one axis of days.

    Args:
        rows: name, low and high [d], and the same in words.
        words: all of it in words.
    """
    longest = max(high for _, _, high, _ in rows)
    parts = []
    for place, (name, low, high, said) in enumerate(rows):
        y = place * ROW
        start, end = ((WIDE - 10) * value / longest for value in (low, high))
        parts.append(
            f'<text x="0" y="{y + 22}">{name}: <tspan class="b">{said}</tspan></text>'
            f'<rect class="b2" x="0" y="{y + 30}" width="{start:.1f}" height="12"/>'
            f'<rect class="b1" x="{start:.1f}" y="{y + 30}" width="{max(end - start, 2):.1f}" '
            'height="12"/>'
        )
    high = len(rows) * ROW
    return (
        f'<svg viewBox="0 0 {WIDE} {high}" role="img" aria-label="{words}">{"".join(parts)}</svg>'
    ).replace(NO_BREAK, "&#160;")


def _band(rows: Sequence[tuple[float, float, float]], at: object) -> str:
    assert callable(at)
    if not rows:
        return ""
    up = [at(day, high) for day, _, high in rows]
    down = [at(day, low) for day, low, _ in reversed(rows)]
    return f"M{'L'.join(up)}L{'L'.join(down)}z"


def _count(count: int, at: object) -> str:
    assert callable(at)
    y = float(at(0, count).split()[1])
    return (
        f'<path class="hair" d="M{LEFT} {y:.1f}H{WIDE - 10}"/>'
        f'<text class="s end" x="{LEFT - 6}" y="{y + 5:.1f}">{count}</text>'
    )
