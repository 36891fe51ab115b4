"""A forecast as one document: what a terminal prints, a page embeds and paper carries."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite

from tankside.lifecycle.results.endpoints import useful
from tankside.lifecycle.results.first_passage import OF_DEATH, FirstPassage
from tankside.lifecycle.results.next_look import NextLook
from tankside.lifecycle.results.outcome import shown
from tankside.present.blocks import Block, Document, Rows, Words
from tankside.present.table import Table
from tankside.quantity.dates import day_words
from tankside.report.follow_document import earliest_date
from tankside.report.forecast_acts import factors_lines
from tankside.report.forecast_days import clean_look_lines, days_rows, seen_and_there
from tankside.report.forecast_moves import moves_block
from tankside.report.forecast_sources import sampled_blocks
from tankside.report.forecast_sweeps import sweep_blocks
from tankside.report.played_with import played_with
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.forecast_answer import CourseForecast, ForecastAnswer

TOO_UNCERTAIN = "too uncertain to show"
NO_DEATHS = "No figure says how many of these kill a fish: deaths are not in this forecast."
UNKNOWN = "unknown"
NO_DOSE = (
    "How many die is unknown: no print gives deaths by number of parasites in the kind of {}. "
    "When they would die stands below."
)
NO_LOOK = "No look of the next three days narrows it by as much as a twentieth."
NARROWS = "Of the looks of the next three days it is narrowed most by {}."
ENDINGS = ("", "clear, fish alive", "parasites left", "no fish left", "fish lost", "course")
PASSAGES = {
    "first_spot": "first fish with a spot large enough to see",
    "first_death": "first death",
    "peak": "most parasites on the fish",
    "seen_free": "spots gone from every fish",
    "clear": "clear for good, with fish alive",
    "no_fish": "no fish left",
}


def forecast_document(answer: ForecastAnswer, *, everything: bool = False) -> Document:
    """Return the forecast for a person.

    Args:
        answer: the forecast.
        everything: whether every value that was sampled is listed, with range and source.
    """
    followed = answer.followed
    plan = (
        f"Plan {followed.version}: "
        if followed.version
        else "No course chosen yet; foretold first: "
    )
    first = answer.courses[0]
    blocks: list[Block] = [_windows(answer), _endings(answer), _dates(answer)]
    blocks.append(Words("WHAT A CLEAN LOOK IS WORTH in course 1", clean_look_lines(answer, first)))
    blocks += [days_rows(answer, course) for course in (first, *answer.courses[1:][-1:])]
    blocks.append(seen_and_there(answer))
    acts = factors_lines(first.factors, answer.case.facts)
    blocks.append(Words(f"WHAT ACTS: {first.name}", acts))
    blocks += played_with(answer.case, answer.organism)
    blocks += [moves_block(answer), *sweep_blocks(answer)]
    blocks += sampled_blocks(answer, everything=everything)
    if answer.case.questions:
        blocks.append(Words("NOT KNOWN", tuple(answer.case.questions.values())))
    blocks.append(Words("NOT VALIDATED", (f"{NOT_VALIDATED} Seed {answer.seed}.",)))
    return Document(
        f"Forecast: {answer.case.view.name}, {answer.organism.name}, "
        f"{answer.stage_durations.temperature_c:g} C",
        tuple(blocks),
        " ".join(
            (
                *answer.organism.first_words,
                f"{plan}{followed.name}. Day 0 is {day_words(answer.day_at(0))}. {answer.runs} "
                "runs of each course, all with the same luck.",
            )
        ),
    )


def _windows(answer: ForecastAnswer) -> Words:
    """Return the time windows as dates: leaving the fish, release, earliest re-check."""
    durations = answer.stage_durations
    lines = [f"{name}: {_span(low, high)}" for name, (low, _, high) in durations.rows()]
    if not durations.breeds_on_fish and isfinite(durations.cycle[2]):
        left = day_words(answer.day_at(durations.on_fish[2]))
        out = day_words(answer.day_at(durations.cycle[2]))
        lines.append(
            f"what is on the fish on day 0 has left them by {left} at the latest, and has "
            f"released its young by {out} at the latest"
        )
    day = earliest_date(answer.not_before, answer.case.view.opened.moment.day)
    when = "" if day is None else f"{day_words(day)}. "
    lines.append(f"earliest re-check: {when}{answer.not_before.words}")
    return Words("TIME WINDOWS (fast to slow end of the stays in print)", tuple(lines))


def _span(low: float, high: float) -> str:
    if not isfinite(low):
        return "does not end at this temperature"
    return f"{low:.1f} to {high:.1f} days" if isfinite(high) else f"{low:.1f} days or more"


def _endings(answer: ForecastAnswer) -> Rows:
    """Return how each course ends, with the fish lost of the first one by group below."""
    rows = []
    for number, course in enumerate(answer.courses, 1):
        end = course.end
        lost = _lost(answer, course)
        none_left = UNKNOWN if answer.deaths and not answer.losses_known else end.no_fish.words
        shares = (end.clear.words, end.left.words, none_left)
        rows.append((str(number), *shares, lost, course.name))
    first = answer.courses[0]
    when = f"day {first.end.day}, {day_words(answer.day_at(first.end.day))}"
    note = " ".join(_losses_note(answer, first))
    return Rows(f"HOW IT ENDS ({when})", Table("how it ends", ENDINGS, tuple(rows)), note)


def _lost(answer: ForecastAnswer, course: CourseForecast) -> str:
    if not answer.deaths:
        return "not in it"
    return lost_words(course) if answer.losses_known else UNKNOWN


def _losses_note(answer: ForecastAnswer, first: CourseForecast) -> Iterable[str]:
    """Say how many are lost by group, or why it is unknown, and which look would narrow it."""
    if not answer.deaths:
        yield NO_DEATHS
        return
    if answer.losses_known:
        yield _losses_by_group(first)
    else:
        yield NO_DOSE.format(", ".join(answer.no_dose))
    wide = not answer.losses_known or not useful(first.lost.low, first.lost.high, first.fish)
    look = first.next_look
    if wide:
        yield NO_LOOK if look is None else NARROWS.format(_look_words(answer, look))


def _look_words(answer: ForecastAnswer, look: NextLook) -> str:
    what = {
        "deaths": "the dead counted",
        "spots": f"spots counted on {answer.look_fish} of {answer.group}",
        "scrape": f"slides of {answer.look_fish} of {answer.group}",
    }
    return f"{what[look.how]} on day {look.day} (by {100 * look.narrows:.0f} % at most)"


def lost_words(course: CourseForecast) -> str:
    """Say how many fish are lost, or that the interval is too wide to say."""
    low, high, fish = course.lost.low, course.lost.high, course.fish
    if not useful(low, high, fish):
        return f"{TOO_UNCERTAIN} ({low:.0f} to {high:.0f} of {fish})"
    return f"{course.lost.middle:.0f} of {fish} ({low:.0f} to {high:.0f})"


def _losses_by_group(course: CourseForecast) -> str:
    groups = [
        f"{group} {number.middle:.0f} of {course.stock[group]} "
        f"({number.low:.0f} to {number.high:.0f})"
        for group, number in course.lost_by_group.items()
        if shown(number, course.stock[group])
    ]
    unsaid = len(course.lost_by_group) - len(groups)
    if unsaid and groups:
        groups.append(f"the others {TOO_UNCERTAIN}")
    words = "; ".join(groups) if groups else TOO_UNCERTAIN
    return f"fish lost in course 1, by group: {words}"


def _dates(answer: ForecastAnswer) -> Rows:
    """Return when things first happen in each course."""
    head = ("", *(f"course {number}" for number in range(1, len(answer.courses) + 1)))
    rows = tuple(tuple(_passage_row(answer, place)) for place in range(_passages(answer)))
    title = "WHEN (days; 18 of 20 runs lie between the ends)"
    return Rows(title, Table("when things first happen", head, rows))


def _passages(answer: ForecastAnswer) -> int:
    return len(answer.courses[0].first_passages)


def _passage_row(answer: ForecastAnswer, place: int) -> Iterable[str]:
    yield PASSAGES[answer.courses[0].first_passages[place].what]
    for course in answer.courses:
        passage = course.first_passages[place]
        by_dose = answer.losses_known or passage.what not in OF_DEATH
        yield first_passage_words(passage) if by_dose else _only_when(passage)


def _only_when(passage: FirstPassage) -> str:
    """Say when fish would die, not how many: no print gives deaths by dose in their kind."""
    days = passage.days
    if not isfinite(days.low):
        return "no date"
    until = f" to {days.high:.0f}" if isfinite(days.high) else " on"
    return f"if it comes to it, from day {days.low:.0f}{until}"


def first_passage_words(first_passage: FirstPassage) -> str:
    """Say when something happens and in how many of 20 runs, or that it cannot be said."""
    happens, days = first_passage.happens.words, first_passage.days
    if days.high == 0:
        return "from the start"
    if not isfinite(days.low):
        return happens
    if first_passage.useful:
        return f"{happens}, day {days.low:.0f} to {days.high:.0f}"
    if first_passage.what in OF_DEATH:
        return f"{happens}, date {TOO_UNCERTAIN}"
    half = f", half by day {days.middle:.0f}" if isfinite(days.middle) else ""
    return f"{happens}, from day {days.low:.0f}{half}"
