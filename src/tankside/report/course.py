"""The chosen course: its time line, every amount with its sum, every caution."""

from __future__ import annotations

from collections.abc import Iterable

from tankside import library
from tankside.case import CaseView
from tankside.course import Caution, Level
from tankside.errors import Mistake
from tankside.intake.followed_course import Running, law_of, running
from tankside.present.blocks import Block, Document, Rows, Words
from tankside.present.day_card import EMERGENCY
from tankside.present.drawing import drawing
from tankside.present.figures import course_chart
from tankside.present.handling import handling_of
from tankside.present.table import Table
from tankside.quantity.dates import entry_moment_words, moment_words
from tankside.report.case_text import entry_text
from tankside.report.page import OpenCase

CHANGED = "What this plan rests on has changed since"
BLOCKED = "This course cannot be followed as it stands"


def course_document(case: OpenCase) -> Document:
    """Return the course that is followed, or how to choose one."""
    view = case.view
    title = f"Course: {view.name}"
    try:
        followed = running(view, library.load())
    except Mistake as missing:
        how = Words("Next", (missing.next_step,), missing.code)
        return Document(title, (how, *chosen_block(view)), missing.message)
    lead = f"Plan {followed.chosen.version}: {followed.chosen.name}."
    return Document(title, (*_blocks(followed), *chosen_block(view)), lead)


def chosen_block(view: CaseView) -> tuple[Words, ...]:
    """Return every course that was chosen in a case, in order."""
    lines = tuple(f"{entry_moment_words(e.moment)}: {entry_text(e)}" for e in view.courses)
    return (Words("Chosen so far", lines),) if lines else ()


def _blocks(followed: Running) -> Iterable[Block]:
    run = followed.run
    stops = tuple(dict.fromkeys(f"{c.words} {c.what_instead}" for c in run.blocked))
    if stops:
        yield Words(BLOCKED, stops, "BLOCKED")
    if followed.changed:
        yield Words(CHANGED, followed.changed, "CARE")
    yield drawing("The course", course_chart(run, followed.clock))
    if run.amounts:
        yield _amounts(followed)
        for part in handling_of(run.amounts, law_of(followed)):
            yield Words(part.title, part.lines)
        yield Words("If it goes wrong", (EMERGENCY,))
    for level, title in ((Level.CARE, "Take care"), (Level.NOTE, "Notes")):
        lines = tuple(dict.fromkeys(_caution(c) for c in run.safety if c.level is level))
        if lines:
            yield Words(title, lines, level.value.upper())


def _amounts(followed: Running) -> Rows:
    rows = tuple(
        (
            moment_words(followed.clock.local(amount.hour)),
            amount.text,
            amount.agent.replace("_", " "),
            amount.sum_text,
        )
        for amount in followed.run.amounts
    )
    head = ("when", "amount", "of", "the sum")
    return Rows("Every amount", Table("amounts and their sums", head, rows))


def _caution(caution: Caution) -> str:
    return f"{caution.words} {caution.why} {caution.what_instead}"
