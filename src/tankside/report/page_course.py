"""The page of the chosen course: its time line, every amount with its sum, every caution."""

from __future__ import annotations

from tankside import library
from tankside.case.wording import day_text
from tankside.course import Level
from tankside.errors import Mistake, NotPossible
from tankside.intake.followed_course import Running, running
from tankside.intake.law import law_lines
from tankside.present.blocks import Block, Drawing, Page, Rows, Words
from tankside.present.clock import moment_words
from tankside.present.figures import Figure, as_svg, course_chart
from tankside.present.handling import handling_of
from tankside.present.table import Table
from tankside.report.case_text import entry_text
from tankside.report.page import OpenCase

HOW = "Compare courses and choose one: tankside plan CASE, then --choose K."


def course_page(case: OpenCase) -> Page:
    """Return the course that is followed, or how to choose one."""
    view = case.view
    blocks: list[Block] = []
    lead = ""
    try:
        going = running(view, library.load())
    except Mistake as missing:
        lead = missing.message
        blocks.append(Words("Next", (missing.next_step or HOW,), missing.code))
    else:
        blocks += _blocks(going)
        lead = f"Plan {going.chosen.version}: {going.chosen.name}."
    chosen = tuple(f"{day_text(e.moment)}: {entry_text(e)}" for e in view.courses)
    if chosen:
        blocks.append(Words("Chosen so far", chosen))
    return Page("course", "Course", lead, tuple(blocks))


def drawing(title: str, figure: Figure) -> Drawing:
    """Return a figure with its drawing, or without where the drawing library is missing."""
    try:
        svg = as_svg(figure)
    except NotPossible:
        svg = ""
    return Drawing(title, svg, figure.sentence, figure.table)


def _blocks(going: Running) -> list[Block]:
    run = going.run
    blocks: list[Block] = []
    stops = tuple(dict.fromkeys(f"{c.words} {c.what_instead}" for c in run.blocked))
    if stops:
        blocks.append(Words("This course cannot be followed as it stands", stops, "BLOCKED"))
    if going.changed:
        blocks.append(Words("What this plan rests on has changed since", going.changed, "CARE"))
    blocks.append(drawing("The course", course_chart(run, going.clock)))
    rows = tuple(
        (
            moment_words(going.clock.local(found.hour)),
            found.text,
            found.agent.replace("_", " "),
            found.sum_text,
        )
        for found in run.amounts
    )
    if rows:
        country = going.case.view.opened.country
        law = {a.agent: law_lines(going.case.facts, a.agent, country) for a in run.amounts}
        head = ("when", "amount", "of", "the sum")
        blocks.append(Rows("Every amount", Table("amounts and their sums", head, rows)))
        blocks += [Words(one.title, one.lines) for one in handling_of(run.amounts, law)]
        blocks.append(Words("If it goes wrong", ("The emergency card is one step away, on top.",)))
    for level, word in ((Level.CARE, "CARE"), (Level.NOTE, "NOTE")):
        told = dict.fromkeys(
            f"{c.words} {c.why} {c.what_instead}" for c in run.safety if c.level is level
        )
        if told:
            title = "Take care" if level is Level.CARE else "Notes"
            blocks.append(Words(title, tuple(told), word))
    return blocks
