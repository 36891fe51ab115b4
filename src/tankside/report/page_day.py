"""The page of the day card: the card, its messages to paste, and the days beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from tankside.present.card_sheet import CardSheet, sheet_of
from tankside.present.day_card_text import as_messages
from tankside.report.day_card import day_card_of
from tankside.services.today import TodayAnswer

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class DayPage:
    """What the page of one day shows.

    Args:
        sheet: the card itself, in sections.
        messages: the card as text, to paste into messages.
        day: the day, ISO.
        before: the day before, ISO; "" on the first day of the course.
        after: the day after, ISO; "" on the last.
    """

    sheet: CardSheet
    messages: tuple[str, ...]
    day: str
    before: str
    after: str


def day_page(answer: TodayAnswer) -> DayPage:
    """Return the page of one day of the course."""
    card = day_card_of(answer)
    last = answer.running.run.course.days - 1
    return DayPage(
        sheet=sheet_of(card),
        messages=as_messages(card),
        day=card.day.isoformat(),
        before=(card.day - ONE_DAY).isoformat() if card.number > 0 else "",
        after=(card.day + ONE_DAY).isoformat() if card.number < last else "",
    )
