"""The figures of a forecast: what is counted, where the parasite is, and when it is gone."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.intake.counts import ANIMALS
from tankside.lifecycle.results.outcome import Quantiles
from tankside.present.blocks import Drawing
from tankside.present.drawing import drawing
from tankside.present.figures import (
    Band,
    Clearing,
    Figure,
    Seen,
    StageDays,
    fan,
    forecast_chart,
    stage_areas,
)
from tankside.quantity.moment import hours_between
from tankside.quantity.per import HOURS_PER_DAY
from tankside.services.forecast_answer import CourseForecast, ForecastAnswer

SPOTS = "spots a person counts on the worst fish"
SLIDE = "parasites on one slide"
FOUND = "parasites found on one fish"
BY_EYE = "by_eye"


def forecast_drawings(answer: ForecastAnswer) -> tuple[Drawing, ...]:
    """Return the figures of a page: the counts against each course, then where it is."""
    seen = seen_on_worst(answer)
    fans = [
        drawing(f"Against what was to be expected: {course.name}", fan_of(answer, course, seen))
        for course in answer.courses
    ]
    return (*fans, drawing("Where it is", stages_of(answer.courses[0])))


def fan_of(answer: ForecastAnswer, course: CourseForecast, seen: tuple[Seen, ...] = ()) -> Figure:
    """Return the bands of what a person counts in one course, with what was counted.

    Args:
        answer: the forecast.
        course: one course of it.
        seen: counts made, in days of the course.
    """
    return fan(_counted(course), seen, what=_what(answer), course=course.name)


def stages_of(course: CourseForecast) -> Figure:
    """Return the middle number of each stage by day."""
    days = [
        StageDays(day.day, day.on_fish.middle, day.bottom.middle, day.swimmers.middle)
        for day in course.days
    ]
    return stage_areas(days, course.name)


def figure_of(answer: ForecastAnswer) -> Figure:
    """Return the whole forecast in one figure: counted, there, and clearance of 20 runs."""
    first = answer.courses[0]
    return forecast_chart(
        _counted(first),
        [_band(day.day, day.burden) for day in first.days if day.burden is not None],
        seen_on_worst(answer),
        [
            Clearing(course.name, course.end.clear.words, course.clear_days)
            for course in answer.courses
        ],
        what=_what(answer),
        course=first.name,
    )


def seen_on_worst(answer: ForecastAnswer) -> tuple[Seen, ...]:
    """Return the highest count by eye of each day of the course; none where no spots show."""
    if not answer.spots:
        return ()
    highest: dict[float, float] = {}
    for day, number in _counts_by_eye(answer.case.view, answer):
        highest[day] = max(highest.get(day, 0.0), number)
    return tuple(Seen(day, number) for day, number in sorted(highest.items()))


def _counts_by_eye(view: CaseView, answer: ForecastAnswer) -> list[tuple[float, float]]:
    counts = (count for count in view.counts if count.method == BY_EYE)
    days = (
        (hours_between(answer.case.zero, count.moment) // HOURS_PER_DAY, count.number)
        for count in counts
    )
    return [(day, float(number)) for day, number in days if number is not None and day >= 0]


def _what(answer: ForecastAnswer) -> str:
    if answer.organism.seen_by == ANIMALS:
        return FOUND
    return SPOTS if answer.spots else SLIDE


def _counted(course: CourseForecast) -> list[Band]:
    """Return the bands of what a person counts, while a fish lives."""
    return [_band(day.day, day.counted) for day in course.days if day.counted is not None]


def _band(day: int, spread: Quantiles) -> Band:
    """Return one day of a spread as a band with its inner half."""
    return Band(day, spread.low, spread.high, (spread.lower, spread.upper))
