"""The practice cases: held against published ones, ranked by the program, judged with reasons."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tankside import library
from tankside.claims.teaching import PracticeCase
from tankside.demo import script
from tankside.errors import BadInput
from tankside.library.diagnosis_files import load_diagnosis
from tankside.report.teaching.practice import mixed, practice_page, practice_shelf
from tankside.services.practice import (
    best_choice,
    example_case,
    fits_after,
    minutes_of,
    practice_cases,
    practice_walk,
)

GOLDEN = Path(__file__).resolve().parents[2] / "golden"
FILES = ("first", "frozen", "dev2", "blind")
LEAST_SHARED = 5
EACH = pytest.mark.parametrize("case", practice_cases().values(), ids=list(practice_cases()))


@cache
def published() -> dict[str, list[dict[str, Any]]]:
    """Return the published cases by their source."""
    cases: dict[str, list[dict[str, Any]]] = {}
    for name in FILES:
        content = json.loads((GOLDEN / f"vignettes_{name}.json").read_text(encoding="utf-8"))
        for entry in content["vignettes"]:
            cases.setdefault(entry.get("source", ""), []).append(entry)
    return cases


def whole(case: PracticeCase) -> dict[str, str]:
    seen: dict[str, str] = {}
    for step in case.steps:
        seen |= step.seen
    return seen


def answers_of(entry: dict[str, Any]) -> dict[str, set[str]]:
    coded = entry["findings"] | entry.get("soft_findings", {})
    return {name: {said} if isinstance(said, str) else set(said) for name, said in coded.items()}


def test_there_are_twenty_in_two_levels() -> None:
    assert [len(cases) for cases in practice_shelf().values()] == [10, 10]
    assert len({cause for case in practice_cases().values() for cause in case.truth}) == 20


@EACH
def test_a_case_agrees_with_each_published_one_it_names(case: PracticeCase) -> None:
    assert case.published
    seen = whole(case)
    for source in case.published:
        entries = [e for e in published()[source] if set(case.truth) <= set(e["confirmed"])]
        assert entries, source
        for entry in entries:
            coded = answers_of(entry)
            shared = seen.keys() & coded.keys()
            assert len(shared) >= LEAST_SHARED
            assert {name: seen[name] for name in shared if seen[name] not in coded[name]} == {}


@EACH
def test_what_it_is_ranks_first_at_the_end(case: PracticeCase) -> None:
    assert fits_after(case.id, len(case.steps)).ranking.order()[0] == case.truth[0]


@EACH
def test_each_question_has_harmless_and_harmful_answers_with_reasons(case: PracticeCase) -> None:
    facts, diagnosis = library.load(), load_diagnosis()
    for step in case.steps:
        assert [choice.harm for choice in step.choices].count(0) == 1
        for choice in step.choices:
            assert choice.because or choice.cause
            assert all(facts.find(key) is not None for key in choice.because)
            assert not choice.cause or choice.cause in diagnosis.conditions
            assert minutes_of(choice) >= 0
        named = {choice.cause for choice in step.choices} - {""}
        assert not named or set(case.truth) & named
        assert best_choice(step).cause in ("", *case.truth)


@EACH
def test_the_findings_of_a_case_are_on_the_list(case: PracticeCase) -> None:
    findings = load_diagnosis().findings
    assert [(n, a) for n, a in whole(case).items() if a not in findings[n].answers] == []


def test_the_right_answer_does_not_always_stand_in_the_same_place() -> None:
    places = [
        mixed(case.id, number, len(step.choices)).index(step.choices.index(best_choice(step)))
        for case in practice_cases().values()
        for number, step in enumerate(case.steps, 1)
    ]
    assert all(places.count(place) >= len(places) / 5 for place in range(3))


def test_a_walk_adds_minutes_and_keeps_the_worst_harm() -> None:
    walk = practice_walk("clay-street", (2, 1, 0))
    assert walk.ahead is None
    assert walk.harm == 3
    assert walk.minutes == 2 + load_diagnosis().sittings["necropsy"].minutes + 5
    assert walk.least_minutes == 3 + load_diagnosis().sittings["scrape"].minutes + 5
    page = practice_page(walk, (2, 1, 0), onward=False)
    assert page.is_last
    assert "may lose many" in page.sums
    assert f"{walk.minutes:g} minutes" in page.sums
    assert page.published


def test_a_judgement_says_what_speaks_against_a_wrong_cause() -> None:
    page = practice_page(practice_walk("brick-yard", (0, 1)), (0, 1), onward=False)
    wrong = next(choice for choice in page.choices if choice.chosen)
    assert wrong.harm == "may lose fish"
    assert any(reason.startswith("Against it: ") for reason in wrong.reasons)
    assert any(choice.best and choice.words.startswith("Tetrahymena") for choice in page.choices)


def test_a_question_shows_no_harm_and_no_reason_before_it_is_answered() -> None:
    page = practice_page(practice_walk("brick-yard", (0,)), (0,), onward=True)
    assert not page.judged
    assert {(c.harm, c.reasons, c.best) for c in page.choices} == {("", (), False)}


@pytest.mark.parametrize("answers", [(3,), (-1,), (0, 0, 0, 0)])
def test_an_answer_that_is_not_there_is_refused(answers: tuple[int, ...]) -> None:
    with pytest.raises(BadInput, match="no answer") as refused:
        practice_walk("clay-street", answers)
    assert refused.value.code == "E-LEARN-02"


def test_a_case_that_is_not_there_is_refused_and_the_example_is_none_to_practise_on() -> None:
    for name in ("nowhere", example_case().id):
        with pytest.raises(BadInput, match="no practice case") as refused:
            practice_walk(name, ())
        assert refused.value.code == "E-LEARN-01"


def test_the_example_is_the_case_of_the_demonstration() -> None:
    typed = (*script.EXAM_ENTRIES, *script.CLOSER_ENTRIES, *script.SCRAPE_ENTRIES)
    findings = load_diagnosis().findings
    words = dict(word.split("=") for entry in typed for word in entry.words if "=" in word)
    taught = whole(example_case())
    assert example_case().call == script.CALL
    assert {n: a for n, a in words.items() if n in findings and taught.get(n) != a} == {}
