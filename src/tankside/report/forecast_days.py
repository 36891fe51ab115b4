"""A forecast day by day: what is counted and what is there, and what a clean look is worth."""

from __future__ import annotations

from math import isfinite

from tankside.intake.counts import ANIMALS
from tankside.lifecycle.results.clean_look import CleanLook
from tankside.lifecycle.results.outcome import DayOutcome, Quantiles, shown
from tankside.present.blocks import Rows, Words
from tankside.present.table import Table
from tankside.quantity.dates import day_words
from tankside.quantity.per import HOURS_PER_DAY
from tankside.report.follow_document import earliest_date
from tankside.services.forecast_answer import CourseForecast, ForecastAnswer

WEEK = 7
"""Up to then every day is shown, later every second one."""
WHYS = (
    ("visible_from", "the young are too small to see, for {} of the stay"),
    ("body_share", "only {} sit on skin and fins, the rest on the gills"),
    ("eye_detection", "a person counts {} of the spots that could be seen"),
)


def clean_look_lines(answer: ForecastAnswer, course: CourseForecast) -> tuple[str, ...]:
    """Say what a clean look is worth on the earliest re-check, and from when it is trusted."""
    lines = []
    if course.seen_free_clear is not None:
        lines.append(
            f"On the day the spots are gone {course.seen_free_clear.words} of those tanks are "
            "clear: gone spots are no reason to stop."
        )
    look = _at_recheck(answer, course)
    if look is not None and look.truly_clear is not None:
        by_eye = answer.spots or answer.organism.seen_by == ANIMALS
        sort = "by eye" if by_eye else "by scrape or clip"
        lines.append(
            f"A look {sort} at {_fish(answer)} on the earliest re-check finds nothing in "
            f"{look.nothing.words} runs; {look.truly_clear.words} of those are clear."
        )
    day, when = course.trusted_from, "no day"
    if isfinite(day):
        when = f"day {day:.0f} on, {day_words(answer.day_at(day))}"
    preposition = "from" if isfinite(day) else "on"
    lines.append(
        f"Such a look that finds nothing is the truth in 18 of 20 runs {preposition} {when}."
    )
    if isfinite(course.last_dose):
        lines.append(
            f"Of the runs in which fish live, 18 of 20 are clear for good from day "
            f"{course.last_dose:.0f} on: the last dose should not come before it."
        )
    return tuple(lines)


def _fish(answer: ForecastAnswer) -> str:
    return f"{answer.look_fish} of the {answer.group}"


def _at_recheck(answer: ForecastAnswer, course: CourseForecast) -> CleanLook | None:
    when = earliest_date(answer.not_before, answer.case.view.opened.moment.day)
    same = (look for look in course.looks if answer.day_at(look.hour / HOURS_PER_DAY) == when)
    return next(same, None)


def days_rows(answer: ForecastAnswer, course: CourseForecast) -> Rows:
    """Return one course day by day, folded on a page."""
    counted = "spots counted, worst fish" if answer.spots else "on one slide"
    if answer.organism.seen_by == ANIMALS:
        counted = "found on one fish"
    head = ("day", "", counted, "parasites a fish", "on the bottom", "alive", "clear",
            "clean look")  # fmt: skip
    last = len(course.days) - 1
    rows = tuple(
        (str(day.day), *_numbers(answer, course, day), course.looks[place].nothing.short)
        for place, day in enumerate(course.days)
        if not day.day % 2 or day.day <= WEEK or place == last
    )
    note = (
        "half of the runs lie between, in brackets 18 of 20; clear, and a clean look at "
        f"{_fish(answer)}: of 20 runs"
    )
    return Rows(f"DAY BY DAY: {course.name}", Table(course.name, head, rows), note, folded=True)


def _numbers(answer: ForecastAnswer, course: CourseForecast, day: DayOutcome) -> tuple[str, ...]:
    alive = day.all_alive
    living = f"{alive.low:.0f}-{alive.high:.0f}" if shown(alive, course.fish) else "uncertain"
    return (
        day_words(answer.day_at(day.day)).rsplit(" ", 1)[0],
        band(day.counted),
        band(day.burden),
        band(day.bottom),
        living if answer.losses_known else "?",
        day.clear.short,
    )


def band(spread: Quantiles | None) -> str:
    """Write a spread as ``12-40 (3-160)``: half of the runs, and 18 of 20."""
    if spread is None:
        return "no fish"
    inner, outer = (_ends(spread.lower, spread.upper), _ends(spread.low, spread.high))
    return inner if inner == outer else f"{inner} ({outer})"


def _ends(low: float, high: float) -> str:
    first, second = number(low), number(high)
    return first if first == second else f"{first}-{second}"


def number(value: float) -> str:
    """Write a number of parasites with two figures that count."""
    if value < 1:
        return "0" if value < 0.05 else f"{value:.1f}"
    if value < 100:
        return f"{value:.0f}"
    return f"{float(f'{value:.2g}'):,.0f}".replace(",", " ")


def seen_and_there(answer: ForecastAnswer) -> Words:
    """Say why what is counted is not what is there, with the claims behind it."""
    rows = {row.key.rpartition(".")[2]: row for row in answer.sampled}
    if not answer.spots:
        share = rows.get("scrape_share")
        part = "" if share is None else f" ({share.low:.0%} to {share.high:.0%} of a fish's)"
        if answer.organism.seen_by == ANIMALS:
            line = f"A person finds a part of what is there{part}: none seen is not none."
            return Words("WHAT IS SEEN IS NOT THE BURDEN", (line,))
        line = f"A slide shows a small part of what is there{part}: none seen is not none."
        return Words("A SLIDE IS NOT THE BURDEN", (line,))
    lines = []
    countable = answer.courses[0].days[0].countable
    if countable is not None:
        lines.append(
            f"On day 0 a person can count {countable.low:.0%} to {countable.high:.0%} of what is "
            f"on the fish, middle {countable.middle:.0%}:"
        )
    for key, words in WHYS:
        row = rows.get(key)
        if row is not None:
            share_words = words.format(f"{row.low:.0%} to {row.high:.0%}")
            lines.append(f"{share_words} ({row.source or row.provenance})")
    return Words("SPOTS ARE NOT THE BURDEN", tuple(lines))
