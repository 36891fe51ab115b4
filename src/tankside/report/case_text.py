"""One entry in one line of plain words, findings in the words of the finding list."""

from __future__ import annotations

from tankside.case import CATALOGUE, Entry, wording
from tankside.case.parts import Looked
from tankside.intake.finding_words import in_words
from tankside.quantity.dates import entry_moment_words


def looked_text(looked: Looked) -> str:
    """Write what was seen of one finding."""
    return wording.looked_text(looked, in_words)


def entry_text(entry: Entry) -> str:
    """Write what one entry says, without its number and date."""
    return CATALOGUE.text(entry, in_words)


def line_text(entry: Entry) -> str:
    """Write one entry with its number and date: ``5  Wed 4 Mar 2026  count: ...``."""
    kind = CATALOGUE.of(entry).title
    return f"{entry.id:>3}  {entry_moment_words(entry.moment)}  {kind}: {entry_text(entry)}"
