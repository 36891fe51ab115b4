"""Answers typed short and written in full; findings and answers the ranking does not know."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence

from tankside.case import CATALOGUE, Entry
from tankside.case.parts import Looked
from tankside.case.typed_value import Fields
from tankside.case.wording import as_typed
from tankside.claims.diagnosis import FindingFacts as Question
from tankside.library.diagnosis_files import load_diagnosis

PRESENT = "present"


def completed(typed: Sequence[Fields]) -> list[Fields]:
    """Write answers in full where the beginning typed fits exactly one answer of the finding.

    ``spot_size=grain`` becomes ``grain_0p3_1mm``; ``present`` (seen, no more stated) becomes the
    set of all answers but the healthy one. What fits none or several stays as typed.

    Args:
        typed: fields of entries from a door where people type.
    """
    if not any({"looked", "looks"} & fields.keys() for fields in typed):
        return list(typed)
    questions = load_diagnosis().findings
    return [_in_full(fields, questions) for fields in typed]


def in_words(looked: Looked) -> tuple[str, tuple[str, ...]]:
    """Return the label of what was looked at and its answers in plain words.

    A finding or answer that the ranking does not know is returned as it was typed.
    """
    asked = load_diagnosis().findings.get(looked.finding)
    if asked is None:
        return as_typed(looked)
    return asked.label.lower(), tuple(asked.word(answer) for answer in looked.answers)


def _in_full(fields: Fields, questions: Mapping[str, Question]) -> Fields:
    full = dict(fields)
    if isinstance(looked := fields.get("looked"), dict):
        full["looked"] = _look_in_full(looked, questions)
    if isinstance(looks := fields.get("looks"), list):
        full["looks"] = [_look_in_full(looked, questions) for looked in looks]
    return full


def _look_in_full(looked: Fields, questions: Mapping[str, Question]) -> Fields:
    asked = questions.get(str(looked["finding"]))
    short_answers = looked.get("answers")
    if asked is None or not isinstance(short_answers, list):
        return looked
    full = [
        full_answer for answer in short_answers for full_answer in _one_in_full(str(answer), asked)
    ]
    return looked | {"answers": list(dict.fromkeys(full))}


def _one_in_full(answer: str, asked: Question) -> tuple[str, ...]:
    if answer in asked.answers:
        return (answer,)
    if answer == PRESENT:
        return tuple(full for full in asked.answers if full != asked.baseline_answer)
    fitting = [full for full in asked.answers if full.startswith(f"{answer}_")]
    return (fitting[0],) if len(fitting) == 1 else (answer,)


def unknown_words(entries: Iterable[Entry]) -> list[str]:
    """Return one note for each finding or answer that is kept but that the ranking cannot read.

    Args:
        entries: entries just added.
    """
    looks = [looked for entry in entries for looked in CATALOGUE.looks(entry)]
    if not looks:
        return []
    questions = load_diagnosis().findings
    notes = []
    for looked in looks:
        if looked.finding not in questions:
            near = _near(looked.finding, questions)
            notes.append(f"{looked.finding}: kept, but not a finding the ranking reads{near}")
            continue
        answers = questions[looked.finding].answers
        for answer in looked.answers:
            if answer not in answers:
                listed = ", ".join(answers)
                notes.append(
                    f"{looked.finding}={answer}: kept, but not an answer the ranking reads; "
                    f"its answers: {listed}"
                )
    return notes


def _near(name: str, questions: Iterable[str]) -> str:
    typed = difflib.get_close_matches(name, list(questions), 1)
    return f"; perhaps {typed[0]}" if typed else ""
