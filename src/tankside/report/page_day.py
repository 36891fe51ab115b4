"""The page of the day card: the card, the cautions of the day, and the days beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from tankside.present.day_card import DayCard
from tankside.present.day_card_text import as_text
from tankside.report.day_card import day_card_of
from tankside.services.today import TodayAnswer

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class DayPage:
    """What the page of one day shows.

    Args:
        card: the card itself.
        cautions: level in capitals and sentence of each caution of the day.
        text: the card as text, to paste into a message.
        day: the day, ISO.
        before: the day before, ISO; "" on the first day of the course.
        after: the day after, ISO; "" on the last.
    """

    card: DayCard
    cautions: tuple[tuple[str, str], ...]
    text: str
    day: str
    before: str
    after: str


def day_page(answer: TodayAnswer) -> DayPage:
    """Return the page of one day of the course."""
    card = day_card_of(answer)
    last = answer.running.run.course.days - 1
    cautions = tuple(
        (c.level.value.upper(), f"{c.words} {c.what_instead}") for c in answer.cautions
    )
    return DayPage(
        card=card,
        cautions=cautions,
        text=as_text(card),
        day=card.day.isoformat(),
        before=(card.day - ONE_DAY).isoformat() if card.number > 0 else "",
        after=(card.day + ONE_DAY).isoformat() if card.number < last else "",
    )
