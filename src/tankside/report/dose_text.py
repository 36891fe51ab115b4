"""One amount as one document: what to weigh, the sum, what to watch, people, the law."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from tankside.claims import Source
from tankside.course import Caution, Level
from tankside.course.amounts.choice import LOW_HAZARD as LOW
from tankside.course.amounts.printing import concentration
from tankside.present.blocks import Block, Document, Words
from tankside.present.handling import handling_of
from tankside.present.law import rule_lines
from tankside.quantity.show import NO_BREAK
from tankside.services.dose import DoseAnswer

EMERGENCY = (
    "Fish roll over or gasp: air on, fish out into clean water of the same temperature, or change "
    "half the water with matched water free of chlorine; give no more.",
    "A person is splashed, breathes it in or swallows it: see the people lines, call a poison "
    "centre or doctor, show the label.",
)
IF_WRONG = "Gasping fish: air on, clean water."
IN_SHORT = "Label, veterinarian first; rest: --why."
EXPLAINED = re.compile(r": [^.]*(?=\.)")
"""What a line on what to wear explains after a colon; the whole of it stands with --why."""
NEXT_STEP = ("; ", ". ", ", or ", ", and again ")
"""Where an instruction goes on to what else may be done."""
IN_BRACKETS = re.compile(r" \([^()]*\)")
RECIPE = re.compile(r"New water: .*?\.(?= [A-Z]|$)")
DRAIN = re.compile(r"It may hold (?P<what>.*?)\. (?P<rule>.*?)(?= It may hold| Put back|$)")
NEVER = re.compile(r"\b(?:never|not) [^;.]*")
SPOILED = re.compile(r"none of it left over, since it spoils [^;)(]*[^;)( ]")
UNREAD = " (read the salinity of both first)"
ASIDES = (" (to the tape)", " This is not an alarm clock.")
STEPS_UNREAD = "of both read first"
"""A water change in short: what the new water is, where the old never goes; how, with --why."""
NO_ORDER = (
    "Information with options, not an order: the label, local rules and a licensed veterinarian "
    "come first."
)


def dose_document(answer: DoseAnswer, why: bool = False) -> Document:
    """Return one amount: what is read before it is weighed, and folded, the rest.

    Args:
        answer: the amount.
        why: whether nothing is folded away.
    """
    law = {answer.amount.agent: rule_lines(answer.agent, answer.law, answer.country)}
    handling = handling_of([answer.amount], law, answer.line)
    rest = not why
    blocks: tuple[Block, ...] = (
        Words("", tuple(_first(answer))),
        *caution_words(answer.cautions, why=why),
        Words("", tuple(_before_leaving(answer, why))),
        *_in_full(answer, rest),
        Words("The sum in full", tuple(_sum(answer)), folded=rest),
        *_reasons(answer, rest),
        *(Words(part.title, part.lines, folded=rest) for part in handling),
        *closing(EMERGENCY, answer.sources, folded=rest),
    )
    title = f"{answer.agent.name}: {_amount(answer)}"
    return Document(title, blocks, answer.line if why else in_short(answer.line))


def closing(
    emergency: tuple[str, ...], sources: Sequence[Source], *, folded: bool
) -> tuple[Words, ...]:
    """Return what ends every amount: if it goes wrong, the sources, and that it is no order."""
    return (
        Words("If it goes wrong", emergency, "EMERGENCY", folded=folded),
        Words("Sources", tuple(source_line(source) for source in sources), folded=folded),
        Words("Not an order" if folded else "", (NO_ORDER,), folded=folded),
    )


def in_short(line: str) -> str:
    """Say an instruction in short: what new water is, where the old never goes; no setting."""
    for aside in ASIDES:
        line = line.replace(aside, "")
    return RECIPE.sub(_new_in_short, DRAIN.sub(_drain_in_short, line))


def _new_in_short(recipe: re.Match[str]) -> str:
    said, before = recipe[0], ""
    while said != before:
        before, said = said, IN_BRACKETS.sub("", said)
    parts = [part for part in said.rstrip(".").split("; ") if STEPS_UNREAD not in part]
    if UNREAD in recipe[0]:
        parts.append(UNREAD.strip(" ()"))
    spoiled = SPOILED.search(recipe[0])
    if spoiled:
        parts.append(f"conditioner: {spoiled[0]}")
    return f"{'; '.join(parts)}."


def _drain_in_short(rule: re.Match[str]) -> str:
    never = NEVER.search(rule["rule"])
    return rule[0] if never is None else f"May hold {rule['what']}: {never[0]}."


def _in_full(answer: DoseAnswer, folded: bool) -> Iterator[Words]:
    """Say a line that is told in short, whole: beside the short one it is folded."""
    if folded and in_short(answer.line) != answer.line:
        yield Words("What is done, in full", (answer.line,), folded=True)


def _amount(answer: DoseAnswer) -> str:
    stock = " of stock" if answer.amount.stock_solution else ""
    return f"{answer.amount.text}{stock}"


def _first(answer: DoseAnswer) -> Iterator[str]:
    """Say what is read before anything is weighed: names, sum, limits, form."""
    yield from answer.names_read
    brought = concentration(answer.amount.strength_mg_l, answer.amount.basis)
    if answer.reaches_mg_l is not None:
        brought += f", with what is there {concentration(answer.reaches_mg_l, '')}"
    most = f"above {concentration(answer.hard_mg_l, '')}"
    never = "more" if answer.usual_high_mg_l == answer.hard_mg_l else most
    yield f"{answer.brings or brought}; usual {_usual(answer)}, never {never}."
    if answer.amount.finer:
        yield answer.amount.finer
    if answer.amount.reason:
        yield f"Above the soft limit, with this reason: {answer.amount.reason}"


def _before_leaving(answer: DoseAnswer, why: bool) -> Iterator[str]:
    """Say what whoever weighs it wears and does first; the rest of it is folded."""
    fields = dict(answer.amount.handling)
    worn = EXPLAINED.sub("", fields.get("ppe", ""))
    if fields.get("hazard") != LOW and worn and not why:
        yield f"Hazard {fields.get('hazard', 'not known')}. Wear: {worn}"
    if not why:
        roll_over = "" if "oll over" in answer.line else f"{IF_WRONG} "
        yield f"{roll_over}{IN_SHORT}"


def _reasons(answer: DoseAnswer, folded: bool) -> Iterator[Words]:
    """Say why each caution stands, with its figures and its source."""
    lines = tuple(f"{caution.words} {caution.why}" for caution in answer.cautions)
    if lines:
        yield Words("Why it is to be watched", lines, folded=folded)


def amount_line(answer: DoseAnswer) -> str:
    """Say one amount and what is done with it in one line."""
    return f"{answer.agent.name}: {_amount(answer)}. {answer.line}"


def source_line(source: Source) -> str:
    """Name a work by its key and citation."""
    return f"{source.key}: {source.citation}"


def _sum(answer: DoseAnswer) -> Iterator[str]:
    amount = answer.amount
    yield f"Sum: {amount.sum_text}"
    yield f"Strength is given {answer.agent.basis}."
    smaller = concentration(amount.strength_smaller_mg_l, "")
    yield f"If the water is the smallest that fits: {smaller}."
    if amount.stock_solution:
        yield amount.stock_solution


def first_step(instruction: str) -> str:
    """Return the first thing to do out of several that stand in one instruction."""
    first = min((instruction.split(end)[0] for end in NEXT_STEP), key=len)
    return f"{first.rstrip('.')}."


def _usual(answer: DoseAnswer) -> str:
    low, high = answer.usual_low_mg_l, answer.usual_high_mg_l
    if low is None or high is None:
        return "not known"
    most = concentration(high, "")
    if low >= high:
        return most
    least = concentration(low, "")
    number, _, unit = least.partition(NO_BREAK)
    return f"{number if most.endswith(unit) else least} to {most}"


def caution_words(cautions: Sequence[Caution], *, why: bool) -> Iterator[Words]:
    """Say what to watch and the first thing to do about it; why, and what else, stand apart."""
    said: set[str] = set()
    for level, strong in ((Level.CARE, "CARE"), (Level.NOTE, "NOTE")):
        lines = []
        for caution in (c for c in cautions if c.level is level):
            do = caution.what_instead if why else first_step(caution.what_instead)
            lines.append(caution.words if do in said else f"{caution.words} {do}")
            said.add(do)
        if lines:
            yield Words("", tuple(lines), strong)
