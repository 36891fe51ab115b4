"""Old case files and codings keep their meaning: words once written are read for good.

Reference: the words of the differential as first written (tests/golden/words_first.json), before
its findings were parted more finely and the causes that are not listed were split in groups.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from tankside.bench.vignettes import read_vignettes
from tankside.diagnose import OUTSIDE, Evidence, rank
from tankside.library.diagnosis_files import load_diagnosis
from tankside.records.case_store import read_case
from tankside.services.cases import Opening, add_words, new_case
from tankside.services.differential import tables
from tankside.services.differential_case import confirmed, differential_of, evidence_of

FIRST: Mapping[str, Any] = json.loads(
    (Path(__file__).parents[1] / "golden" / "words_first.json").read_text(encoding="utf-8")
)
LONGEST = max(len(answers) for answers in FIRST["findings"].values())
FROM_THE_CASE = ("water_type",)
"""Told when the case is opened."""


def open_case(folder: Path) -> Path:
    path = folder / "old.jsonl"
    opening = Opening("Elm Road", "M.", "?", "Europe/London", "2026-03-02", None, None, None, None)
    new_case(path, opening, by="test")
    return path


@pytest.mark.parametrize("place", range(LONGEST))
def test_every_old_answer_typed_into_a_case_is_ranked_as_it_was_written(
    place: int, tmp_path: Path
) -> None:
    path = open_case(tmp_path)
    answers = {
        name: listed[place]
        for name, listed in FIRST["findings"].items()
        if place < len(listed) and name not in FROM_THE_CASE
    }
    add_words(path, "finding", [f"{name}={answer}" for name, answer in answers.items()], by="test")
    answer = differential_of(path)
    assert answer.not_in_list == ()
    used = evidence_of(answer.view).answers
    assert {name: used[name] for name in answers} == {n: {a} for n, a in answers.items()}


@pytest.mark.parametrize("name", FIRST["findings"])
def test_the_answers_of_an_old_finding_still_tell_causes_apart(name: str) -> None:
    """An answer that nothing reads would be lost without a word."""
    compiled = tables()
    gate = compiled.facts.findings[name].gate
    shut = dict([gate.split("=")]) if gate else {}
    plain = rank(compiled, Evidence.of(shut))

    def moved(answer: str) -> float:
        after = rank(compiled, Evidence.of({**shut, name: answer}))
        return max(abs(after.of(row) - plain.of(row)) for row in plain.order())

    assert max(moved(answer) for answer in FIRST["findings"][name]) > 0.003


@pytest.mark.parametrize("cause", FIRST["causes"])
def test_an_old_cause_written_down_in_a_case_counts_as_that_cause(
    cause: str, tmp_path: Path
) -> None:
    path = open_case(tmp_path)
    add_words(path, "confirmed", [f"condition={cause}", "shown-by=the scrape"], by="test")
    assert confirmed(read_case(path).view()) == (cause,)
    assert cause in rank(tables(), Evidence({})).order()


def test_an_old_coding_is_read_and_its_unlisted_cause_counts_as_outside(tmp_path: Path) -> None:
    case = {"id": "a", "confirmed": ["NOT_IN_LIST"], "findings": {"eye": "popeye"}}
    file = tmp_path / "old.json"
    file.write_text(json.dumps({"vignettes": [case]}), encoding="utf-8")
    (read,) = read_vignettes(file, load_diagnosis())
    assert read.confirmed == (OUTSIDE,)
    assert read.evidence.answers == {"eye": {"popeye"}}
