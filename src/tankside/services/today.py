"""Today: the day card of a case as text, paper, calendar and one JSON object."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from tankside import library
from tankside.case import CaseView, Reading
from tankside.case.done import CourseChosen
from tankside.course import Caution, PrintedAmount
from tankside.errors import NotPossible
from tankside.intake import clock
from tankside.intake.assemble import Chosen
from tankside.intake.course_codec import decode_course
from tankside.intake.followed_course import Running, run_of, running
from tankside.intake.law import law_lines
from tankside.present import calendar, day_card_pdf, day_card_text
from tankside.present.clock import day_words
from tankside.present.day_card import CardHead, CardLine, DayCard, day_card
from tankside.quantity.moment import Moment, parse_date
from tankside.quantity.show import amount, reading, rounded
from tankside.records.case_file import StoredCase, read_case
from tankside.records.whole_file import write_whole

VOLUME_DIGITS = 3
EXAMPLE = "EXAMPLE"
"""A case whose name begins so is an invented one, marked on screen and paper."""


@dataclass(frozen=True, slots=True)
class Today:
    """One day's card with the course behind it."""

    stored: StoredCase
    running: Running
    card: DayCard
    cautions: tuple[Caution, ...]


def today(path: str | Path, typed: str | None = None) -> Today:
    """Return the card of a day.

    Args:
        path: the case file.
        typed: the day as typed (2026-03-04); None for the present day at the tank.

    Raises:
        BadInput: the case or the day cannot be read.
        NotPossible: E-PLAN-03 no course chosen; E-COURSE-03 the day lies outside the course.
    """
    stored = read_case(path)
    view = stored.view()
    going = running(view, library.load())
    day = parse_date(typed, field="date") if typed else _present(going)
    return card_of(stored, view, going, day)


def latest_card(path: str | Path) -> Today:
    """Return the card of the present day, or of the day of the course nearest to it.

    Raises:
        BadInput: the case cannot be read.
        NotPossible: E-PLAN-03 no course chosen.
    """
    stored = read_case(path)
    view = stored.view()
    going = running(view, library.load())
    first, last = going.clock.day(0), going.clock.day(going.run.course.days - 1)
    day = min(max(first, _present(going)), last)
    return card_of(stored, view, going, day)


def card_of(stored: StoredCase, view: CaseView, going: Running, day: date) -> Today:
    """Return the card of one day of a running course.

    Raises:
        NotPossible: E-COURSE-03 the day lies outside the course.
    """
    _check_day(going, day)
    law = {
        found.agent: law_lines(going.case.facts, found.agent, view.opened.country)
        for found in going.run.amounts
    }
    card = day_card(going.run, going.clock, day, _head(stored, view, going), law)
    card = replace(card, changed=going.changed)
    actions = {line.action for line in going.run.lines if going.clock.day_of(line.hour) == day}
    cautions = tuple(
        caution
        for caution in going.run.safety
        if caution.action in actions
        or (caution.hour is not None and going.clock.day_of(caution.hour) == day)
        or (caution.hour is None and caution.action is None)
    )
    return Today(stored, going, card, cautions)


def as_object(made: Today) -> dict[str, object]:
    """Return the documented JSON shape of ``today``."""
    card = made.card
    lines = [(part.title, line) for part in card.parts for line in part.lines]
    amounts = {found.text: found for found in made.running.run.amounts}
    return {
        "case": made.stored.view().name,
        "date": card.day.isoformat(),
        "day": card.number,
        "plan": {
            "name": card.head.plan,
            "version": card.head.version,
            "replaces": card.replaces,
        },
        "lines": [_line_object(part, line, amounts) for part, line in lines],
        "handling": [
            {"agent": one.agent, "hazard": one.hazard, "lines": list(one.lines)}
            for one in card.handling
        ],
        "changed": list(card.changed),
        "stops": list(card.stops),
        "next": card.next_on,
        "do_not": list(card.do_not),
        "call_if": list(card.call_if),
        "valid_until": card.valid_until,
        "cautions": [
            {"level": c.level.value, "code": c.code, "words": c.words, "why": c.why,
             "instead": c.what_instead}
            for c in made.cautions
        ],
        "text": day_card_text.as_text(card),
    }  # fmt: skip


def write_pdf(made: Today, target: str | Path) -> None:
    """Write the card as a PDF.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
        CouldNotSave: the disk refused.
    """
    write_whole(Path(target), day_card_pdf.as_pdf(made.card))


def write_ics(made: Today, target: str | Path) -> None:
    """Write the whole course as a calendar file.

    Raises:
        CouldNotSave: the disk refused.
    """
    write_whole(Path(target), calendar_of(made.stored, made.running))


def calendar_of(stored: StoredCase, going: Running) -> bytes:
    """Return the calendar of the course, with the steps of the course it replaces cancelled."""
    view = stored.view()
    opened = view.opened
    return calendar.as_ics(
        calendar.steps(going.run, going.clock),
        _steps_before(view, going),
        case=f"{opened.name}|{opened.keeper}|{opened.recorded_at}",
        title=f"{opened.name}: {going.chosen.name}",
        version=going.chosen.version,
        made_at=clock.now(),
    )


def _steps_before(view: CaseView, going: Running) -> tuple[calendar.Step, ...]:
    """Return the steps of every earlier course of the case, the latest first."""
    found: dict[str, calendar.Step] = {}
    earlier = sorted(view.courses, key=lambda entry: entry.id)[: going.chosen.version - 1]
    for number, entry in enumerate(earlier, 1):
        picked = _chosen_of(entry, number)
        if picked is not None:
            old = run_of(view, going.case.facts, picked)
            found |= {step.name: step for step in calendar.steps(old.run, old.clock)}
    return tuple(found.values())


def _chosen_of(entry: CourseChosen, number: int) -> Chosen | None:
    if not entry.course:
        return None
    schedule, labels = decode_course(entry.course)
    return Chosen(schedule, labels, Moment(entry.starts_at), entry.name, number)


def _line_object(part: str, line: CardLine, amounts: dict[str, PrintedAmount]) -> dict[str, object]:
    return {
        "part": part,
        "at": line.at,
        "text": line.text,
        "write_down": list(line.blanks),
        "amounts": [
            {
                "text": text,
                "value": float(amounts[text].value),
                "unit": amounts[text].unit,
                "agent": amounts[text].agent,
                "sum": total,
                "reason": amounts[text].reason,
            }
            for text, total in zip(line.amounts, line.sums, strict=True)
        ],
    }


def _head(stored: StoredCase, view: CaseView, going: Running) -> CardHead:
    opened = view.opened
    example = opened.name.startswith(EXAMPLE)
    volume = amount(rounded(going.case.main.volume.point_l, VOLUME_DIGITS), "L")
    name = opened.name.removeprefix(EXAMPLE).lstrip(" :") or opened.name
    return CardHead(
        place=f"{name}, {opened.keeper}",
        water=f"{volume} of water{_temperature(view)}",
        plan=going.chosen.name,
        version=going.chosen.version,
        made=f"Made from case entry {stored.version}, file {stored.digest[:8]}.",
        example=example,
    )


def _temperature(view: CaseView) -> str:
    """Return the last temperature read, with its day, so that an old one is seen to be old."""
    main = view.systems.get("main")
    found = None if main is None else main.readings.get(Reading.TEMPERATURE)
    if found is None or found.measured is None:
        return ", temperature not measured"
    return f", {reading(found.measured)} on {day_words(found.at.day)}"


def _present(going: Running) -> date:
    return clock.now().astimezone(going.clock.zone).date()


def _check_day(going: Running, day: date) -> None:
    first = going.clock.day(0)
    last = going.clock.day(going.run.course.days - 1)
    if first <= day <= last:
        return
    raise NotPossible(
        "E-COURSE-03",
        "This day lies outside the course that was chosen.",
        given=day.isoformat(),
        needed=f"a day from {day_words(first)} to {day_words(last)}",
        next_step=f"Ask for a day of the course with --date {first.isoformat()}, or plan again.",
        field="date",
    )
