"""Published experiments under frozen set-ups: verdicts, trust rows, what must stay inside.

Slow tier: every check is run again; its verdict must be the one kept in ``verdicts.json``, or one
that another seed gave (so a better or worse forecast is noticed and explained, and luck dealt
anew is not), and each goes onto the trust page. Fast tier:
the quick ones that must stay inside whatever changes, with fewer histories.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from tests.experiments.counting import (
    EDGE,
    IN_FULL,
    IN_PART,
    NOT,
    Outcomes,
    experiments,
    why_not,
    word_of,
)
from tests.experiments.papers_read import CALIBRATION, TEST, UNUSABLE, register
from tests.experiments.run_setup import KEPT, WIDEST_FACTOR, WIDEST_POINTS, Verdict, judge
from tests.experiments.setups_read import Check, checks, reasons

ALL = checks()
WHY = {name: note["why"] for name, note in reasons().items()}
WERE_TESTS = frozenset(
    {"e02", "e05", "e55", "e56", "e77", "e98", "e99", "e104", "e107", "ho_03", "ho_09"}
)
"""Papers that tested the program until the fits of death and spread took figures from them."""
ON_THE_TRUST_PAGE = {"passed": "pass", "failed": "fail", "useless": "useless"}
QUICK = {
    "HO-01 12.2 C": 1024,
    "HO-01 23.9 C": 1024,
    "HO-01 29.4 C": 1024,
    "HO-03 untreated deaths": 64,
    "HO-03 seen free by day 6": 128,
    "HO-13 four transfers eradicate": 96,
}
GIVEN_UP = frozenset({"HO-13 four dips of the tank eradicate"})
"""Gates that held by a figure without a source; ``why.toml`` says what would bring them back."""


def named(name: str) -> Check:
    return next(c for c in ALL if c["id"] == name)


def kept() -> dict[str, dict[str, Any]]:
    return {row["id"]: row for row in json.loads(KEPT.read_text(encoding="utf-8"))}


def is_inside(verdict: Verdict, check: Check) -> bool:
    if check["rule"] == "event":
        return bool(verdict.low >= check["pass_at"])
    return verdict.low <= verdict.published <= verdict.high


def allowed(check: Check) -> str:
    rule = {
        "points": f"inside, at most {WIDEST_POINTS:g} points wide",
        "time": f"inside, high / low at most {WIDEST_FACTOR:g}",
        "factor": f"inside, high / low at most {WIDEST_FACTOR:g}",
        "event": f"P at least {check.get('pass_at')}",
    }[check["rule"]]
    return rule if check["rule"] == "event" else f"published {check['published']:g}: {rule}"


def paper_verdict(paper: Outcomes, rows: dict[str, dict[str, Any]]) -> str:
    """Return the word of the trust page: only a test can pass; in part is a disagreement."""
    if paper.standing != TEST:
        return paper.standing
    if paper.word != NOT:
        return "pass" if paper.word == IN_FULL else "known disagreement"
    words = {rows[name]["word"] for name in paper.missed}
    if not words:
        return "known disagreement"
    return "fail" if "failed" in words else "useless"


def page_word(check: Check, word: str, *, edge: bool) -> str:
    """Return the word of an outcome: of its paper where it tests nothing; an edge is no pass."""
    standing = next(p["standing"] for p in register() if p["id"] == check["experiment"])
    if standing != TEST:
        return standing
    return "known disagreement" if edge else ON_THE_TRUST_PAGE.get(word, "known disagreement")


@pytest.mark.slow
@pytest.mark.parametrize("check", ALL, ids=lambda c: c["id"])
def test_verdict_is_the_one_kept(check: Check, trust_record: Callable[..., None]) -> None:
    verdict = judge(check)
    why = WHY.get(check["id"], "")
    edge = (
        "On the edge: another seed says otherwise. " if word_of(kept()[check["id"]]) == EDGE else ""
    )
    trust_record(
        "published_experiments",
        check["source"],
        f"{check['id']} ({check['role']})",
        verdict.interval(),
        allowed(check),
        page_word(check, verdict.word, edge=bool(edge)),
        f"{verdict.word.upper()}. {edge}{why} {check['independence']}".replace("  ", " "),
    )
    if check.get("must_stay_inside") and check["id"] not in GIVEN_UP:
        assert is_inside(verdict, check), verdict
    row = kept()[check["id"]]
    assert verdict.word in {row["word"], *row["other_seeds"]}, (verdict, "explain, keep anew")


def test_every_gate_is_among_the_quick_ones() -> None:
    assert {c["id"] for c in ALL if c.get("must_stay_inside")} == set(QUICK) | GIVEN_UP
    assert all(word_of(kept()[name]) != "passed" for name in GIVEN_UP)


@pytest.mark.parametrize("name", QUICK)
def test_stays_inside_with_fewer_histories(name: str) -> None:
    check = named(name)
    verdict = judge(check, QUICK[name])
    assert is_inside(verdict, check), verdict


def test_every_check_has_a_kept_verdict_and_every_miss_is_explained() -> None:
    rows = kept()
    assert set(rows) == {c["id"] for c in ALL}
    assert set(WHY) <= set(rows)
    missed = {name for name, row in rows.items() if word_of(row) != "passed"}
    assert missed <= set(WHY)


def test_set_ups_of_the_library_are_counted_by_standing(
    trust_record: Callable[..., None],
) -> None:
    rows = kept()
    papers = experiments(rows)
    for paper in papers:
        easy = ", easy" if paper.easy and paper.passed else ""
        trust_record(
            "published_experiments_count",
            ", ".join(paper.sources),
            f"{paper.experiment}: {paper.asks}",
            f"{len(paper.passed)} of {paper.total} outcomes passed",
            f"{paper.standing}: {paper.word}{easy}",
            paper_verdict(paper, rows),
            why_not(paper, rows),
        )
    by_standing = {
        standing: [p.experiment for p in papers if p.standing == standing]
        for standing in (TEST, CALIBRATION, UNUSABLE)
    }
    assert set(by_standing[CALIBRATION]) >= WERE_TESTS
    assert not any(paper_verdict(p, rows) == "pass" for p in papers if p.standing != TEST)


def test_a_miss_or_a_pass_not_counted_keeps_a_paper_from_passing_in_full() -> None:
    rows = kept()
    before = {p.experiment: p.word for p in experiments(rows)}
    assert before["ho_03"] == IN_FULL
    assert before["e05"] != IN_FULL
    name = "HO-03 untreated deaths"
    for change in ({"word": "useless"}, {"other_seeds": ["passed", "useless", "passed"]}):
        after = experiments(rows | {name: rows[name] | change})
        assert {p.experiment: p.word for p in after}["ho_03"] == IN_PART


def test_a_wrong_published_value_fails_and_a_wide_interval_is_useless() -> None:
    check = named("HO-01 23.9 C")
    assert judge(check | {"published": 30.0}, 512).word == "failed"
    warm_or_cold = check | {"temperature_c": [10.0, 29.0]}
    assert judge(warm_or_cold, 512).word == "useless"
    stay = named("HO-13 four transfers eradicate")
    assert judge(stay | {"treatment": []}, 64).word == "failed"
