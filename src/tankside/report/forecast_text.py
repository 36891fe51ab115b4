"""A forecast in words for a terminal."""

from __future__ import annotations

from datetime import timedelta
from math import isfinite

from tankside.lifecycle.results.clean_look import CleanLook
from tankside.lifecycle.results.endpoints import useful
from tankside.lifecycle.results.first_passage import OF_DEATH, FirstPassage
from tankside.lifecycle.results.outcome import DayOutcome, Quantiles, shown
from tankside.present.table import columns
from tankside.quantity.dates import day_words
from tankside.report.forecast_acts import factors_text
from tankside.report.forecast_moves import moves_lines, sampled_lines, sweep_lines
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.forecast import Ahead, Forecast

WEEK = 7
TOO_UNCERTAIN = "too uncertain to show"
NO_DEATHS = "  No figure says how many of these kill a fish: deaths are not in this forecast."
PASSAGES = {
    "first_spot": "first fish with a spot large enough to see",
    "first_death": "first death",
    "peak": "most parasites on the fish",
    "seen_free": "spots gone from every fish",
    "clear": "clear for good, with fish alive",
    "no_fish": "no fish left",
}


def forecast_text(found: Forecast, *, sampled: bool = False) -> str:
    """Return the forecast for a person.

    Args:
        found: the forecast.
        sampled: whether everything that was sampled is listed.
    """
    view, followed = found.case.view, found.followed
    plan = (
        f"Plan {followed.version}: " if followed.version else "No course chosen yet; course 1 is "
    )
    lines = [
        f"Forecast: {view.name}, {found.organism.name}, {found.stage_durations.temperature_c:g} C",
        f"{plan}{followed.name}. Day 0 is {day_words(found.day_at(0))}. {found.runs} runs of each "
        "course, all with the same luck.",
        "",
        *_windows(found),
        "",
        *_endings(found),
        "",
        *_dates(found),
    ]
    for ahead in (found.ahead[0], *found.ahead[1:][-1:]):
        lines += ["", *_day_by_day(found, ahead)]
    lines += ["", *_seen_and_there(found), "", *_factors(found)]
    lines += ["", *moves_lines(found)]
    lines += sweep_lines(found)
    lines += ["", *sampled_lines(found, everything=sampled)]
    lines += ["", *(f"NOT KNOWN: {question}" for question in found.case.questions.values())]
    lines += [f"NOT VALIDATED: {NOT_VALIDATED} Seed {found.seed}."]
    return "\n".join(lines)


def _windows(found: Forecast) -> list[str]:
    """Return the time windows as dates: leaving the fish, release, earliest re-check."""
    stage_durations, lines = (
        found.stage_durations,
        ["TIME WINDOWS (fast to slow end of the stays in print)"],
    )
    for name, (low, _, high) in stage_durations.rows():
        lines.append(f"  {name}: {_span(low, high)}")
    if not stage_durations.breeds_on_fish and isfinite(stage_durations.cycle[2]):
        left = day_words(found.day_at(stage_durations.on_fish[2]))
        out = day_words(found.day_at(stage_durations.cycle[2]))
        lines.append(f"  what is on the fish on day 0 has left them by {left} at the latest,")
        lines.append(f"  and has released its young by {out} at the latest")
    return [*lines, *_recheck(found)]


def _span(low: float, high: float) -> str:
    if not isfinite(low):
        return "does not end at this temperature"
    return f"{low:.1f} to {high:.1f} days" if isfinite(high) else f"{low:.1f} days or more"


def _recheck(found: Forecast) -> list[str]:
    day = found.not_before.day
    if day is None:
        return [f"  earliest re-check: {found.not_before.words}"]
    when = found.case.view.opened.moment.day + timedelta(days=day)
    first, _, rest = found.not_before.words.partition(". ")
    return [f"  earliest re-check: {day_words(when)}. {first}.", f"    {rest}"]


def _endings(found: Forecast) -> list[str]:
    last = found.ahead[0].end
    rows = [("", "clear, fish alive", "parasites left", "no fish left", "fish lost", "course")]
    for number, ahead in enumerate(found.ahead, 1):
        end = ahead.end
        told = (end.clear.words, end.left.words, end.no_fish.words, _lost(found, ahead))
        rows.append((str(number), *told, ahead.name))
    when = f"day {last.day}, {day_words(found.day_at(last.day))}"
    lines = [f"HOW IT ENDS ({when})", *(f"  {line}" for line in columns(rows))]
    return [*lines, *(_losses_by_group(found.ahead[0]) if found.deaths else [NO_DEATHS])]


def _lost(found: Forecast, ahead: Ahead) -> str:
    return lost_words(ahead) if found.deaths else "not in it"


def lost_words(ahead: Ahead) -> str:
    """Say how many fish are lost, or that the interval is too wide to say."""
    low, high, fish = ahead.lost.low, ahead.lost.high, ahead.fish
    told = f"{low:.0f} to {high:.0f} of {fish}"
    return told if useful(low, high, fish) else f"{TOO_UNCERTAIN} ({told})"


def _losses_by_group(ahead: Ahead) -> list[str]:
    told = [
        f"{group} {number.low:.0f} to {number.high:.0f} of {ahead.stock[group]}"
        for group, number in ahead.lost_by_group.items()
        if shown(number, ahead.stock[group])
    ]
    unsaid = len(ahead.lost_by_group) - len(told)
    if unsaid and told:
        told.append(f"the others {TOO_UNCERTAIN}")
    words = "; ".join(told) if told else TOO_UNCERTAIN
    return [f"  fish lost in course 1, by group: {words}"]


def _dates(found: Forecast) -> list[str]:
    rows = [("", *(f"course {number}" for number in range(1, len(found.ahead) + 1)))]
    for place, first_passage in enumerate(found.ahead[0].first_passages):
        told = [first_passage_words(ahead.first_passages[place]) for ahead in found.ahead]
        rows.append((PASSAGES[first_passage.what], *told))
    lines = ["WHEN (days; 18 of 20 runs lie between the ends)", *columns(rows)]
    lines = [lines[0], *(f"  {line}" for line in lines[1:])]
    first = found.ahead[0]
    if first.seen_free_clear is not None:
        lines.append(
            f"  On the day the spots are gone {first.seen_free_clear.words} of those tanks are "
            "clear: gone spots are no reason to stop."
        )
    return [*lines, *_looks(found, first)]


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


def _looks(found: Forecast, ahead: Ahead) -> list[str]:
    """Say what a clean look is worth on the earliest re-check, and from when it is trusted."""
    sort = "by eye" if found.spots else "by scrape or clip"
    fish = f"{found.look_fish} of the {found.group}"
    lines = []
    look = _at_recheck(found, ahead)
    if look is not None and look.truly_clear is not None:
        lines.append(
            f"  A look {sort} at {fish} on the earliest re-check finds nothing in "
            f"{look.nothing.words} runs; {look.truly_clear.words} of those are clear."
        )
    if isfinite(ahead.trusted_from):
        when = day_words(found.day_at(ahead.trusted_from))
        lines.append(
            f"  From day {ahead.trusted_from:.0f} on, {when}, such a look that finds nothing is "
            "right in 18 of 20 runs."
        )
    else:
        lines.append("  On no day is such a look that finds nothing right in 18 of 20 runs.")
    if isfinite(ahead.last_dose):
        lines.append(
            f"  Of the runs in which fish live, 18 of 20 are clear for good from day "
            f"{ahead.last_dose:.0f} on: the last dose should not come before it."
        )
    return lines


def _at_recheck(found: Forecast, ahead: Ahead) -> CleanLook | None:
    day = found.not_before.day
    if day is None:
        return None
    when = found.case.view.opened.moment.day + timedelta(days=day)
    same = [look for look in ahead.looks if found.day_at(look.hour / 24) == when]
    return same[0] if same else None


def _day_by_day(found: Forecast, ahead: Ahead) -> list[str]:
    counted = "spots counted, worst fish" if found.spots else "on one slide"
    head = ("day", "", counted, "parasites a fish", "on the bottom", "alive", "clear",
            "clean look")  # fmt: skip
    rows: list[tuple[str, ...]] = [head]
    for place, day in enumerate(ahead.days):
        if day.day % 2 and day.day > WEEK and place + 1 < len(ahead.days):
            continue
        look = ahead.looks[place].nothing.short
        rows.append(
            (str(day.day), _short(found, day), *_numbers(day, ahead, deaths=found.deaths), look)
        )
    title = f"DAY BY DAY: {ahead.name}"
    note = (
        "  half of the runs lie between, in brackets 18 of 20; clear, and a clean look at "
        f"{found.look_fish} of the {found.group}: of 20 runs"
    )
    return [title, note, *(f"  {line}" for line in columns(rows))]


def _short(found: Forecast, day: DayOutcome) -> str:
    return day_words(found.day_at(day.day)).rsplit(" ", 1)[0]


def _numbers(day: DayOutcome, ahead: Ahead, *, deaths: bool) -> tuple[str, ...]:
    alive = day.all_alive
    told = f"{alive.low:.0f}-{alive.high:.0f}" if shown(alive, ahead.fish) else "uncertain"
    told = told if deaths else "?"
    return (
        band(day.counted),
        band(day.burden),
        band(day.bottom),
        told,
        day.clear.short,
    )


def band(found: Quantiles | None) -> str:
    """Write a spread as ``12-40 (3-160)``: half of the runs, and 18 of 20."""
    if found is None:
        return "no fish"
    inner, outer = (_ends(found.lower, found.upper), _ends(found.low, found.high))
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


def _seen_and_there(found: Forecast) -> list[str]:
    """Say why what is counted is not what is there, with the claims behind it."""
    first = found.ahead[0].days[0]
    rows = {row.key.rpartition(".")[2]: row for row in found.sampled}
    if not found.spots:
        share = rows.get("scrape_share")
        told = "" if share is None else f" ({share.low:.0%} to {share.high:.0%} of a fish's)"
        return [
            f"WHAT A SLIDE SHOWS is a small part of what is there{told}: none seen is not none."
        ]
    lines = ["SPOTS ARE NOT THE BURDEN"]
    if first.countable is not None:
        part = first.countable
        lines.append(
            f"  On day 0 a person can count {part.low:.0%} to {part.high:.0%} of what is on the "
            f"fish, middle {part.middle:.0%}:"
        )
    whys = (
        ("visible_from", "the young are too small to see, for {} of the stay"),
        ("body_share", "only {} sit on skin and fins, the rest on the gills"),
        ("eye_detection", "a person counts {} of the spots that could be seen"),
    )
    for key, words in whys:
        row = rows.get(key)
        if row is not None:
            told = words.format(f"{row.low:.0%} to {row.high:.0%}")
            lines.append(f"  {told} ({row.source or row.provenance})")
    return lines


def _factors(found: Forecast) -> list[str]:
    first = found.ahead[0]
    return [f"WHAT ACTS: {first.name}", *factors_text(first.factors, found.case.facts)]
