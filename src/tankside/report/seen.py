"""What was seen in a case: findings, counts and deaths; "not looked" stays apart from "none"."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.case import CaseView, Entry
from tankside.present.blocks import Block, Rows, Words
from tankside.present.table import Table
from tankside.quantity.dates import entry_moment_words
from tankside.report.case_text import entry_text, looked_text


def finding_block(view: CaseView) -> tuple[Words, ...]:
    """Return the standing answer to every finding that was asked for."""
    lines = tuple(looked_text(answer.looked) for answer in view.evidence.values())
    return (Words("Findings", lines),) if lines else ()


def count_and_death_blocks(view: CaseView) -> tuple[Block, ...]:
    """Return every count and every death that stands, with the number of its entry."""
    return (
        *_rows(view, "Counts", "count", view.counts),
        *_rows(view, "Deaths", "dead", view.deaths),
    )


def done_block(view: CaseView) -> tuple[Block, ...]:
    """Return what was done, left out or done otherwise."""
    return _rows(view, "Done", "action", view.actions_done)


def _rows(view: CaseView, title: str, what: str, entries: Iterable[Entry]) -> tuple[Block, ...]:
    rows = tuple(
        (
            str(entry.id),
            str(view.day(entry.moment)),
            entry_moment_words(entry.moment),
            entry_text(entry),
        )
        for entry in entries
    )
    table = Table(title.lower(), ("no.", "day", "when", what), rows)
    return (Rows(title, table),) if rows else ()
