"""The day card on paper."""

from __future__ import annotations

from tankside.present.amounts import pieces, tie_units
from tankside.present.card_sheet import CardSection, SectionLook, sheet_of
from tankside.present.day_card import CardLine, DayCard
from tankside.present.typesetting import set_page


def as_pdf(card: DayCard, paper: str = "a4") -> bytes:
    """Return the card as a PDF with real text.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    return set_page("day_card.typ", "card", _data(card), paper)


def _data(card: DayCard) -> dict[str, object]:
    sheet = sheet_of(card)
    return {
        "heading": sheet.heading,
        "title": sheet.title,
        "place": tie_units(sheet.place),
        "plan": tie_units(sheet.plan),
        "sections": [_section(section) for section in sheet.sections],
        "again": " ".join((f"{sheet.title}, {sheet.tank}.", *sheet.warned("page"))),
        "foot": sheet.foot,
    }


def _section(section: CardSection) -> dict[str, object]:
    return {
        "look": section.look.value,
        "title": tie_units(section.title),
        "strong": section.warns,
        "lines": [_line(line, large=section.look is SectionLook.STEPS) for line in section.lines],
    }


def _line(line: CardLine, *, large: bool) -> dict[str, object]:
    stretches = pieces(tie_units(line.text))
    return {
        "at": line.at,
        "pieces": [{"text": p.text, "amount": p.is_amount and large} for p in stretches],
        "blanks": [*line.above_usual, *line.blanks],
    }
