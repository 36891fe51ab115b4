"""The record of a case on one page: for a veterinarian, an owner, an inspector."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from tankside.case import CATALOGUE, CaseView
from tankside.case.entry import Correction
from tankside.present.blocks import Block, Document, Rows, Words
from tankside.present.table import Table
from tankside.quantity.dates import day_words, entry_moment_words
from tankside.report.case_text import entry_text
from tankside.report.case_words import (
    NO_VOLUME,
    closed_words,
    made_words,
    system_volume_words,
    temperature_words,
    water_type_words,
)
from tankside.report.course import chosen_block
from tankside.report.page import OpenCase
from tankside.report.seen import count_and_death_blocks, done_block, finding_block
from tankside.report.tank import stock_block
from tankside.report.tank_water import agents_in_water

NOTHING_GIVEN = "No course was chosen and nothing was entered as given."
SIGN = "Read and signed: ____________________    date: ____________"


def record_document(case: OpenCase) -> Document:
    """Return the record: who, what it was, what was given, counts, reasons, what was put right."""
    view = case.view
    blocks = (
        Words("Whose, and where", tuple(_who(view))),
        *_causes(view),
        *_treated(view),
        *count_and_death_blocks(view),
        stock_block(case),
        *finding_block(view),
        *_tests(view),
        *_decisions(view),
        *_corrections(view),
        Words("Written by", (*_writers(view), made_words(case.stored), SIGN)),
    )
    return Document(f"Record: {view.name}", blocks, record_lead(view))


def record_lead(view: CaseView) -> str:
    """Say how the case stands and how many entries tell it."""
    days = view.day(view.last_moment()) + 1
    state = closed_words(view).capitalize() or "Still open"
    died = sum(group.deaths for group in view.stock.values())
    spell = "1 day" if days == 1 else f"{days} days"
    return f"{state} after {spell}: {view.version} entries, {died} died."


def _who(view: CaseView) -> Iterator[str]:
    opened = view.opened
    yield f"{view.name}, keeper {opened.keeper}"
    yield f"opened {entry_moment_words(opened.moment)}, {opened.place or opened.zone}"
    yield f"country: {opened.country or 'not said'}"
    yield f"{water_type_words(view)}, {temperature_words(view)}"
    for system in view.systems.values():
        yield f"{system.name}: {system_volume_words(system)}"
    if not view.systems:
        yield NO_VOLUME
    if opened.call:
        yield f"the call: {opened.call}"


def _causes(view: CaseView) -> tuple[Words, ...]:
    lines = tuple(
        f"{entry_moment_words(e.moment)}: {CATALOGUE.of(e).title}, {entry_text(e)}"
        for e in view.diagnoses
    )
    return (Words("What it was thought to be, and why", lines),) if lines else ()


def _treated(view: CaseView) -> tuple[Block, ...]:
    blocks = (*chosen_block(view), *done_block(view), *agents_in_water(view))
    return blocks or (Words("What was given", (NOTHING_GIVEN,)),)


def _tests(view: CaseView) -> tuple[Block, ...]:
    rows = tuple((entry_moment_words(t.moment), entry_text(t)) for t in view.water_tests)
    table = Table("water tests", ("when", "readings"), rows)
    return (Rows("Water tests", table, folded=len(rows) > 6),) if rows else ()


def _decisions(view: CaseView) -> tuple[Words, ...]:
    lines = [f"{entry_moment_words(d.moment)}: {entry_text(d)}" for d in view.decisions]
    if view.closed is not None:
        lines.append(f"{day_words(view.closed.moment.day)}: {entry_text(view.closed)}")
    return (Words("Decisions, and why", tuple(lines)),) if lines else ()


def _corrections(view: CaseView) -> tuple[Words, ...]:
    lines = tuple(
        f"entry {line.entry.id}: {entry_text(line.entry)}"
        for line in view.history
        if isinstance(line.entry, Correction)
    )
    return (Words("Put right later; what was written first still stands", lines),) if lines else ()


def _writers(view: CaseView) -> Iterator[str]:
    for name, number in Counter(line.entry.by for line in view.history).most_common():
        yield f"{name}: {number} entries"
