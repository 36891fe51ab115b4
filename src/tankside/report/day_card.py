"""The day card of a case: its content from one day of the course, as text, JSON, PDF, calendar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.case import CaseView
from tankside.claims.care import CareSection
from tankside.course import Level, PrintedAmount
from tankside.errors import BadInput
from tankside.intake import clock
from tankside.intake.unanswered import OpenStep
from tankside.present import calendar, day_card_pdf, day_card_text
from tankside.present.card_sheet import sheet_of
from tankside.present.day_card import (
    EMERGENCY,
    FIRST_CALL,
    SPOTS_GONE,
    CardHead,
    CardLine,
    DayCard,
    day_card,
)
from tankside.present.typesetting import PAPERS
from tankside.quantity import Kind
from tankside.quantity.show import volume_words
from tankside.records.whole_file import write_whole
from tankside.report.card_lead import card_lead
from tankside.report.card_standing import standing_words, void_since
from tankside.report.case_words import made_words, temperature_words
from tankside.services.care_choice import stops_of_care
from tankside.services.today import TodayAnswer, replaced

if TYPE_CHECKING:
    from tankside.report.shapes.courses import CardLineJson


TOO_WEAK = "E-DOSE-13"
"""A strength below what acts on a parasite: salt against nitrite is meant to be so."""


def day_card_of(answer: TodayAnswer) -> DayCard:
    """Return what the card of a day says; text, paper, page and JSON all read it from here."""
    followed = answer.running
    card = day_card(
        followed.run, followed.clock, answer.day, _head(answer), answer.law,
        units=_units(answer.stored.view()), names=followed.names, done=followed.done,
    )  # fmt: skip
    asked = tuple(_asked_first(waiting) for waiting in answer.unanswered)
    return replace(
        card,
        changed=followed.changed,
        cautions=tuple(dict.fromkeys(_cautions(answer))),
        not_valid=standing_words(answer),
        stops=(*asked, *_stops(answer, card)),
        first=card_lead(answer, card),
        do_not=(*_must_not(answer), *_never(answer, card)),
    )


def _stops(answer: TodayAnswer, card: DayCard) -> tuple[str, ...]:
    """Return what forbids the course; bad water does not forbid the course that puts it right."""
    if not answer.of_care:
        return card.stops
    made = answer.running.run
    return tuple(f"{stop.words} {stop.what_instead}" for stop in stops_of_care(made))


def _must_not(answer: TodayAnswer) -> Iterator[str]:
    """Yield what the protocol of the cause forbids, on the card of a course of care."""
    if answer.care is None or not answer.of_care:
        return
    for statement in answer.care.first.of_cause(CareSection.MUST_NOT):
        if not answer.care.first.is_general(statement):
            yield statement.spoken


def _never(answer: TodayAnswer, card: DayCard) -> Iterator[str]:
    """Yield what is never done on any day; spots are no sign of most causes of a course of care."""
    yield from (line for line in card.do_not if not (answer.of_care and line == SPOTS_GONE))


def _asked_first(waiting: OpenStep) -> str:
    """Ask of a step that nobody answered, before anything more is weighed."""
    step = waiting.step
    words = f"action={step.action.kind} step={step.name} system={step.action.body}"
    return (
        f"Was step {step.name} done? ({waiting.words}) Write it into the case first: "
        f"done {words}, or not-done {words}."
    )


def text_of_day(answer: TodayAnswer) -> str:
    """Return the card as text for a terminal or a message."""
    return day_card_text.as_text(day_card_of(answer))


def day_card_json(answer: TodayAnswer) -> dict[str, object]:
    """Return the documented JSON shape of ``today``."""
    card = day_card_of(answer)
    amounts = answer.running.run.amounts
    return {
        "case": answer.stored.view().name,
        **_head_json(card),
        "lines": [
            _line_json(part.title, line, [amounts[index] for index in line.amount_indices])
            for part in card.parts
            for line in part.lines
        ],
        "handling": [
            {"title": part.title, "agent": part.agent, "hazard": part.hazard,
             "lines": list(part.lines)}
            for part in card.handling
        ],
        "changed": list(card.changed),
        "warning": card.warning,
        "not_valid": list(card.not_valid),
        "first": list(card.first),
        "first_call": FIRST_CALL if card.stops else "",
        "unanswered": [waiting.step.name for waiting in answer.unanswered],
        "stops": list(card.stops),
        "next": card.next_on,
        "do_not": list(card.do_not),
        "call_if": list(card.call_if),
        "phone": card.head.phone,
        "emergency": EMERGENCY,
        "valid_until": card.valid_until,
        "foot": sheet_of(card).foot,
        "cautions": [
            {"level": c.level.value, "code": c.code, "words": c.words, "why": c.why,
             "instead": c.what_instead}
            for c in answer.cautions
        ],
        "remarks": list(answer.remarks),
        "messages": list(day_card_text.as_messages(card)),
        "text": day_card_text.as_text(card),
    }  # fmt: skip


def paper_of_day(answer: TodayAnswer, paper: str = "a4") -> bytes:
    """Return the card as a PDF.

    Args:
        answer: the day.
        paper: size of the paper, as in ``PAPERS``.

    Raises:
        BadInput: E-WORD-02 there is no such paper.
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    if paper not in PAPERS:
        raise BadInput(
            "E-WORD-02",
            "There is no such paper.",
            given=paper,
            needed=f"one of: {', '.join(PAPERS)}",
            next_step="Choose one of them.",
            field="paper",
        )
    return day_card_pdf.as_pdf(day_card_of(answer), paper)


def write_pdf(answer: TodayAnswer, target: str | Path) -> None:
    """Write the card as a PDF.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
        CouldNotSave: the disk refused.
    """
    write_whole(Path(target), paper_of_day(answer))


def write_ics(answer: TodayAnswer, target: str | Path) -> None:
    """Write the whole course as a calendar file.

    Raises:
        CouldNotSave: the disk refused.
    """
    write_whole(Path(target), calendar_of(answer))


def calendar_of(answer: TodayAnswer) -> bytes:
    """Return the calendar of the course; steps it replaces, or that are left out, are cancelled."""
    opened = answer.stored.view().opened
    followed = answer.running
    before = {
        step.name: step
        for made in (*replaced(answer), followed)
        for step in calendar.steps(made.run, made.clock, made.names)
    }
    void_from = void_since(answer)
    steps = calendar.steps(followed.run, followed.clock, followed.names)
    return calendar.as_ics(
        tuple(step for step in steps if void_from is None or step.start < void_from.utc),
        tuple(before.values()),
        case=f"{opened.name}|{opened.keeper}|{opened.recorded_at}",
        title=f"{opened.name}: {followed.chosen.name}",
        version=followed.chosen.version,
        made_at=clock.now(),
    )


def _head_json(card: DayCard) -> dict[str, object]:
    sheet, head = sheet_of(card), card.head
    return {
        "heading": sheet.heading,
        "title": sheet.title,
        "place": sheet.place,
        "example": head.example,
        "date": card.day.isoformat(),
        "day": card.number,
        "plan": {"name": head.plan, "version": head.version, "replaces": card.replaces},
    }


def _line_json(part: str, line: CardLine, amounts: Sequence[PrintedAmount]) -> CardLineJson:
    return {
        "part": part,
        "step": line.step,
        "at": line.at,
        "text": line.text,
        "write_down": list(line.blanks),
        "amounts": [
            {
                "text": amount.text,
                "value": float(amount.value),
                "unit": amount.unit,
                "agent": amount.agent,
                "sum": amount.sum_text,
                "reason": amount.reason,
            }
            for amount in amounts
        ],
        "above_usual": list(line.above_usual),
    }


def _cautions(answer: TodayAnswer) -> Iterator[str]:
    """Say what to heed on the day; what forbids the course stands before its steps."""
    yield from (f"CARE: {remark}" for remark in answer.remarks)
    for caution in answer.cautions:
        if answer.of_care and caution.code == TOO_WEAK:
            continue
        if caution.level is not Level.BLOCKED:
            yield f"{caution.level.value.upper()}: {caution.words} {caution.what_instead}"
        elif answer.of_care and not caution.agent:
            yield f"CARE: {caution.words} {caution.what_instead}"


def _units(view: CaseView) -> Mapping[str, str]:
    """Return the unit in which each reading of the main water was typed last, by its name."""
    readings = {} if view.main is None else view.main.readings
    return {
        what.value: "" if taken.measured.kind is Kind.PH else taken.measured.unit.text
        for what, taken in readings.items()
        if taken.measured is not None
    }


def _head(answer: TodayAnswer) -> CardHead:
    stored, followed = answer.stored, answer.running
    view = stored.view()
    return CardHead(
        place=f"{view.bare_name}, {view.opened.keeper}",
        water=f"{volume_words(followed.case.main.volume.point_l)} of water, "
        f"{temperature_words(view)}",
        plan=followed.chosen.name,
        version=followed.chosen.version,
        made=made_words(stored),
        example=view.example,
    )
