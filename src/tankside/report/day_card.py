"""The day card of a case: its content from one day of the course, as text, JSON, PDF, calendar."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tankside.course import PrintedAmount
from tankside.intake import clock
from tankside.intake.unanswered import OpenStep
from tankside.present import calendar, day_card_pdf, day_card_text
from tankside.present.day_card import CardHead, CardLine, DayCard, day_card
from tankside.quantity.show import volume_words
from tankside.records.whole_file import write_whole
from tankside.report.case_words import made_words, temperature_words
from tankside.services.today import TodayAnswer, replaced


def day_card_of(answer: TodayAnswer) -> DayCard:
    """Return what the card of a day says; text, paper, page and JSON all read it from here."""
    followed = answer.running
    card = day_card(
        followed.run, followed.clock, answer.day, _head(answer), answer.law, followed.names
    )
    asked = tuple(_asked_first(waiting) for waiting in answer.unanswered)
    return replace(card, changed=followed.changed, stops=(*asked, *card.stops))


def _asked_first(waiting: OpenStep) -> str:
    """Ask of a step that nobody answered, before anything more is weighed."""
    return (
        f"Was step {waiting.step.name} done? ({waiting.words}) Write it into the case first: "
        f"done step={waiting.step.name}, or not-done step={waiting.step.name}."
    )


def text_of_day(answer: TodayAnswer) -> str:
    """Return the card as text for a terminal or a message."""
    return day_card_text.as_text(day_card_of(answer))


def day_card_json(answer: TodayAnswer) -> dict[str, object]:
    """Return the documented JSON shape of ``today``."""
    card = day_card_of(answer)
    lines = [(part.title, line) for part in card.parts for line in part.lines]
    amounts = {amount.text: amount for amount in answer.running.run.amounts}
    return {
        "case": answer.stored.view().name,
        "date": card.day.isoformat(),
        "day": card.number,
        "plan": {
            "name": card.head.plan,
            "version": card.head.version,
            "replaces": card.replaces,
        },
        "lines": [_line_json(part, line, amounts) for part, line in lines],
        "handling": [
            {"agent": part.agent, "hazard": part.hazard, "lines": list(part.lines)}
            for part in card.handling
        ],
        "changed": list(card.changed),
        "unanswered": [waiting.step.name for waiting in answer.unanswered],
        "stops": list(card.stops),
        "next": card.next_on,
        "do_not": list(card.do_not),
        "call_if": list(card.call_if),
        "valid_until": card.valid_until,
        "cautions": [
            {"level": c.level.value, "code": c.code, "words": c.words, "why": c.why,
             "instead": c.what_instead}
            for c in answer.cautions
        ],
        "text": day_card_text.as_text(card),
    }  # fmt: skip


def paper_of_day(answer: TodayAnswer) -> bytes:
    """Return the card as a PDF.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    return day_card_pdf.as_pdf(day_card_of(answer))


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
    """Return the calendar of the course, with the steps of the courses it replaces cancelled."""
    opened = answer.stored.view().opened
    followed = answer.running
    before = {
        step.name: step
        for earlier in replaced(answer)
        for step in calendar.steps(earlier.run, earlier.clock, earlier.names)
    }
    return calendar.as_ics(
        calendar.steps(followed.run, followed.clock, followed.names),
        tuple(before.values()),
        case=f"{opened.name}|{opened.keeper}|{opened.recorded_at}",
        title=f"{opened.name}: {followed.chosen.name}",
        version=followed.chosen.version,
        made_at=clock.now(),
    )


def _line_json(part: str, line: CardLine, amounts: dict[str, PrintedAmount]) -> dict[str, object]:
    return {
        "part": part,
        "at": line.at,
        "step": line.step,
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
