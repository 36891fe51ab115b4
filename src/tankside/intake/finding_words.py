"""Findings and answers as typed: by identifier, as printed, or by their beginning; else refused."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping, Sequence

from tankside.case.parts import Looked
from tankside.case.typed_value import PRESENT, Fields, answer_parts, slug
from tankside.case.wording import as_typed
from tankside.claims.diagnosis import FindingFacts as Question
from tankside.errors import BadInput
from tankside.library.diagnosis_files import load_diagnosis

NEAR, MOST_NEAR = 0.6, 5
_JOIN = "_"


def completed(typed: Sequence[Fields]) -> list[Fields]:
    """Write findings and answers as the list of findings has them.

    ``Spot size`` becomes ``spot_size``; ``grains of 0.3 to 1 mm`` and ``grain`` (a beginning that
    fits one answer only) become ``grain_0p3_1mm``; ``present`` the set of all answers but the
    healthy one.

    Args:
        typed: fields of entries from a door where people type.

    Raises:
        BadInput: E-FIND-01 no such finding, E-FIND-02 no such answer, with near matches.
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


def find_listed(questions: Mapping[str, Question], word: str) -> tuple[Question, ...]:
    """Return the findings that hold a word in their name, question or answers; all for "".

    Raises:
        BadInput: E-FIND-01 nothing holds it.
    """
    wanted = word.strip().lower().replace("_", " ")
    holding = tuple(asked for asked in questions.values() if wanted in _all_words(asked))
    if not holding:
        raise _no_finding(word, questions)
    return holding


def _all_words(asked: Question) -> str:
    answers = (asked.word(answer) for answer in asked.answers)
    texts = (asked.id, asked.label, asked.what, asked.question, *asked.answers, *answers)
    return " ".join(texts).lower().replace("_", " ")


def _in_full(fields: Fields, questions: Mapping[str, Question]) -> Fields:
    full = dict(fields)
    if isinstance(looked := fields.get("looked"), dict):
        full["looked"] = _look_in_full(looked, questions)
    if isinstance(looks := fields.get("looks"), list):
        full["looks"] = [
            _look_in_full(looked, questions) if isinstance(looked, dict) else looked
            for looked in looks
        ]
    return full


def _look_in_full(looked: Fields, questions: Mapping[str, Question]) -> Fields:
    asked = _finding(str(looked.get("finding", "")), questions)
    named = looked | {"finding": asked.id}
    if looked.get("state") == "none" and asked.absent is None:
        raise _no_answer(asked, "none")
    typed = looked.get("answers")
    if not isinstance(typed, list):
        return named
    parts = [str(part) for part in typed]
    if "number" in looked:
        whole = _answers([f"{looked['number']}_{parts[0]}", *parts[1:]], asked)
        if whole is not None:
            return {key: v for key, v in named.items() if key != "number"} | {"answers": whole}
    answers = _answers(parts, asked)
    if answers is None:
        raise _no_answer(asked, ", ".join(parts))
    return named | {"answers": answers}


def _finding(name: str, questions: Mapping[str, Question]) -> Question:
    plain = slug(name)
    by_label = {slug(asked.label): asked for asked in questions.values()}
    asked = questions.get(name) or questions.get(plain) or by_label.get(plain)
    if asked is None:
        raise _no_finding(name, questions)
    return asked


def _no_finding(name: str, questions: Mapping[str, Question]) -> BadInput:
    near = ", ".join(_near(slug(name), questions))
    return BadInput(
        "E-FIND-01",
        "This finding is not in the list, so no answer could use it.",
        given=name,
        needed=f"perhaps {near}" if near else "a finding that tankside findings lists",
        next_step="Look it up with: tankside findings WORD. What is on no list can be kept as "
        'a remark: note "..."; nothing was saved.',
        field="finding",
    )


def _near(name: str, questions: Mapping[str, Question]) -> tuple[str, ...]:
    spellings = {asked.id: asked.id for asked in questions.values()}
    spellings |= {slug(asked.label): asked.id for asked in questions.values()}
    alike = difflib.get_close_matches(name, spellings, MOST_NEAR, NEAR)
    near = [spellings[text] for text in alike]
    words = {word for word in name.split(_JOIN) if len(word) > 2}
    near += [spelt for text, spelt in spellings.items() if words & set(text.split(_JOIN))]
    return tuple(dict.fromkeys(near))[:MOST_NEAR]


def _no_answer(asked: Question, typed: str) -> BadInput:
    if asked.gate:
        next_step = (
            f"It is asked only where {asked.gate.replace('=', ' is ')}; type that finding where "
            "there was nothing to describe. Nothing was saved."
        )
    else:
        next_step = 'Type it again, or keep it as a remark: note "..."; nothing was saved.'
    return BadInput(
        "E-FIND-02",
        f"{asked.label} has no such answer.",
        given=typed,
        needed="one or several of: " + "; ".join(_choices(asked)),
        next_step=next_step,
        field=asked.id,
    )


def _choices(asked: Question) -> Iterator[str]:
    for answer in asked.answers:
        word = asked.word(answer)
        yield answer if slug(word) == answer else f"{answer} ({word})"


def _answers(parts: Sequence[str], asked: Question) -> list[str] | None:
    """Read typed parts as answers, the longest first: a printed answer may hold commas and "or".

    Returns None when some part is no answer.
    """
    full: list[str] = []
    rest = list(parts)
    while rest:
        for length in range(len(rest), 0, -1):
            fitting = _answer(_JOIN.join(rest[:length]), asked)
            if fitting:
                full += fitting
                rest = rest[length:]
                break
        else:
            return None
    return list(dict.fromkeys(full))


def _answer(typed: str, asked: Question) -> tuple[str, ...]:
    if typed in asked.answers:
        return (typed,)
    if typed == PRESENT:
        return tuple(full for full in asked.answers if full != asked.baseline_answer)
    printed = {answer: _JOIN.join(answer_parts(asked.word(answer))) for answer in asked.answers}
    exact = [answer for answer, words in printed.items() if words == typed]
    begun = [a for a, words in printed.items() if _begins(a, typed) or _begins(words, typed)]
    fitting = exact or begun
    return (fitting[0],) if len(fitting) == 1 else ()


def _begins(full: str, typed: str) -> bool:
    return full.startswith(f"{typed}{_JOIN}")
