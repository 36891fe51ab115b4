"""The day card on one printed page."""

from __future__ import annotations

from tankside.present.amounts import pieces, tie_units
from tankside.present.day_card import (
    EMERGENCY,
    EXAMPLE_LINE,
    FIRST_CALL,
    HEADING,
    STOP,
    CardLine,
    DayCard,
)
from tankside.present.typesetting import set_page


def as_pdf(card: DayCard, paper: str = "a4") -> bytes:
    """Return the card as a PDF with real text.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    return set_page("day_card.typ", "card", _data(card), paper)


def _data(card: DayCard) -> dict[str, object]:
    head = card.head
    return {
        "heading": HEADING + card.mark,
        "title": card.title,
        "place": head.place,
        "water": tie_units(head.water),
        "plan": tie_units(card.plan),
        "replaces": card.replaces,
        "example": EXAMPLE_LINE if head.example else "",
        "warning": card.warning,
        "stop": STOP,
        "first_call": FIRST_CALL,
        "stops": list(card.stops),
        "parts": [
            {"title": part.title, "lines": [_line(line) for line in part.lines]}
            for part in card.parts
        ],
        "handling": [
            {"title": part.title, "lines": [tie_units(text) for text in part.lines]}
            for part in card.handling
        ],
        "next_on": card.next_on,
        "do_not": list(card.do_not),
        "call_if": "; ".join(card.call_if) + ".",
        "phone": head.phone,
        "emergency": EMERGENCY,
        "foot": f"Plan {head.version}. {card.foot}",
    }


def _line(line: CardLine) -> dict[str, object]:
    return {
        "at": line.at,
        "pieces": [{"text": piece.text, "amount": piece.is_amount} for piece in pieces(line.text)],
        "blanks": [*line.above_usual, *line.blanks],
    }
