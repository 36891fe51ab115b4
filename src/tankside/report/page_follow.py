"""The page of the follow-up: counts, the date to wait for, and what may be expected."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.case import CaseView
from tankside.errors import Mistake
from tankside.lifecycle.results.outcome import Quantiles
from tankside.present.blocks import Block, Page, Words
from tankside.present.drawing import drawing
from tankside.present.figures import Band, Seen, StageDays, fan, stage_areas
from tankside.quantity.moment import hours_between
from tankside.quantity.per import HOURS_PER_DAY
from tankside.report.follow_text import follow_text
from tankside.report.page import OpenCase
from tankside.report.seen import count_and_death_blocks
from tankside.services.earliest_stop import earliest_stop
from tankside.services.follow import FollowUp, follow
from tankside.services.forecast import Ahead, Forecast, forecast
from tankside.services.forecast_dates import dates_text, published_dates

SPOTS = "spots a person counts on the worst fish"
SLIDE = "parasites on one slide"


def follow_page(case: OpenCase, worked_out: tuple[Block, ...] | None) -> Page:
    """Return the follow-up of the case.

    Args:
        case: the case.
        worked_out: what ``work_out`` gave; None while it is still being worked out.
    """
    blocks: list[Block] = [_waiting(case.view)]
    if worked_out is None:
        note = "Histories are being compared with the counts. This page reloads itself."
        blocks.append(Words("Being worked out", (note,), "WAIT"))
    else:
        blocks += worked_out
    lead = "" if case.view.counts else "No count yet: the course cannot be judged."
    return Page("follow", "Follow-up", lead, (*blocks, *count_and_death_blocks(case.view)))


def work_out(case: OpenCase) -> tuple[Block, ...]:
    """Hold the counts against the course and foretell it; takes seconds.

    What cannot be worked out is told in words; nothing is raised.
    """
    blocks: list[Block] = []
    try:
        blocks += _answer(follow(case.stored.path))
    except Mistake as missing:
        blocks.append(Words(missing.message, (missing.next_step,), missing.code))
    try:
        blocks += _pictures(case, forecast(case.stored.path))
    except Mistake as missing:
        blocks.append(Words(missing.message, (missing.next_step,), missing.code))
        blocks += _in_print(case)
    return tuple(blocks)


def _in_print(case: OpenCase) -> Iterable[Block]:
    """Return the dates that print supports where there is no forecast."""
    dates = published_dates(case.stored.path, None)
    if dates is not None and dates.times and dates.missing:
        head, *lines = dates_text(dates).split("\n")
        yield Words(head, tuple(line.strip() for line in lines))


def _waiting(view: CaseView) -> Words:
    try:
        found = earliest_stop(view)
    except Mistake as missing:
        return Words("The date to wait for", (missing.message, missing.next_step))
    return Words("The date to wait for", (found.words, "DO NOT stop because the spots are gone."))


def _answer(found: FollowUp) -> Iterable[Block]:
    """Return the answer of ``tankside follow``, paragraph by paragraph."""
    _, *blocks = follow_text(found).split("\n\n")
    for block in blocks:
        lines = [line.strip() for line in block.split("\n") if line.strip()]
        if not lines:
            continue
        if len(lines) > 1 and lines[0].isupper():
            yield Words(lines[0].capitalize(), tuple(lines[1:]), lines[0].split(":")[0])
        elif lines[0].startswith("ADVICE"):
            yield Words("Advice", tuple(lines), "ADVICE")
        else:
            told = tuple(line for line in lines if not line.startswith(("NOT BEFORE", "DO NOT")))
            yield Words(_title(lines[0]), told)


def _title(first: str) -> str:
    """Return what a paragraph of the answer is about."""
    if first.startswith("NOT BEFORE"):
        return "What a clean look can show"
    return "Next" if first.startswith("Next look") else "What is left"


def _pictures(case: OpenCase, found: Forecast) -> Iterable[Block]:
    counts = seen_on_worst(case.view, found) if found.spots else []
    for ahead in found.ahead:
        figure = fan(bands(ahead), counts, what=what_is_counted(found), course=ahead.name)
        yield drawing(f"Against what was to be expected: {ahead.name}", figure)
    followed = found.ahead[0]
    yield drawing("Where it is", stage_areas(stages(followed), followed.name))


def what_is_counted(found: Forecast) -> str:
    """Say what the bands of ``bands`` count."""
    return SPOTS if found.spots else SLIDE


def bands(ahead: Ahead) -> list[Band]:
    """Return the bands of what a person counts, while a fish lives."""
    return [as_band(day.day, day.counted) for day in ahead.days if day.counted is not None]


def as_band(day: int, found: Quantiles) -> Band:
    """Return one day of a spread as a band with its inner half."""
    return Band(day, found.low, found.high, (found.lower, found.upper))


def stages(ahead: Ahead) -> list[StageDays]:
    """Return the middle number of each stage by day."""
    return [
        StageDays(d.day, d.on_fish.middle, d.bottom.middle, d.swimmers.middle) for d in ahead.days
    ]


def seen_on_worst(view: CaseView, found: Forecast) -> list[Seen]:
    """Return the highest count by eye of each day, in days of the course."""
    highest: dict[float, float] = {}
    for count in view.counts:
        if count.method != "by_eye" or count.number is None:
            continue
        day = float(int(hours_between(found.case.zero, count.moment) // HOURS_PER_DAY))
        if day >= 0:
            highest[day] = max(highest.get(day, 0.0), float(count.number))
    return [Seen(day, number) for day, number in sorted(highest.items())]
