"""Findings and answers just entered that the differential does not know, with the near word."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from tankside.case import Entry
from tankside.case.parts import Looked
from tankside.case.seen import Finding, WetMount
from tankside.library.diagnosis_files import load_diagnosis


def unknown_words(entries: Iterable[Entry]) -> list[str]:
    """Return one note for each finding or answer that is kept but that the ranking cannot read.

    Args:
        entries: entries just added.
    """
    looks = [looked for entry in entries for looked in _looks(entry)]
    if not looks:
        return []
    known = load_diagnosis().findings
    notes = []
    for looked in looks:
        if looked.finding not in known:
            near = _near(looked.finding, known)
            notes.append(f"{looked.finding}: kept, but not a finding the ranking reads{near}")
            continue
        answers = known[looked.finding].answers
        for answer in looked.answers:
            if answer not in answers:
                listed = ", ".join(answers)
                notes.append(
                    f"{looked.finding}={answer}: kept, but not an answer the ranking reads; "
                    f"its answers: {listed}"
                )
    return notes


def _looks(entry: Entry) -> tuple[Looked, ...]:
    if isinstance(entry, Finding):
        return (entry.looked,)
    return entry.looks if isinstance(entry, WetMount) else ()


def _near(name: str, known: Iterable[str]) -> str:
    found = difflib.get_close_matches(name, list(known), 1)
    return f"; perhaps {found[0]}" if found else ""
