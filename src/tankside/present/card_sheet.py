"""The day card as sections in the order they are read: every form of the card is written from them.

What is not in a section stands in no form, and what is in a section stands in each: text, paper and
page differ in how a section looks, never in which lines it has.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from textwrap import shorten

from tankside.present.day_card import (
    BLANK,
    EMERGENCY,
    EXAMPLE_LINE,
    FIRST_CALL,
    HEADING,
    STOP,
    CardLine,
    DayCard,
)

NOT_VALID = "NOT VALID."
FIRST = "FIRST"
TAKE_CARE = "TAKE CARE"
SHORTENED = 120
"""Signs of a warning that is said again; it stands in full on the first sheet."""
SUMS = "THE SUMS, to check the amounts by"


class SectionLook(Enum):
    """How a section is told from the others."""

    BOX = "box"
    STEPS = "steps"
    PLAIN = "plain"
    NEVER = "never"
    RUN_ON = "run_on"


@dataclass(frozen=True, slots=True)
class CardSection:
    """Lines under a title ("" for none); ``warns`` when no step may be read without it."""

    look: SectionLook
    title: str
    lines: tuple[CardLine, ...]
    warns: bool = False


@dataclass(frozen=True, slots=True)
class CardSheet:
    """All that any form of a card shows: who and when, the sections, what holds at the foot."""

    heading: str
    title: str
    tank: str
    water: str
    plan: str
    sections: tuple[CardSection, ...]
    foot: str

    @property
    def place(self) -> str:
        """Tank and keeper, and the water that amounts are for."""
        return f"{self.tank}, {self.water}"

    def warned(self, where: str) -> tuple[str, ...]:
        """Say on a later sheet what warns of its steps, and where that stands in full."""
        warning = (
            section.title or section.lines[0].text for section in self.sections if section.warns
        )
        return tuple(f"{shorten(words, SHORTENED)} See {where} 1." for words in warning)


def sheet_of(card: DayCard) -> CardSheet:
    """Return a card as every form writes it."""
    return CardSheet(
        HEADING + card.mark,
        card.title,
        card.head.place,
        card.head.water,
        f"{card.plan}.",
        tuple(section for section in _sections(card) if section.lines),
        f"Plan {card.head.version}. {card.foot}",
    )


def _sections(card: DayCard) -> Iterator[CardSection]:
    yield _section(SectionLook.BOX, NOT_VALID, card.not_valid, warns=True)
    yield _section(SectionLook.BOX, f"{STOP}. {FIRST_CALL}", card.stops, warns=True)
    yield _section(SectionLook.PLAIN, FIRST, card.first)
    yield _section(SectionLook.BOX, "", [card.warning], warns=True)
    yield _section(SectionLook.BOX, "", [card.replaces])
    yield _section(SectionLook.BOX, "", [EXAMPLE_LINE] if card.head.example else [])
    for part in card.parts:
        yield CardSection(SectionLook.STEPS, part.title, part.lines)
    yield _section(SectionLook.PLAIN, "", [card.next_on])
    yield _section(SectionLook.PLAIN, TAKE_CARE, card.cautions)
    for substance in card.handling:
        yield _section(SectionLook.PLAIN, substance.title, substance.lines or ("",))
    yield _section(SectionLook.NEVER, "DO NOT", card.do_not)
    phone = CardLine("", "Phone:", blanks=(card.head.phone or BLANK * 3,))
    yield _section(SectionLook.RUN_ON, "CALL IF", card.call_if)
    yield CardSection(SectionLook.PLAIN, "", (phone,))
    yield _section(SectionLook.BOX, "", [EMERGENCY])
    sums = [text for part in card.parts for line in part.lines for text in line.sums]
    yield _section(SectionLook.PLAIN, SUMS, sums)


def _section(
    look: SectionLook, title: str, texts: list[str] | tuple[str, ...], *, warns: bool = False
) -> CardSection:
    return CardSection(look, title, tuple(CardLine("", text) for text in texts if text), warns)
