"""What stands first on the card of a running course: the next hour, today, what is treated."""

from __future__ import annotations

from textwrap import shorten

from tankside.course.actions import CareStep
from tankside.present.day_card import DONE_ALREADY, CardLine, DayCard
from tankside.report.care_words import ahead_lead_words, cause_words, lead_words
from tankside.services.care_case import CareAnswer
from tankside.services.today import TodayAnswer
from tankside.services.water_ahead import water_ahead

LONGEST = 160
"""Signs of a step that is said ahead; it stands in full below."""


def card_lead(answer: TodayAnswer, card: DayCard) -> tuple[str, ...]:
    """Return one sentence for the next hour, one for today, and what is treated, how surely.

    A measured fault of the water stands before the steps of the course.

    Args:
        answer: the day of the course.
        card: its card, for the steps of the day.
    """
    care = answer.care
    if care is None:
        return ()
    treated = (*_ahead(answer, care), f"Treated: {cause_words(care.named)}")
    if care.water_first:
        return (*lead_words(care), f"The water first: {cause_words(care.first)}", *treated)
    steps = [line for part in card.parts for line in part.lines if line.step]
    waiting = [line for line in steps if DONE_ALREADY not in line.text]
    if not waiting:
        return (f"Next hour: no step waits. {card.next_on}".strip(), _today(steps), *treated)
    return (f"Next hour: {_short(answer, waiting[0])}", _today(steps, waiting[-1]), *treated)


def _ahead(answer: TodayAnswer, care: CareAnswer) -> tuple[str, ...]:
    """Return from when the water is safe, where the course puts it right."""
    ahead = water_ahead(care) if answer.of_care else None
    return () if ahead is None else (ahead_lead_words(ahead),)


def _today(steps: list[CardLine], last: CardLine | None = None) -> str:
    if last is None:
        done = "every step of the day is done" if steps else "no step of the course"
        return f"Today: {done}; read the thermometer and write down what died."
    number = f"{len(steps)} steps" if len(steps) > 1 else "one step"
    return f"Today: {number}, the last at {last.at}; write down what died."


def _short(answer: TodayAnswer, line: CardLine) -> str:
    """Return a step of a protocol in its words, another by its kind: amounts stand once, below."""
    followed = answer.running
    place = next(place for place, name in followed.names.items() if name == line.step)
    action = followed.run.course.actions[place]
    if isinstance(action, CareStep):
        return shorten(f"{line.at} {line.text}", LONGEST)
    return f"{line.at} {line.step}, {action.kind.replace('_', ' ')}; how stands below."
