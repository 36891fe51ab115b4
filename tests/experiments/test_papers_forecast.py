"""The frozen test papers on the trust page: foretold, unknown, how well intervals cover."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from tests.experiments.papers_forecast import (
    FORECASTS,
    KEPT_PAPERS,
    LEVELS,
    SEEDS,
    band,
    every,
    foretell,
    score,
)
from tests.experiments.papers_read import (
    CALIBRATION,
    TEST,
    UNUSABLE,
    Paper,
    asked_claims,
    coded,
    papers,
)

LEAST_PAPERS = 25
ON_THE_PAGE = {"passed": "pass", "useless": "useless", "failed": "fail", "unknown": "unknown"}


def kept() -> dict[str, Any]:
    text: dict[str, Any] = json.loads(KEPT_PAPERS.read_text(encoding="utf-8"))
    return text


def word_of_seeds(words: list[str]) -> str:
    return "on the edge" if "passed" in words and len(set(words)) > 1 else words[0]


def test_every_outcome_asked_has_a_kept_word_and_every_forecast_is_asked() -> None:
    asked = {f"{p['id']} {c['key']}" for p in papers(TEST) for c in asked_claims(p)}
    assert set(kept()["outcomes"]) == asked
    assert {f"{paper} {claim}" for paper, claim in FORECASTS} <= asked


def test_enough_papers_test_and_their_score_is_on_the_trust_page(
    trust_record: Callable[..., None],
) -> None:
    assert len(papers(TEST)) >= LEAST_PAPERS
    summed = kept()["score"]
    share = summed["passed"] / summed["forecast"]
    failed = summed["failed"] / summed["forecast"]
    unknown = summed["unknown"] / summed["outcomes"]
    reached = share >= 0.6 and failed <= 0.15 and unknown <= 1 / 3
    trust_record(
        "papers_that_test",
        "all",
        f"{len(papers(TEST))} papers, {summed['outcomes']} outcomes, {summed['forecast']} forecast",
        f"{summed['passed']} passed ({share:.0%}), {summed['on the edge']} on the edge, "
        f"{summed['useless']} useless, {summed['failed']} failed ({failed:.0%}), "
        f"{summed['unknown']} unknown ({unknown:.0%})",
        "at least 60 % passed, at most 15 % failed, at most a third unknown",
        "pass" if reached else "fail",
        "; ".join(
            f"{level} intervals hold {hits} of {of} ({low:.0%} to {high:.0%})"
            for level, (hits, of, low, high) in summed["coverage"].items()
        ),
    )


@pytest.mark.parametrize("paper", papers(TEST), ids=lambda p: p["id"])
def test_each_test_paper_is_on_the_trust_page(
    paper: Paper, trust_record: Callable[..., None]
) -> None:
    rows = {c["key"]: kept()["outcomes"][f"{paper['id']} {c['key']}"] for c in asked_claims(paper)}
    words = {key: word_of_seeds(row["words"]) for key, row in rows.items()}
    forecast = [word for word in words.values() if word != "unknown"]
    passed = forecast.count("passed")
    page = [ON_THE_PAGE.get(word, "useless") for word in forecast] or ["unknown"]
    whole = "pass" if passed == len(words) else "fail" if "fail" in page else page[-1]
    trust_record(
        "papers_that_test",
        paper["source"],
        f"{paper['id']}: {coded(paper)['experiment']['predict']}",
        f"{passed} of {len(forecast)} forecast passed, {len(words) - len(forecast)} unknown",
        "every outcome inside the 90 % interval and useful, three seeds",
        "useless" if whole == "pass" and len(forecast) < len(words) else whole,
        "; ".join(
            f"{key}: {word}{' (' + rows[key]['why'] + ')' if rows[key]['why'] else ''}"
            for key, word in words.items()
        ),
    )
    assert words


@pytest.mark.parametrize("standing", [CALIBRATION, UNUSABLE])
def test_papers_that_do_not_test_are_on_the_trust_page_with_the_reason(
    standing: str, trust_record: Callable[..., None]
) -> None:
    for paper in papers(standing):
        why = paper["calibrates"] if standing == CALIBRATION else paper["missing"]
        trust_record(
            "papers_that_calibrate" if standing == CALIBRATION else "papers_that_are_unusable",
            paper["source"] or paper["id"],
            f"{paper['id']}: {paper['organism']}",
            "neither passed nor useless",
            f"{'sets figures' if standing == CALIBRATION else 'not printed'}: {why}",
            standing,
            paper["why"],
        )
    assert papers(standing)


def test_the_band_of_a_share_is_the_published_one() -> None:
    # Newcombe 1998, Stat Med 17:857, table I (from memory): 81 of 263, exact 0.2527 to 0.3676
    assert band(81, 263) == pytest.approx((0.2527, 0.3676), abs=1e-4)


def test_a_pass_that_another_seed_takes_away_is_on_the_edge_and_unknown_is_never_passed() -> None:
    rows = [every_word(words) for words in (("passed", "unknown"), ("useless", "unknown"))]
    summed = score(rows)
    assert (summed["passed"], summed["on the edge"], summed["unknown"]) == (
        0,
        1,
        1,
    )


def every_word(words: tuple[str, ...]) -> list[Any]:
    from tests.experiments.papers_forecast import Foretold

    return [Foretold("e", "x", "time", 1.0, 0.0, 1.0, 2.0, word) for word in words]


def test_a_refused_organism_is_unknown_and_a_wrong_print_fails() -> None:
    by_id = {p["id"]: p for p in papers(TEST)}
    refused = by_id["e10"]
    assert foretell(refused, asked_claims(refused)[0], 20).word == "unknown"
    fluke = by_id["p08"]
    (survival,) = asked_claims(fluke)
    assert foretell(fluke, survival, 20).word == "passed"
    assert foretell(fluke, survival | {"value": 40.0}, 20).word == "failed"


@pytest.mark.slow
def test_every_forecast_is_the_one_kept() -> None:
    now = [every(seed) for seed in SEEDS]
    before = kept()["outcomes"]
    for same in zip(*now, strict=True):
        row = before[f"{same[0].paper} {same[0].claim}"]
        assert [r.word for r in same] == row["words"], (same[0], "explain, keep anew")
    assert len(LEVELS) == len(kept()["score"]["coverage"])
