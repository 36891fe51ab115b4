"""The day card as text to paste into a message."""

from __future__ import annotations

from tankside.present.amounts import tie_units
from tankside.present.day_card import BLANK, CardLine, DayCard

LONGEST_MESSAGE = 1500
"""Signs that common messengers take without cutting; standing advice is shortened to keep to it."""


def as_text(card: DayCard) -> str:
    """Write the card; steps and amounts are never shortened, standing advice may be.

    Returns:
        Under 1,500 signs unless the steps alone need more.
    """
    whole = _text(card, len(card.do_not))
    keep = len(card.do_not)
    while len(whole) >= LONGEST_MESSAGE and keep > 1:
        keep -= 1
        whole = _text(card, keep)
    return whole


def _text(card: DayCard, do_not: int) -> str:
    rows = [
        f"DAY CARD {card.title}" + (" (EXAMPLE, invented)" if card.head.example else ""),
        f"{card.head.place}, {card.head.water}",
        f"Plan {card.head.version}: {card.head.plan}. {card.replaces}".rstrip(),
    ]
    rows += [f"STOP, do nothing of this before you have called: {text}" for text in card.stops]
    for part in card.parts:
        rows += ["", part.title, *(_line(line) for line in part.lines)]
    rows += ["", card.next_on] if card.next_on else []
    rows += ["", "DO NOT", *(f"- {text}" for text in card.do_not[:do_not])]
    rows += ["", f"CALL {card.head.phone or BLANK} IF " + ", ".join(card.call_if) + "."]
    rows += [f"Not valid after {card.valid_until}. {card.head.made}"]
    return tie_units("\n".join(rows)) + "\n"


def _line(line: CardLine) -> str:
    start = f"[ ] {line.at} " if line.at else "[ ] "
    return start + " ".join((line.text, *line.blanks))
