"""The whole history of a case day by day, corrections beside what they correct."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tankside.case import CATALOGUE, CaseView, HistoryLine
from tankside.case.kept_only import Kept, kept_in
from tankside.present.blocks import Document, Rows, Words
from tankside.present.table import Table
from tankside.quantity.dates import clock_words, day_words
from tankside.report.case_text import entry_text
from tankside.report.page import OpenCase

HEAD = ("no.", "time", "what", "entry")


def story_document(case: OpenCase) -> Document:
    """Return the call, every day with its entries, and what nobody asked yet."""
    view = case.view
    call = (Words("The call", (view.opened.call,)),) if view.opened.call else ()
    blocks = (*call, *day_blocks(view), *not_asked_block(view), *kept_block(view))
    return Document(f"Story: {view.name}", blocks)


def day_blocks(view: CaseView) -> Iterable[Rows]:
    """Return one table a day, in order of time; what was told of the time before comes first."""
    days: dict[date, list[HistoryLine]] = {}
    for line in sorted(view.history, key=lambda line: line.entry.moment.utc):
        days.setdefault(line.entry.moment.day, []).append(line)
    for day, lines in sorted(days.items()):
        title = f"Day {view.day(lines[0].entry.moment)}, {day_words(day)}"
        yield Rows(title, Table(title, HEAD, tuple(_row(line) for line in lines)))


def not_asked_block(view: CaseView) -> tuple[Words, ...]:
    """Return the questions that nobody asked yet."""
    lines = tuple(key.replace("_", " ").replace(".", ": ") for key in view.not_asked)
    return (Words("Not asked yet", lines),) if lines else ()


def kept_block(view: CaseView) -> tuple[Words, ...]:
    """Return what stands in the case and is used by no answer, entry by entry."""
    lines = tuple(
        f"entry {kept.entry}, {CATALOGUE.by_name[kept.kind].title}: {kept.words}"
        for kept in kept_in_view(view)
    )
    return (Words("Kept, not used by any answer", lines),) if lines else ()


def kept_in_view(view: CaseView) -> tuple[Kept, ...]:
    """Return what the entries that stand hold and no answer uses."""
    return tuple(kept_in(line.current for line in view.history if line.current is not None))


def _row(line: HistoryLine) -> tuple[str, ...]:
    entry = line.entry
    text = entry_text(entry)
    if line.corrected_by is not None:
        fate = "taken back" if line.void else "corrected"
        text = f"{text}  [{fate} by entry {line.corrected_by}]"
    time = "day only" if entry.moment.day_only else clock_words(entry.moment.when)
    return (str(entry.id), time, CATALOGUE.of(entry).title, text)
