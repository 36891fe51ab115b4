"""Answers typed short and written in full; findings and answers the ranking does not know."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence

from tankside.case import Entry
from tankside.case.parts import Looked
from tankside.case.seen import Finding, WetMount
from tankside.case.typed_entry import Fields
from tankside.library.diagnosis_files import load_diagnosis


def completed(found: Sequence[Fields]) -> list[Fields]:
    """Write answers in full where the beginning typed fits exactly one answer of the finding.

    ``spot_size=grain`` becomes ``grain_0p3_1mm``. What fits none or several stays as typed.

    Args:
        found: fields of entries from a door where people type.
    """
    if not any(fields["kind"] in ("finding", "wet_mount") for fields in found):
        return list(found)
    known = load_diagnosis().findings
    answers = {name: finding.answers for name, finding in known.items()}
    return [_in_full(fields, answers) for fields in found]


def _in_full(fields: Fields, known: Mapping[str, tuple[str, ...]]) -> Fields:
    full = dict(fields)
    if isinstance(looked := fields.get("looked"), dict):
        full["looked"] = _look_in_full(looked, known)
    if isinstance(looks := fields.get("looks"), list):
        full["looks"] = [_look_in_full(looked, known) for looked in looks]
    return full


def _look_in_full(looked: Fields, known: Mapping[str, tuple[str, ...]]) -> Fields:
    listed = known.get(str(looked["finding"]), ())
    told = looked.get("answers")
    if not isinstance(told, list):
        return looked
    return looked | {"answers": [_one_in_full(str(answer), listed) for answer in told]}


def _one_in_full(answer: str, listed: tuple[str, ...]) -> str:
    fitting = [full for full in listed if full.startswith(f"{answer}_")]
    return fitting[0] if answer not in listed and len(fitting) == 1 else answer


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
