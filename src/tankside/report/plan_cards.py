"""A comparison of courses as a page: one card a course, what speaks for care, the rest on demand.

Every word is that of the document that the terminal prints; only the places differ.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from tankside.intake.built_course import BUILT
from tankside.present.blocks import Block, Document, Rows, Runs, Words

IN_THE_OPEN = ("NOT VALIDATED", "RIVALS", "CARE", "ROUGH", "YOURS")
"""Strong words of pieces that are read before a course is chosen."""
BEATEN = "(beaten)"
BEATEN_WORDS = "another is as good in every respect and better in one"


@dataclass(frozen=True, slots=True)
class CourseCard:
    """One course.

    Args:
        name: its number and name.
        marks: in how many of 20 runs it is clear.
        words: both outcomes in words.
        facts: heading and cell of each column of the comparison.
        is_most_clear: whether none is clear in more runs.
    """

    name: str
    marks: int
    words: str
    facts: tuple[tuple[str, str], ...]
    is_most_clear: bool


@dataclass(frozen=True, slots=True)
class PlansShown:
    """What the page of a comparison shows.

    Args:
        lead: the sentence that matters.
        basis: what the comparison rests on.
        titles: what the cards compare.
        note: how the marks are read.
        cards: the courses, in the order compared.
        open: pieces that are read before choosing.
        folded: the other pieces.
        last: how a course is chosen, and what comes first.
        pair: places of the two courses that are laid over each other unless others are chosen.
    """

    lead: str
    basis: str
    titles: tuple[str, ...]
    note: str
    cards: tuple[CourseCard, ...]
    open: tuple[Block, ...]
    folded: tuple[Block, ...]
    last: tuple[Words, ...]
    pair: tuple[int, int] = (0, 0)


def plan_cards(document: Document) -> PlansShown | None:
    """Return a comparison as cards; None where the document compares nothing.

    Args:
        document: what the terminal prints, a first rough comparison marked in it.
    """
    table = next((block for block in document.blocks if isinstance(block, Rows)), None)
    marks = next((block for block in document.blocks if isinstance(block, Runs)), None)
    if table is None or marks is None or not marks.rows:
        return None
    most = max(number for _, number, _ in marks.rows)
    cards = tuple(
        CourseCard(name, number, words, _facts(table, cells), number == most)
        for (name, number, words), cells in zip(marks.rows, table.table.rows, strict=True)
    )
    first = next(card for card in cards if card.is_most_clear)
    others = [block for block in document.blocks if block not in (table, marks)]
    words = [block for block in others if isinstance(block, Words)]
    in_open = [b for b in words if b.strong in IN_THE_OPEN]
    return PlansShown(
        lead=f"Most often clear: {first.name.partition('. ')[2]}, {first.marks} of 20.",
        basis=document.lead,
        titles=(table.title, marks.title),
        note=marks.note,
        cards=cards,
        open=tuple(in_open),
        folded=tuple(b for b in others if b not in in_open and b != words[-1]),
        last=tuple(_without_ids(block) for block in words[-1:]),
        pair=_pair(cards),
    )


def _without_ids(block: Words) -> Words:
    """Return how to choose, without the names that only a terminal takes: a card is tapped."""
    return replace(block, lines=tuple(line for line in block.lines if not line[:1].isdigit()))


def _facts(table: Rows, cells: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Return the cells of a course but its name, which stands on top of its card."""
    facts = tuple(zip(table.table.head, cells, strict=True))[:-1]
    return (*facts, ("beside the others", BEATEN_WORDS)) if cells[-1].endswith(BEATEN) else facts


def _pair(cards: tuple[CourseCard, ...]) -> tuple[int, int]:
    """Return the course that is most often clear and the next; one put together by hand is one."""
    ranked = sorted(range(len(cards)), key=lambda place: -cards[place].marks)
    built = [place for place in ranked if f" {BUILT}: " in f" {cards[place].name}"]
    first, second, *_ = [*dict.fromkeys((*built, *ranked)), 0, 0]
    return first, second
