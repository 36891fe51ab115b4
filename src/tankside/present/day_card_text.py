"""The day card as text to paste into a message."""

from __future__ import annotations

from dataclasses import replace

from tankside.present.amounts import tie_units
from tankside.present.day_card import BLANK, FIRST_CALL, HEADING, STOP, CardLine, DayCard

LONGEST_MESSAGE = 1500
"""Signs that common messengers take without cutting; standing advice is shortened to keep to it."""


def as_text(card: DayCard) -> str:
    """Write the card; steps, amounts and dangers are never shortened.

    Where to store a substance, then standing advice, give way in a message that is too long.

    Returns:
        Under 1,500 signs unless the steps and what goes with them need more.
    """
    keep = len(card.do_not)
    whole = _text(card, keep)
    if len(whole) >= LONGEST_MESSAGE:
        card = replace(card, handling=tuple(part.without_storage() for part in card.handling))
        whole = _text(card, keep)
    while len(whole) >= LONGEST_MESSAGE and keep > 1:
        keep -= 1
        whole = _text(card, keep)
    return whole


def _text(card: DayCard, do_not: int) -> str:
    rows = [
        f"{HEADING} {card.title}{card.mark}",
        f"{card.head.place}, {card.head.water}",
        f"{card.plan}. {card.replaces}".rstrip(),
    ]
    rows += [f"{STOP}. {FIRST_CALL} {text}" for text in card.stops]
    rows += [card.warning] if card.warning else []
    for part in card.parts:
        rows += ["", part.title, *(_line(line) for line in part.lines)]
    rows += ["", card.next_on] if card.next_on else []
    for substance in card.handling:
        rows += ["", substance.title, *(f"- {text}" for text in substance.lines)]
    rows += ["", "DO NOT", *(f"- {text}" for text in card.do_not[:do_not])]
    rows += ["", f"CALL {card.head.phone or BLANK} IF " + ", ".join(card.call_if) + "."]
    rows.append(card.foot)
    return tie_units("\n".join(rows)) + "\n"


def _line(line: CardLine) -> str:
    start = f"[ ] {line.at} " if line.at else "[ ] "
    return start + " ".join((line.text, *line.above_usual, *line.blanks))
