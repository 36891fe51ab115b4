"""What fits as a page: the sentence that matters, the dangerous, a card a cause, the next sitting.

Every word is that of the document that the terminal prints; only the places differ.
"""

from __future__ import annotations

from dataclasses import dataclass

from tankside.present.blocks import Block, Cause, Document, NextSitting, Words
from tankside.report.differential_text import (
    IDEA_FIRST,
    case_differential_document,
    keep_in_mind_block,
)
from tankside.report.differential_words import cause_name, chance_words
from tankside.services.differential_case import CaseDifferentialAnswer

CARDS = 3
"""Causes that stand open; the others are folded away."""
ALARM, SITTINGS = "MUST NOT MISS", "LOOK NEXT"
IN_A_LIST = ("for", "against", "would change it")
"""Lines of a cause that name several reasons."""


@dataclass(frozen=True, slots=True)
class ReasonLine:
    """One line of a cause: its head word, and what it says, in pieces where it is a list."""

    head: str
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CauseCard:
    """One cause: its name, its word with what the tables allow, its reasons.

    Args:
        name: place and name.
        words: how likely, in words.
        spread: how far the tables allow it to move, "" for not at all.
        reach: steps of words: at least, said, at most.
        steps: how many steps there are.
        lines: what it calls for first, and its reasons.
    """

    name: str
    words: str
    spread: str
    reach: tuple[int, int, int]
    steps: int
    lines: tuple[ReasonLine, ...]


@dataclass(frozen=True, slots=True)
class FitsPage:
    """What the page of what fits shows.

    Args:
        lead: the sentence that matters.
        caution: what the page is not.
        own_idea: the line that tells the own first idea, "" for none.
        asks_idea: whether the own idea is asked for first, and the order is folded.
        in_mind: what to keep in mind, in no order.
        order_folded: what the folded order is called.
        alarms: what must not be missed; none where nothing is dangerous.
        order: what stands above the order.
        first: the likeliest causes.
        rest: the other rows: nothing wrong, not on the list, states, less likely causes.
        next: what stands above the sittings.
        sittings: the next sittings, the worthiest first; none when looking is over.
        more: further pieces, as the terminal says them.
    """

    lead: str
    caution: str
    own_idea: str
    asks_idea: bool
    in_mind: Words
    order_folded: str
    alarms: tuple[Words, ...]
    order: tuple[Words, ...]
    first: tuple[CauseCard, ...]
    rest: tuple[CauseCard, ...]
    next: tuple[Words, ...]
    sittings: tuple[NextSitting, ...]
    more: tuple[Block, ...]


def fits_cards(answer: CaseDifferentialAnswer) -> FitsPage:
    """Return the page of what fits a case.

    Args:
        answer: what fits.
    """
    before = not (answer.own_idea or answer.confirmed)
    document = case_differential_document(answer)
    cards = [_card(block) for block in document.blocks if isinstance(block, Cause)]
    words = [block for block in document.blocks if isinstance(block, Words)]
    idea = next((block.lines[0] for block in words if not block.title), "")
    return FitsPage(
        lead=_lead(answer, before),
        caution=document.lead,
        own_idea=idea,
        asks_idea=before,
        in_mind=keep_in_mind_block(answer.differential),
        order_folded=IDEA_FIRST,
        alarms=tuple(block for block in words if block.strong == ALARM),
        order=_above_causes(words),
        first=tuple(cards[:CARDS]),
        rest=tuple(cards[CARDS:]),
        next=tuple(block for block in words if block.title == SITTINGS),
        sittings=tuple(block for block in words if isinstance(block, NextSitting)),
        more=_others(document),
    )


def _above_causes(words: list[Words]) -> tuple[Words, ...]:
    """Return the heading that stands right above the first cause."""
    first = next((place for place, block in enumerate(words) if isinstance(block, Cause)), 0)
    return tuple(words[first - 1 : first]) if first else ()


def _others(document: Document) -> tuple[Block, ...]:
    """Return the pieces that have no place of their own on the page."""
    words = [block for block in document.blocks if isinstance(block, Words)]
    placed = (Cause, NextSitting)
    above = _above_causes(words)
    return tuple(
        block
        for block in document.blocks
        if not isinstance(block, placed)
        and block not in above
        and not (isinstance(block, Words) and (not block.title or block.strong == ALARM))
        and not (isinstance(block, Words) and block.title == SITTINGS)
    )


def _lead(answer: CaseDifferentialAnswer, before: bool) -> str:
    here = answer.differential
    if before:
        return "First your own idea, then the order."
    likeliest = here.ranking.order()[0]
    words = chance_words(here.facts, here.ranking.of(likeliest))
    name = cause_name(here.facts, likeliest).partition(" (")[0]
    if here.looks.stop or not here.looks.looks:
        return f"{name}: {words}. Stop looking, act."
    label = here.facts.sittings[here.looks.looks[0].sitting].label
    return f"{name}: {words}. Next: {label[:1].lower()}{label[1:]}."


def _card(block: Cause) -> CauseCard:
    name, _, rest = block.title.partition(": ")
    words, _, spread = rest.partition("; ")
    lines = tuple(_line(line) for line in block.lines)
    return CauseCard(name, words, spread, block.reach, block.steps, lines)


def _line(line: str) -> ReasonLine:
    head, _, said = line.partition(": ")
    return ReasonLine(head, tuple(said.split("; ")) if head in IN_A_LIST else (said,))
