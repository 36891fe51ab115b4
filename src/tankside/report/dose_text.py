"""One amount as one document: what to weigh, the sum, what to watch, people, the law."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Source
from tankside.course import Level
from tankside.present.blocks import Block, Document, Words
from tankside.present.handling import handling_of
from tankside.present.law import rule_lines
from tankside.services.dose import DoseAnswer

EMERGENCY = (
    "Fish roll over or gasp: air on, fish out into clean water of the same temperature, or change "
    "half the water with matched water free of chlorine; give no more.",
    "A person is splashed, breathes it in or swallows it: see the people lines, call a poison "
    "centre or doctor, show the label.",
)
NO_ORDER = (
    "Information with options, not an order: the label, local rules and a licensed veterinarian "
    "come first."
)


def dose_document(answer: DoseAnswer) -> Document:
    """Return one amount with everything that belongs beside it."""
    law = {answer.amount.agent: rule_lines(answer.agent, answer.law, answer.country)}
    blocks: tuple[Block, ...] = (
        Words("The sum", tuple(_sum(answer))),
        *_cautions(answer, Level.CARE, "What to watch, and why", "CARE"),
        *_cautions(answer, Level.NOTE, "What else to know", "NOTE"),
        *(Words(part.title, part.lines) for part in handling_of([answer.amount], law, answer.line)),
        Words("If it goes wrong", EMERGENCY, "EMERGENCY"),
        Words("Sources", tuple(source_line(source) for source in answer.sources)),
        Words("", (NO_ORDER,)),
    )
    return Document(f"{answer.agent.name}: {answer.amount.text}", blocks, answer.line)


def amount_line(answer: DoseAnswer) -> str:
    """Say one amount and what is done with it in one line."""
    return f"{answer.agent.name}: {answer.amount.text}. {answer.line}"


def source_line(source: Source) -> str:
    """Name a work by its key and citation."""
    return f"{source.key}: {source.citation}"


def _sum(answer: DoseAnswer) -> Iterator[str]:
    amount = answer.amount
    yield from answer.names_read
    yield f"Sum: {amount.sum_text}"
    hard = f"never above {answer.hard_mg_l:g} mg/L"
    yield f"Strength is given {answer.agent.basis}. Usual {_usual(answer)}; {hard}."
    smaller = float(amount.strength_smaller_mg_l)
    yield f"If the water is the smallest that fits: {smaller:.4g} mg/L."
    if amount.stock_solution:
        yield amount.stock_solution
    if amount.reason:
        yield f"Above the soft limit, with this reason: {amount.reason}"


def _usual(answer: DoseAnswer) -> str:
    low, high = answer.usual_low_mg_l, answer.usual_high_mg_l
    if low is None or high is None:
        return "not known"
    return f"{low:g} mg/L" if low == high else f"{low:g} to {high:g} mg/L"


def _cautions(answer: DoseAnswer, level: Level, title: str, strong: str) -> Iterator[Words]:
    lines = tuple(
        f"{caution.words} {caution.why.rstrip('.')}. {caution.what_instead}"
        for caution in answer.cautions
        if caution.level is level
    )
    if lines:
        yield Words(title, lines, strong)
