"""The page of the day card: the card, what became of its steps, messages, the days beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

from tankside.course.actions import Count, StrengthTest, TakeReading
from tankside.course.actions.action import Action
from tankside.intake.course_steps import CourseStep
from tankside.present.card_sheet import CardSheet, sheet_of
from tankside.present.day_card_text import as_messages
from tankside.quantity.dates import entry_moment_words
from tankside.report.day_card import day_card_of
from tankside.services.step_answer import CHANGES
from tankside.services.today import TodayAnswer

ONE_DAY = timedelta(days=1)
STATES: Mapping[str, str] = {
    "done": "done",
    "not_done": "not done",
    "other_amount": "another amount",
    "keeper_does_not_know": "not known",
}


@dataclass(frozen=True, slots=True)
class StepOnPage:
    """What the page offers at a step, and what was answered.

    Args:
        name: its short name.
        answered: what became of it and when that was said; "" while nobody said.
        asks: unit of another amount, "" where the step has no amount.
        entry_word: the form by which its result is entered, "" where it has none.
        is_dropped: whether its course was replaced or stopped before its time came.
    """

    name: str
    answered: str
    asks: str
    entry_word: str
    is_dropped: bool


@dataclass(frozen=True, slots=True)
class DayPage:
    """What the page of one day shows.

    Args:
        sheet: the card itself, in sections.
        steps: what may be answered, by the short name of the step.
        messages: the card as text, to paste into messages.
        day: the day, ISO.
        before: the day before, ISO; "" on the first day of the course.
        after: the day after, ISO; "" on the last.
        still_open: how many steps of the day nobody has answered.
    """

    sheet: CardSheet
    steps: Mapping[str, StepOnPage]
    messages: tuple[str, ...]
    day: str
    before: str
    after: str
    still_open: int


def day_page(answer: TodayAnswer) -> DayPage:
    """Return the page of one day of the course."""
    card = day_card_of(answer)
    last = answer.running.run.course.days - 1
    sheet = sheet_of(card)
    on_card = {line.step for section in sheet.sections for line in section.lines if line.step}
    lived = answer.running.lived
    every = lived[-1].followed.steps if lived else ()
    steps = {step.name: _on_page(step) for step in every if step.name in on_card}
    return DayPage(
        sheet=sheet,
        steps=steps,
        messages=as_messages(card),
        day=card.day.isoformat(),
        before=(card.day - ONE_DAY).isoformat() if card.number > 0 else "",
        after=(card.day + ONE_DAY).isoformat() if card.number < last else "",
        still_open=sum(not (step.answered or step.is_dropped) for step in steps.values()),
    )


def _on_page(step: CourseStep) -> StepOnPage:
    answered = ""
    if step.entries:
        last = step.entries[-1]
        answered = f"{STATES[last.state]}, {entry_moment_words(last.moment)}"
    return StepOnPage(
        step.name, answered, _asks(step.action), _entry_word(step.action), step.dropped
    )


def _asks(action: Action) -> str:
    if action.kind in CHANGES:
        return "L"
    return "g" if action.kind in ("salt", "dose", "titrate", "bath") else ""


def _entry_word(action: Action) -> str:
    if isinstance(action, Count):
        return "count"
    return "water" if isinstance(action, TakeReading | StrengthTest) else ""
