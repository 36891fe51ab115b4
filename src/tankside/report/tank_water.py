"""What is in the water: the latest reading of each kind with its age, every test, every agent."""

from __future__ import annotations

from tankside.case import CaseView, ReadingView
from tankside.intake.substances import names_read
from tankside.present.blocks import Block, Document, Rows, Words
from tankside.present.table import Table
from tankside.present.words import age_words
from tankside.quantity.dates import entry_moment_words
from tankside.quantity.moment import Moment
from tankside.quantity.show import reading
from tankside.report.case_text import entry_text
from tankside.report.case_words import state_words
from tankside.report.page import OpenCase

NO_READING = "No reading yet: nothing can be dosed on it."


def water_document(case: OpenCase) -> Document:
    """Return the readings and tests of a case, and what was in the water before."""
    view = case.view
    lead = "" if view.water_tests else NO_READING
    blocks = (*reading_blocks(view, case.now), *_tests(view), *agents_in_water(view))
    return Document(f"Water: {view.name}", blocks, lead)


def reading_blocks(view: CaseView, now: Moment) -> tuple[Block, ...]:
    """Return the latest reading of each kind of each system, with its age."""
    head = ("reading", "value", "taken", "age")
    return tuple(
        Rows(
            f"Latest in {system.name}",
            Table("readings", head, tuple(_row(r, now) for r in system.readings.values())),
        )
        for system in view.systems.values()
        if system.readings
    )


def agents_in_water(view: CaseView) -> tuple[Words, ...]:
    """Return what was in the water before the case began to treat it."""
    lines = (
        f"{entry_moment_words(entry.moment)}: {entry_text(entry)}" for entry in view.agents_in_water
    )
    notes = dict.fromkeys(names_read(view.agents_in_water))
    return (Words("Already in the water", (*lines, *notes)),) if view.agents_in_water else ()


def _row(latest: ReadingView, now: Moment) -> tuple[str, ...]:
    value = state_words(latest.state) if latest.measured is None else reading(latest.measured)
    name = latest.what.value.replace("_", " ")
    return (name, value, entry_moment_words(latest.at), age_words(latest.age_h(now)))


def _tests(view: CaseView) -> tuple[Block, ...]:
    rows = tuple(
        (
            entry_moment_words(test.moment),
            "tank" if test.sample == "tank" else f"{test.sample} water",
            entry_text(test),
        )
        for test in view.water_tests
    )
    table = Table("water tests", ("when", "of", "read"), rows)
    return (Rows("Every test", table),) if rows else ()
