"""What is in the water: the latest reading of each kind with its age, every test, every agent."""

from __future__ import annotations

from tankside.case import CaseView, ReadingView, SystemView
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
    blocks = (*reading_blocks(view, case.now), *every_test(view), *agents_in_water(view))
    return Document(f"Water: {view.name}", blocks, lead)


def reading_blocks(view: CaseView, now: Moment) -> tuple[Block, ...]:
    """Return the standing reading of each kind of each system, its age, and its series."""
    head = ("reading", "value", "taken", "age", "lowest", "highest", "trend")
    return tuple(
        Rows(
            f"Latest in {system.name}",
            Table("readings", head, tuple(_row(system, r, now) for r in system.readings.values())),
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


def _row(system: SystemView, standing: ReadingView, now: Moment) -> tuple[str, ...]:
    value = state_words(standing.state) if standing.measured is None else reading(standing.measured)
    name = standing.what.value.replace("_", " ")
    at_dawn = " (dawn)" if standing.dawn else ""
    taken = entry_moment_words(standing.at) + at_dawn
    return (name, value, taken, age_words(standing.age_h(now)), *series_words(system, standing))


def series_words(system: SystemView, standing: ReadingView) -> tuple[str, str, str]:
    """Return lowest, highest and trend of a reading that was taken several times in one unit."""
    taken = [r.measured for r in system.series.get(standing.what, ()) if r.measured is not None]
    if len(taken) < 2 or len({m.kind for m in taken}) > 1:
        return ("", "", "")
    unit = taken[-1].unit.text
    values = [measured.number(unit) for measured in taken]
    ordered = sorted(zip(values, range(len(taken)), strict=True))
    lowest, highest = reading(taken[ordered[0][1]]), reading(taken[ordered[-1][1]])
    step = values[-1] - values[-2]
    return lowest, highest, "rising" if step > 0 else "falling" if step < 0 else "level"


def every_test(view: CaseView) -> tuple[Block, ...]:
    """Return every water test of a case."""
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
