"""Two courses laid over each other as a page: the answer, the drawing, the doses, the numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tankside.lifecycle import opposite
from tankside.present.blocks import Block, Drawing, Page, Rows, Words
from tankside.present.figures.fan import Band
from tankside.present.figures.two_fans import DESK, PHONE, FanSheet, LaidFan, key_of, two_fans
from tankside.present.table import Table
from tankside.quantity.dates import day_words
from tankside.quantity.per import HOURS_PER_DAY
from tankside.report.forecast_drawings import SLIDE, SPOTS
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.laid_over import LaidCourse, LaidOver

LETTERS = ("A", "B")
CHANGES = ("water_change", "siphon")
WEEK = 7
HOW = (
    "Each band holds 9 in 10 of the runs in which a fish lives: it is what is not known, not ups "
    "and downs. Both meet the same luck and the same claim values, so that what differs is the "
    "course. Low counts are drawn taller than they are."
)


@dataclass(frozen=True, slots=True)
class LaidPage:
    """Two courses laid over each other.

    Args:
        page: title, lead and pieces; the drawing is the first of them.
        names: what each is called, its letter in front.
        key: how each looks in the drawing.
        drawn: the drawing for the desk and for a phone.
    """

    page: Page
    names: tuple[str, ...]
    key: tuple[str, ...]
    drawn: tuple[str, str]


def laid_page(laid: LaidOver) -> LaidPage:
    """Return two courses laid over each other, ready to be shown and printed."""
    fans = _fans(laid)
    sentence = _sentence(laid)
    what = SPOTS if laid.by_eye else SLIDE
    drawn = _drawn(laid, fans, sentence, DESK), _drawn(laid, fans, sentence, PHONE)
    names = tuple(f"{letter}. {c.name}" for letter, c in zip(LETTERS, laid.courses, strict=True))
    blocks: tuple[Block, ...] = (
        Drawing(f"Over the days: {what}", drawn[0], sentence, _table(laid, what)),
        Rows("What is weighed in, and when", _doses(laid), folded=True),
        Words(NOT_VALIDATED, (HOW, laid.not_before.words), "NOT VALIDATED"),
    )
    page = Page("plans", "Two courses laid over each other", _lead(laid), blocks)
    return LaidPage(page, names, key_of(fans), drawn)


def _lead(laid: LaidOver) -> str:
    first, second = (course.clear.words for course in laid.courses)
    return f"A is clear in {first} runs in the end, B in {second}."


def _sentence(laid: LaidOver) -> str:
    """Say both outcomes, and how high each may go."""
    parts = []
    for letter, course in zip(LETTERS, laid.courses, strict=True):
        highest = max(_bands(laid, course), key=lambda band: band.high, default=Band(0, 0, 0))
        clear = course.clear
        parts.append(
            f"{letter}, {course.name}: clear in {clear.words}, not clear in "
            f"{opposite(clear).words}; at most {_n(highest.high)} about "
            f"{_day(laid, int(highest.day))}."
        )
    return " ".join(parts)


def _fans(laid: LaidOver) -> tuple[LaidFan, LaidFan]:
    first, second = (
        LaidFan(
            letter,
            tuple(_bands(laid, course)),
            tuple(sorted({amount.hour / HOURS_PER_DAY for amount in course.run.amounts})),
            tuple(_when(course, CHANGES)),
        )
        for letter, course in zip(LETTERS, laid.courses, strict=True)
    )
    return first, second


def _bands(laid: LaidOver, course: LaidCourse) -> Iterator[Band]:
    for outcome in course.days:
        if outcome.counted is not None:
            day = min(outcome.hour / HOURS_PER_DAY, float(laid.horizon_days))
            yield Band(day, outcome.counted.low, outcome.counted.high)


def _when(course: LaidCourse, kinds: tuple[str, ...]) -> Iterator[float]:
    """Yield the days on which a step of these kinds is done."""
    for line in course.run.lines:
        if line.kind in kinds:
            yield line.hour / HOURS_PER_DAY


def _drawn(laid: LaidOver, fans: tuple[LaidFan, LaidFan], words: str, sheet: FanSheet) -> str:
    def name_of(day: int) -> str:
        return day_words(laid.clock.day(day)).rpartition(" ")[0].partition(" ")[2]

    return two_fans(fans, laid.horizon_days, name_of, words, sheet, _stop(laid))


def _stop(laid: LaidOver) -> float | None:
    """Return the earliest day of a stop on the axis of both; None where it is not on it."""
    wait = laid.not_before.day
    if wait is None:
        return None
    day = wait - laid.case_day
    return float(day) if 0 < day < laid.horizon_days else None


def _table(laid: LaidOver, what: str) -> Table:
    rows = []
    days = [{outcome.day: outcome for outcome in course.days} for course in laid.courses]
    for day in range(0, laid.horizon_days, WEEK):
        spreads = (outcomes[day].counted for outcomes in days)
        cells = ("no fish" if s is None else f"{_n(s.low)} to {_n(s.high)}" for s in spreads)
        rows.append((_day(laid, day), *cells))
    return Table(what, ("day", "A: 9 in 10", "B: 9 in 10"), tuple(rows))


def _doses(laid: LaidOver) -> Table:
    """Return every amount of both, in order of time."""
    rows = []
    for letter, course in zip(LETTERS, laid.courses, strict=True):
        for amount in course.run.amounts:
            when = day_words(laid.clock.day_of(amount.hour))
            name = laid.agents.get(amount.agent, amount.agent)
            rows.append((amount.hour, (when, letter, amount.text, name)))
    listed = tuple(row for _, row in sorted(rows))
    return Table("doses of both", ("day", "course", "amount", "of what"), listed)


def _day(laid: LaidOver, day: int) -> str:
    return day_words(laid.clock.day(day))


def _n(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 10 or float(value).is_integer() else f"{value:.1f}"
