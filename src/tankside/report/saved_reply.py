"""What a save is answered with: its entries as read, what to mind of them, what is only kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tankside.case import Entry
from tankside.case.kept_only import kept_in
from tankside.case.medicine import DoseAsked
from tankside.intake.condition_names import unknown_conditions
from tankside.intake.counted import counts_beside
from tankside.intake.country import country_read
from tankside.intake.event_words import events_read
from tankside.intake.likely_cause import parasites_standing
from tankside.intake.only_in_words import named_only_in_words, told_by_event
from tankside.intake.slide_worth import slides_read
from tankside.intake.species import kinds_read
from tankside.intake.substances import names_read
from tankside.library import load
from tankside.library.diagnosis_files import load_diagnosis
from tankside.records.case_store import read_case
from tankside.report.case_text import line_text
from tankside.report.case_words import CLOCK_JUMPED
from tankside.services.saving import Added

REMARK = "note"
"""The kind of entry that is words alone: its reply says so once."""
KEPT_AS_WORDS = "Kept as words: no answer reads a note."


@dataclass(frozen=True, slots=True)
class SavedReply:
    """What a page says of what was just saved.

    Args:
        lines: the new entries, each in a line.
        notes: how they were read, what is not taken as it stands.
        kept: what no answer uses.
    """

    lines: tuple[str, ...]
    notes: tuple[str, ...]
    kept: tuple[str, ...]


def notes_of(added: Added, country: str | None = None) -> list[str]:
    """Return what the reply says of how new entries were read.

    Args:
        added: what was saved.
        country: the country as typed; None where none was.
    """
    view = added.stored.view()
    remarks = [entry for entry in added.new if entry.kind == REMARK]
    return [
        *country_read(country, view.opened.country),
        *names_read(added.new),
        *_amounts(added),
        *((CLOCK_JUMPED,) if added.stored.clock_suspect else ()),
        *([KEPT_AS_WORDS] if remarks else []),
        *told_by_event(view, added.new),
        *events_read(added.new),
        *named_only_in_words(added.new, load()),
        *kinds_read(added.new, view, load()),
        *unknown_conditions(added.new),
        *counts_beside(load(), parasites_standing(view, load()), added.new),
        *slides_read(load_diagnosis(), added.new),
    ]


def saved_reply(path: str | Path, first: int) -> SavedReply | None:
    """Return what a page says of a save; None where the case holds no such entry.

    Args:
        path: the case.
        first: number of the first entry of the save.
    """
    stored = read_case(path)
    if not 1 <= first <= stored.version:
        return None
    start = stored.entries[first - 1]
    new = [
        entry
        for entry in stored.entries[first - 1 :]
        if (entry.recorded_at, entry.by) == (start.recorded_at, start.by)
    ]
    kept = (each.words for each in kept_in(_told(new)) if each.kind != REMARK)
    return SavedReply(
        tuple(line_text(entry).strip() for entry in new),
        tuple(notes_of(Added(stored, tuple(new)))),
        tuple(kept),
    )


def _told(new: Sequence[Entry]) -> Sequence[Entry]:
    return [entry for entry in new if entry.kind != "course_chosen"]


def _amounts(added: Added) -> list[str]:
    """Return one line for each amount asked for; what works it out is imported only then."""
    if not any(isinstance(entry, DoseAsked) for entry in added.new):
        return []
    from tankside.report.amount_forms import amount_line
    from tankside.services.dose_case import amounts_asked

    return [amount_line(amount) for amount in amounts_asked(added.new, added.stored.view())]
