"""A case opened for its pages: what stands on top of each, and a page on paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from tankside import library
from tankside.case import CaseView, SystemView
from tankside.intake import clock
from tankside.intake.cause_treated import causes_named
from tankside.intake.joined_waters import joined_waters
from tankside.intake.volumes import volume_rules
from tankside.present.blocks import Document, Page, Strip
from tankside.present.document_pdf import as_pdf
from tankside.quantity.dates import day_words
from tankside.quantity.moment import Moment
from tankside.quantity.per import PERCENT
from tankside.records.case_store import read_case
from tankside.records.stored_case import StoredCase
from tankside.report.case_words import (
    NO_VOLUME,
    closed_words,
    made_words,
    system_volume_words,
    temperature_words,
    water_type_words,
)
from tankside.report.next_step import next_step
from tankside.report.ways import plain_blocks, without_commands

PAGES = {
    "story": "Story",
    "tank": "Tank and stock",
    "water": "Water",
    "look": "Examination",
    "fits": "What fits",
    "plans": "Plans",
    "course": "Course",
    "forecast": "Forecast",
    "day": "Day card",
    "follow": "Follow-up",
    "record": "Record",
}
"""The pages of a case by key, in the order of a visit."""


@dataclass(frozen=True, slots=True)
class OpenCase:
    """A case file as read for one answer."""

    stored: StoredCase
    view: CaseView
    now: Moment


def open_case(path: str | Path) -> OpenCase:
    """Read a case.

    Raises:
        BadInput: the file is missing or broken.
    """
    stored = read_case(path)
    now = Moment(clock.now().isoformat(timespec="minutes"))
    return OpenCase(stored, stored.view(), now)


def page_of(key: str, document: Document) -> Page:
    """Return an answer as one of the pages of its case, named as in the list of pages."""
    return Page(key, PAGES[key], document.lead, document.blocks)


def paper_of(case: OpenCase, page: Page) -> bytes:
    """Return a page of a case as a PDF.

    Raises:
        NotPossible: E-PRINT-01 when the print libraries are not installed.
    """
    blocks, lead = plain_blocks(page.blocks), without_commands(page.lead)
    document = Document(f"{page.title}: {case.view.name}", blocks, lead)
    return as_pdf(document, foot=made_words(case.stored))


def strip(case: OpenCase) -> Strip:
    """Return what stands on top of every page of the case."""
    view = case.view
    shown = view.main
    last = view.last_moment()
    return Strip(
        case=view.bare_name,
        file=case.stored.label,
        keeper=f"keeper {view.opened.keeper}",
        water=f"{water_type_words(view)}, {temperature_words(view)}",
        litres=NO_VOLUME if shown is None else _litres(view, shown),
        day=f"{_treated(view)}; last entry {day_words(last.day)}, day {view.day(last)}",
        warnings=() if shown is None else tuple(_volume_warnings(shown)),
        example=view.example,
        closed=closed_words(view),
        next=next_step(view),
    )


def _treated(view: CaseView) -> str:
    """Say which cause is treated and how sure it is, of what was measured or named."""
    causes = causes_named(view, library.load())
    named = [f"{cause.name} ({cause.certainty.split(' in ')[0]})" for cause in causes]
    return f"treated: {', then '.join(named)}" if named else "no cause is named yet"


def _litres(view: CaseView, shown: SystemView) -> str:
    """Return the volume of the water shown, and with what it is one water."""
    others = len(joined_waters(view).now(shown.id)) - 1
    joined = f", one water with {others} more" if others else ""
    return system_volume_words(shown) + joined


def _volume_warnings(system: SystemView) -> Iterable[str]:
    apart = system.volume.difference_percent
    if system.volume.point_l is None:
        yield "The volume is not measured: no dose can be worked out."
    elif apart is None:
        yield "The volume rests on one method: measure it a second way."
    elif apart > volume_rules(library.load()).ask_difference * PERCENT:
        yield "Two ways of measuring the volume differ: measure again."
