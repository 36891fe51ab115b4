"""The list of cases as a page: who comes first and why, by urgency, with the next step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.quantity.dates import day_words, entry_moment_words
from tankside.report.case_words import closed_words, water_type_words
from tankside.report.next_step import next_step
from tankside.services.board import BoardCase, BoardListing, CountOnDay, Urgency

TITLES = {
    Urgency.NOW: "Act now",
    Urgency.DUE: "Due today",
    Urgency.OPEN: "No course yet",
    Urgency.WATCHED: "Waiting and watching",
    Urgency.UNREADABLE: "Cannot be read",
    Urgency.CLOSED: "Closed",
}
WIDTH, HEIGHT, FOOT = 200.0, 44.0, 34.0
"""Size of a spark and the height of its zero line [px]."""


@dataclass(frozen=True, slots=True)
class SparkLine:
    """The counts of a case as a small drawing.

    Args:
        points: places of the counts on the drawing [px].
        dead: places of deaths along the time line [px].
        stop: place of the earliest stop, None where there is no date.
        first: the first count as a number.
        last: the last count as a number.
        what: what was counted.
        words: the same in words.
    """

    points: tuple[tuple[float, float], ...]
    dead: tuple[float, ...]
    stop: float | None
    first: str
    last: str
    what: str
    words: str


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One case of the list.

    Args:
        file: its file.
        name: its name.
        reason: why it stands where it stands.
        next: what to do next, as a button says it.
        page: the page of the case on which that is done.
        facts: water, keeper, last entry.
        when: day of the case and the earliest stop.
        spark: its counts; None where there are none.
        example: whether it is an invented case.
    """

    file: str
    name: str
    reason: str
    next: str
    page: str
    facts: str
    when: str
    spark: SparkLine | None
    example: bool = False


@dataclass(frozen=True, slots=True)
class BoardGroup:
    """The cases of one urgency; ``is_first`` marks what cannot wait, ``is_folded`` the closed.

    ``number`` is how many there are; the others are reached by searching.
    """

    title: str
    number: int
    rows: tuple[BoardRow, ...]
    is_first: bool
    is_folded: bool


@dataclass(frozen=True, slots=True)
class BoardPage:
    """The list as shown.

    Args:
        lead: who comes first.
        under: how many of each.
        groups: the cases by urgency.
        first: the case to open now; None when nothing is open.
        sought: what was searched for, "" for nothing.
    """

    lead: str
    under: str
    groups: tuple[BoardGroup, ...]
    first: BoardRow | None
    sought: str


def board_page(listed: BoardListing, sought: str = "") -> BoardPage:
    """Return the list of cases as the page shows it.

    Args:
        listed: the cases, the most urgent first.
        sought: the words that they were searched by, "" for none.
    """
    rows = [(case, _row(case)) for case in listed.cases]
    groups = tuple(
        BoardGroup(
            TITLES[level],
            listed.numbers[level],
            tuple(row for case, row in rows if case.urgency is level),
            level is Urgency.NOW,
            level is Urgency.CLOSED and not sought,
        )
        for level in Urgency
        if listed.numbers.get(level)
    )
    waiting = [(c, row) for c, row in rows if c.urgency < Urgency.UNREADABLE]
    first = waiting[0] if waiting else None
    return BoardPage(
        lead=_lead(listed.everything, first, sought),
        under=", ".join(f"{group.title.lower()} {group.number}" for group in groups),
        groups=groups,
        first=None if first is None else first[1],
        sought=sought,
    )


def _lead(number: int, first: tuple[BoardCase, BoardRow] | None, sought: str) -> str:
    if first is None:
        if sought:
            return "No open case holds these words."
        return "No case waits for anything." if number else "No cases in this folder yet."
    case, row = first
    reason = row.reason[:1].lower() + row.reason[1:]
    return f"{row.name}: {reason}" if case.urgency <= Urgency.DUE else f"{row.name} comes first."


def _row(case: BoardCase) -> BoardRow:
    if case.view is None:
        return BoardRow(case.file, case.file, case.fault, "", "", "", "", None)
    view = case.view
    step = next_step(view)
    last = view.last_moment()
    stop = "" if case.not_before is None else f"Not before {day_words(case.not_before)}."
    facts = f"{water_type_words(view)}, keeper {view.opened.keeper}"
    return BoardRow(
        file=case.file,
        name=view.bare_name,
        reason=_reason(case),
        next=step.words,
        page=step.page,
        facts=facts,
        when=f"Day {view.day(last)}, last entry {day_words(last.day)}. {stop}".rstrip(),
        spark=spark_line(case),
        example=view.example,
    )


def _reason(case: BoardCase) -> str:
    view = case.view
    assert view is not None
    if case.gasping is not None:
        return f"A fish was gasping, {entry_moment_words(case.gasping)}."
    if case.dead_lately:
        return f"{case.dead_lately} dead within a day."
    if case.steps_due:
        waits = "step waits" if case.steps_due == 1 else "steps wait"
        return f"{case.steps_due} {waits} for an answer."
    if view.closed is not None:
        return f"{closed_words(view)}."
    if view.course is not None and case.next_step is not None:
        return f"Next step of the course: {day_words(case.next_step.date())}."
    return next_step(view).why


def spark_line(case: BoardCase) -> SparkLine | None:
    """Return the counts of a case as a small drawing; None without counts."""
    if case.view is None or not case.counts:
        return None
    stop = None
    if case.not_before is not None:
        stop = (case.not_before - case.view.opened.moment.day).days
    last_day = max(case.counts[-1].day, stop or 0, *case.deaths, 1)
    most = max(count.number for count in case.counts) or 1.0
    across = (WIDTH - 12) / last_day
    first, last = case.counts[0], case.counts[-1]
    points = tuple((6 + c.day * across, FOOT - 26 * (c.number / most) ** 0.5) for c in case.counts)
    return SparkLine(
        points=points,
        dead=tuple(6 + day * across for day in case.deaths),
        stop=None if stop is None else 6 + stop * across,
        first=f"{first.number:g}",
        last=f"{last.number:g}",
        what=case.what.replace("_", " "),
        words=_spark_words(case.counts, case.what),
    )


def _spark_words(counts: Sequence[CountOnDay], what: str) -> str:
    said = ", ".join(f"day {count.day}: {count.number:g}" for count in counts)
    return f"{what.replace('_', ' ')} counted, {said}"
