"""Two courses laid over each other: what a person counts in each, over one axis of days.

The first is a filled band with a whole edge, the second a hatched band with a dashed edge, so that
they are told apart without colour. Below stand the doses and water changes of each. It is drawn
twice, for the desk and for a phone: a drawing that is only made smaller cannot be read there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from html import escape
from math import log1p

from tankside.claims import setting
from tankside.present.figures.fan import Band
from tankside.present.figures.figure import INK

FILLED = setting(0.24, "light enough that the hatching over it is seen")
TICKS = (0, 1, 3, 10, 30, 100, 300, 1000)
WEEK = 7
LEAST_APART, MOST_DAYS = 19, 8
"""Pixels between two ticks of the counts; days named below at most."""


@dataclass(frozen=True, slots=True)
class LaidFan:
    """One of the two.

    Args:
        letter: by which the drawing calls it.
        bands: day by day, while a fish lives.
        doses: days on which something is weighed in, what is put back with new water too.
        water: days on which water is changed or the bottom siphoned.
    """

    letter: str
    bands: tuple[Band, ...]
    doses: tuple[float, ...]
    water: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class FanSheet:
    """The room of a drawing, in its own units."""

    key: str
    wide: int
    high: int
    left: int = 66
    right: int = 12
    top: int = 22
    row: int = 24
    mark: float = 6

    @property
    def floor(self) -> int:
        """Where the counts end and the rows begin."""
        return self.high - 4 * self.row - 30


DESK, PHONE = FanSheet("desk", 640, 420), FanSheet("phone", 350, 400, left=62, right=8, mark=3.5)


@dataclass(frozen=True, slots=True)
class _Axes:
    sheet: FanSheet
    days: int
    top: float

    def x(self, day: float) -> float:
        room = self.sheet.wide - self.sheet.left - self.sheet.right
        return self.sheet.left + room * min(day, self.days) / self.days

    def y(self, count: float) -> float:
        room = self.sheet.floor - self.sheet.top
        return self.sheet.floor - room * log1p(count) / log1p(self.top)


def two_fans(
    fans: tuple[LaidFan, LaidFan],
    days: int,
    name_of: Callable[[int], str],
    words: str,
    sheet: FanSheet = DESK,
    not_before: float | None = None,
) -> str:
    """Return the drawing as SVG in the ink of the page around it.

    Low counts are drawn taller than they are (log of the count and one).

    Args:
        fans: the two courses.
        days: how long both are followed [d].
        name_of: what a day is called below the axis.
        words: the same in words, for who does not see it.
        sheet: its room.
        not_before: the earliest day a stop may be discussed; None for none on this axis.
    """
    top = max((band.high for fan in fans for band in fan.bands), default=1.0)
    axes = _Axes(sheet, days, max(top, 1.0))
    drawn = (
        *_counts(axes),
        *_fan(axes, fans[0], f'fill="{INK}" fill-opacity="{FILLED:g}"', ""),
        *_fan(axes, fans[1], f'fill="url(#hatch-{sheet.key})"', ' stroke-dasharray="6 4"'),
        *_rows(axes, fans),
        *_dates(axes, name_of),
        *(() if not_before is None else _rule(axes, not_before)),
    )
    return (
        f'<svg viewBox="0 0 {sheet.wide} {sheet.high}" role="img" '
        f'aria-label="{escape(words, quote=True)}">{_hatch(sheet)}{"".join(drawn)}</svg>'
    )


def _hatch(sheet: FanSheet) -> str:
    return (
        f'<defs><pattern id="hatch-{sheet.key}" width="7" height="7" '
        'patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<path d="M0 0V7" stroke="{INK}" stroke-width="1.6"/></pattern></defs>'
    )


def _counts(axes: _Axes) -> Iterator[str]:
    """Draw the scale of counts; a tick too near to the one below it is left out."""
    sheet, last = axes.sheet, axes.y(0) + LEAST_APART
    for count in TICKS:
        y = axes.y(count)
        if count > axes.top or last - y < LEAST_APART:
            continue
        last = y
        yield (
            f'<path d="M{sheet.left} {y:.1f}H{sheet.wide - sheet.right}" stroke="{INK}" '
            'stroke-opacity=".2" fill="none"/>'
            f'<text x="{sheet.left - 7}" y="{y + 5:.1f}" text-anchor="end" font-size="14" '
            f'fill="{INK}">{count}</text>'
        )


def _fan(axes: _Axes, fan: LaidFan, fill: str, dashes: str) -> Iterator[str]:
    if not fan.bands:
        return
    up = [f"{axes.x(b.day):.1f} {axes.y(b.high):.1f}" for b in fan.bands]
    down = [f"{axes.x(b.day):.1f} {axes.y(b.low):.1f}" for b in reversed(fan.bands)]
    yield f'<path d="M{"L".join((*up, *down))}z" {fill} stroke="none"/>'
    yield (
        f'<path d="M{"L".join(up)}M{"L".join(down)}" fill="none" stroke="{INK}" '
        f'stroke-width="2"{dashes}/>'
    )


def _rows(axes: _Axes, fans: tuple[LaidFan, LaidFan]) -> Iterator[str]:
    """Draw a row of doses and one of water for each course, its letter in front."""
    sheet = axes.sheet
    yield (
        f'<path d="M{sheet.left} {sheet.floor}H{sheet.wide - sheet.right}" stroke="{INK}" '
        'stroke-width="2" fill="none"/>'
    )
    rows = [(f.letter, marks, mark) for f in fans for marks, mark in (
        (f.doses, _dose), (f.water, _water))]  # fmt: skip
    for number, (letter, days, mark) in enumerate(rows):
        y = sheet.floor + sheet.row * number + sheet.row / 2 + 2
        said = f"{letter} {'dose' if mark is _dose else 'water'}"
        yield (
            f'<text x="{sheet.left - 7}" y="{y + 4:.1f}" text-anchor="end" font-size="14" '
            f'fill="{INK}">{escape(said)}</text>'
        )
        whole = number < len(rows) / 2
        for day in days:
            yield mark(axes.x(day), y, sheet.mark, whole)


def _dose(x: float, y: float, half: float, whole: bool) -> str:
    fill = INK if whole else "none"
    edge = f"l{half:g} {half:g}l-{half:g} {half:g}l-{half:g} -{half:g}z"
    return (
        f'<path d="M{x:.1f} {y - half:.1f}{edge}" fill="{fill}" stroke="{INK}" stroke-width="1.5"/>'
    )


def _water(x: float, y: float, half: float, whole: bool) -> str:
    dashes = "" if whole else ' stroke-dasharray="3 2"'
    return (
        f'<path d="M{x:.1f} {y - 6:.1f}v12" stroke="{INK}" stroke-width="2" fill="none"{dashes}/>'
    )


def _dates(axes: _Axes, name_of: Callable[[int], str]) -> Iterator[str]:
    sheet = axes.sheet
    weeks = -(-axes.days // WEEK)
    fit = max(1, (sheet.wide - sheet.left) // 72)
    every = WEEK * -(-weeks // min(fit, MOST_DAYS))
    for day in range(0, axes.days, every):
        x = axes.x(day)
        anchor = "start" if day == 0 else "middle"
        yield (
            f'<path d="M{x:.1f} {sheet.top}V{sheet.high - 26}" stroke="{INK}" '
            'stroke-opacity=".2" fill="none"/>'
            f'<text x="{x:.1f}" y="{sheet.high - 8}" text-anchor="{anchor}" font-size="14" '
            f'fill="{INK}">{escape(name_of(day))}</text>'
        )


def _rule(axes: _Axes, day: float) -> Iterator[str]:
    x, sheet = axes.x(day), axes.sheet
    for beside in (-2, 2):
        yield (
            f'<path d="M{x + beside:.1f} {sheet.top}V{sheet.floor}" stroke="{INK}" '
            'stroke-width="1.5" fill="none"/>'
        )
    late = day > axes.days / 2
    anchor, off = ("end", -6) if late else ("start", 6)
    yield (
        f'<text x="{x + off:.1f}" y="{sheet.top - 6}" text-anchor="{anchor}" font-size="14" '
        f'fill="{INK}">no stop before</text>'
    )


def key_of(fans: Sequence[LaidFan]) -> tuple[str, ...]:
    """Return how each of the two looks, in words, in their order."""
    looks = ("filled band, whole edge, solid marks", "hatched band, dashed edge, open marks")
    return tuple(f"{fan.letter}: {look}" for fan, look in zip(fans, looks, strict=True))
