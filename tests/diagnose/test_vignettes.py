"""Published cases: the confirmed cause comes first, or among the first three.

Sources: each case names its own in tests/golden/vignettes_*.json; docs/frozen-cases.md says how the
frozen ones were chosen. The goals are those set for the development cases before this ranking was
written; what is asked of the frozen ones was set after, as a guard.
"""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tankside.bench.rank_scores import in_view, score
from tankside.bench.vignettes import Vignette, read_vignettes
from tankside.claims.diagnosis import DiagnosisFacts, LikelihoodLaw
from tankside.diagnose import NONE, Evidence, Tables, rank

PARASITES = {
    "ciliate", "dinoflagellate", "flagellate", "monogenean", "crustacean", "digenean",
    "microsporidian", "myxozoan",
}  # fmt: skip


FROZEN = "cea2fb14eb5866fb531aad6d2e180db0bc28043883b407a43c460fb8859a6397"
"""Of the cases that were coded and frozen before they were first ranked."""


def test_the_frozen_cases_are_as_they_were_frozen(golden: Path) -> None:
    data = (golden / "vignettes_frozen.json").read_bytes()
    assert sha256(data).hexdigest() == FROZEN


@pytest.fixture(scope="module")
def first(facts: DiagnosisFacts, golden: Path) -> tuple[Vignette, ...]:
    return read_vignettes(golden / "vignettes_first.json", facts)


@pytest.fixture(scope="module")
def blind(facts: DiagnosisFacts, golden: Path) -> tuple[Vignette, ...]:
    return read_vignettes(golden / "vignettes_blind.json", facts)


def test_first_set_with_all_findings(tables: Tables, first: tuple[Vignette, ...]) -> None:
    scores = score(tables, first, lambda case: case.evidence)
    assert (scores.top1.count, scores.top1.of) == (12, 12)


def test_first_set_with_gross_signs_only(tables: Tables, first: tuple[Vignette, ...]) -> None:
    scores = score(tables, first, lambda case: case.gross(tables.facts))
    assert scores.top1.count >= 10
    assert scores.top3_any.count == 12


def test_blind_set_with_all_findings(tables: Tables, blind: tuple[Vignette, ...]) -> None:
    listed = [case for case in blind if "NOT_IN_LIST" not in case.confirmed]
    scores = score(tables, listed, lambda case: case.evidence)
    assert scores.top3_any.count == scores.top3_any.of == 19
    assert scores.top1.count >= 18


def test_blind_set_with_gross_signs_only(tables: Tables, blind: tuple[Vignette, ...]) -> None:
    listed = [case for case in blind if "NOT_IN_LIST" not in case.confirmed]
    scores = score(tables, listed, lambda case: case.gross(tables.facts))
    assert scores.top3_any.count >= 18
    assert scores.top1.count >= 14


def test_a_cause_outside_the_list_is_in_the_first_two_rows(
    tables: Tables, blind: tuple[Vignette, ...]
) -> None:
    outside = [case for case in blind if "NOT_IN_LIST" in case.confirmed]
    assert outside
    for case in outside:
        assert "NOT_IN_LIST" in rank(tables, case.evidence).order()[:2]


def test_no_parasite_comes_first_where_there_is_no_disease(
    tables: Tables, blind: tuple[Vignette, ...]
) -> None:
    harmless = {"TUBERCLE", "ARTEFACT", NONE}
    negative = [case for case in blind if set(case.confirmed) <= harmless]
    assert negative
    for case in negative:
        leader = rank(tables, case.evidence).order()[0]
        assert leader == NONE or tables.facts.conditions[leader].kind not in PARASITES


@pytest.fixture(scope="module")
def second(facts: DiagnosisFacts, golden: Path) -> tuple[Vignette, ...]:
    return read_vignettes(golden / "vignettes_dev2.json", facts)


def test_second_set_with_all_findings(tables: Tables, second: tuple[Vignette, ...]) -> None:
    listed = [case for case in second if "NOT_IN_LIST" not in case.confirmed]
    scores = score(tables, listed, lambda case: case.evidence)
    assert scores.top1.of == 14
    assert scores.top1.count >= 12
    assert scores.top3_any.count >= 13


def test_second_set_with_gross_signs_only(tables: Tables, second: tuple[Vignette, ...]) -> None:
    listed = [case for case in second if "NOT_IN_LIST" not in case.confirmed]
    scores = score(tables, listed, lambda case: case.gross(tables.facts))
    assert scores.top1.count >= 7


@pytest.mark.xfail(strict=True, reason="nine of fourteen; gross signs of gill and virus cases")
def test_second_set_with_gross_signs_only_in_the_first_three(
    tables: Tables, second: tuple[Vignette, ...]
) -> None:
    listed = [case for case in second if "NOT_IN_LIST" not in case.confirmed]
    assert score(tables, listed, lambda c: c.gross(tables.facts)).top3_any.count >= 11


def test_of_a_cause_that_is_not_listed_no_listed_cause_is_said_to_be_likely(
    tables: Tables, second: tuple[Vignette, ...]
) -> None:
    """In all but one: "likely" begins at two in three."""
    outside = [case for case in second if "NOT_IN_LIST" in case.confirmed]
    likely = [
        case.id
        for case in outside
        if max(rank(tables, case.evidence).of(name) for name in tables.ids) > 2 / 3
    ]
    assert len(outside) == 3
    assert len(likely) <= 1


@pytest.mark.xfail(strict=True, reason="one of three; two skin infections stand fourth and sixth")
def test_a_cause_that_is_not_listed_is_in_the_first_three(
    tables: Tables, second: tuple[Vignette, ...]
) -> None:
    outside = [case for case in second if "NOT_IN_LIST" in case.confirmed]
    shown = ["NOT_IN_LIST" in rank(tables, case.evidence).order()[:3] for case in outside]
    assert sum(shown) >= len(outside) - 1


def test_no_place_of_the_older_cases_is_lost_with_all_findings(
    tables: Tables, first: tuple[Vignette, ...], blind: tuple[Vignette, ...]
) -> None:
    """As they stood before: all first but one, which stood second."""
    places = {
        case.id: min(rank(tables, case.evidence).order().index(c) for c in case.confirmed)
        for case in (*first, *blind)
    }
    assert {name: place for name, place in places.items() if place} in ({}, {"B15": 1})


def test_proper_scores_beat_the_priors_alone(
    tables: Tables, first: tuple[Vignette, ...], blind: tuple[Vignette, ...]
) -> None:
    for cases in (first, blind):
        scores = score(tables, cases, lambda case: case.evidence)
        assert scores.log_score > scores.log_score_prior
        assert scores.brier < scores.brier_prior


def thinned(answers: Mapping[str, Any], rng: np.random.Generator) -> Evidence:
    """The findings with 30 % of them taken away at random."""
    names = list(rng.permutation(list(answers)))
    gone = int(0.3 * len(names) + 0.5)
    return Evidence.of({name: answers[name] for name in names[gone:]})


def test_dangerous_causes_stay_in_view_of_their_published_cases(
    tables: Tables, first: tuple[Vignette, ...], blind: tuple[Vignette, ...]
) -> None:
    """With 30 % of the findings missing: in the first five rows or in the strip, 95 of 100.

    A cause that what is left makes remote is not pressed on the reader: alarms that are mostly
    wrong stop being read.
    """
    rng = np.random.default_rng(3)
    for name, condition in tables.facts.conditions.items():
        cases = [case for case in (*first, *blind) if name in case.confirmed]
        if not condition.cannot_miss or not cases:
            continue
        rankings = [
            rank(tables, thinned(case.evidence.answers, rng)) for case in cases for _ in range(100)
        ]
        remote = tables.facts.number("strip_remote")
        assert np.mean([in_view(r, name) or r.of(name) <= remote for r in rankings]) >= 0.95, name
        assert np.mean([in_view(r, name) for r in rankings]) >= 0.85, name


def drawn_case(tables: Tables, name: str, rng: np.random.Generator) -> dict[str, str]:
    """A case of one cause with every question answered as its row of the tables says."""
    answers: dict[str, str] = {}
    for finding in tables.facts.findings.values():
        if finding.law is LikelihoodLaw.ODDS:
            continue
        if finding.gate and answers.get(finding.gate_finding) != finding.gate_answer:
            continue
        chance = tables.cells[finding.id].chance[tables.row(name)]
        answers[finding.id] = finding.answers[int(rng.choice(len(chance), p=chance))]
    return answers


def share_in_view(tables: Tables, name: str, count: int) -> float:
    rng = np.random.default_rng(4)
    drawn = [drawn_case(tables, name, rng) for _ in range(count)]
    return float(np.mean([in_view(rank(tables, thinned(answers, rng)), name) for answers in drawn]))


def test_dangerous_causes_without_a_published_case_stay_in_view_of_generated_ones(
    tables: Tables, first: tuple[Vignette, ...], blind: tuple[Vignette, ...]
) -> None:
    """Cases drawn from the tables themselves: this verifies the code, not the tables."""
    published = {name for case in (*first, *blind) for name in case.confirmed}
    for name, condition in tables.facts.conditions.items():
        if condition.cannot_miss and name not in published:
            assert share_in_view(tables, name, 300) >= 0.95, name


@pytest.mark.slow
def test_every_dangerous_cause_stays_in_view_of_generated_cases(tables: Tables) -> None:
    for name, condition in tables.facts.conditions.items():
        if condition.cannot_miss:
            assert share_in_view(tables, name, 2000) >= 0.95, name


def test_the_frozen_cases_keep_the_places_they_had_when_first_ranked(
    tables: Tables, golden: Path
) -> None:
    """A guard against losing ground; the figures themselves stand in docs/differential.md."""
    frozen = read_vignettes(golden / "vignettes_frozen.json", tables.facts)
    listed = [case for case in frozen if "NOT_IN_LIST" not in case.confirmed]
    scores = score(tables, listed, lambda case: case.evidence)
    assert len(frozen) == 70
    assert scores.top1.count >= 36
    assert scores.top3_any.count >= 40
