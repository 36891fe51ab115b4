from __future__ import annotations

import time
from typing import Any

import numpy as np
import pytest
from tests.diagnose.more_evidence import and_also

from tankside.diagnose import Evidence, Ranking, Tables, look_next, rank
from tankside.diagnose.look_next import open_findings
from tankside.diagnose.ranking import normalised

GROSS_ICH = {
    "water_type": "freshwater", "host_fw": "other_freshwater", "spots_visible": "yes",
    "spot_form": "smooth_dome_in_skin", "spot_size": "grain_0p3_1mm", "flashing": "frequent",
}  # fmt: skip


@pytest.mark.parametrize("answers", [{}, GROSS_ICH, {"breathing": "fast"}])
def test_the_gain_is_the_expected_fall_of_the_expected_harm(
    tables: Tables, answers: dict[str, str]
) -> None:
    """Expected value of sample information, worked out answer by answer with fresh rankings."""
    ranking = rank(tables, Evidence.of(answers))
    causes = tables.facts.conditions.values()
    missed = np.array([c.harm_missed.point for c in causes])
    in_vain = np.array([c.harm_in_vain.point for c in causes])

    def harm(of: Ranking) -> float:
        p = np.array([of.of(c.id) for c in causes])
        return float(np.minimum(p * missed, (1 - p) * in_vain).sum())

    setup = tables.facts.number("look.setup_minutes")
    checked = 0
    for look in look_next(ranking).looks:
        asked = tables.facts.findings[look.finding]
        if asked.role == "context" or asked.gate:
            continue
        answer_chance = ranking.space.answer_chance[look.finding]
        expected = sum(
            float(ranking.chance @ answer_chance[:, k])
            * harm(rank(tables, and_also(ranking.evidence, look.finding, answer)))
            for k, answer in enumerate(asked.answers)
        )
        look_harm = tables.facts.number(f"look.harm.invasiveness_{asked.invasiveness}")
        assert look.gain == pytest.approx(harm(ranking) - expected - look_harm, abs=1e-9)
        assert look.per_minute == pytest.approx(look.gain / (asked.cost_minutes + setup))
        checked += 1
    assert checked


def test_looks_are_ordered_by_harm_saved_per_minute(tables: Tables) -> None:
    looks = look_next(rank(tables, Evidence.of(GROSS_ICH))).looks
    rates = [look.per_minute for look in looks]
    assert rates == sorted(rates, reverse=True)


def test_a_cheap_irrelevant_look_never_wins(tables: Tables) -> None:
    """Every look offered saves at least the set share of what the best one saves."""
    for answers in ({}, GROSS_ICH, {"m_big_ciliate": "crescent_nucleus"}):
        looks = look_next(rank(tables, Evidence.of(answers))).looks
        best = max(look.gain for look in looks)
        share = tables.facts.number("look.relevance")
        assert all(look.gain >= share * best for look in looks if not look.why)
        assert looks[0].finding != "breeding_state"


@pytest.mark.parametrize(
    "answers",
    [
        {"breathing": "gasping_surface"},
        {"breathing": ["fast", "gasping_surface"]},
        {"mortality": "mass_24h", "host_fw": "goldfish_koi"},
        {**GROSS_ICH, "breathing": "gasping_surface"},
    ],
)
def test_water_is_tested_first_when_fish_gasp_or_many_died(
    tables: Tables, answers: dict[str, Any]
) -> None:
    looks = look_next(rank(tables, Evidence.of(answers))).looks
    water = [f.id for f in tables.facts.findings.values() if f.role == "water_test"]
    assert {look.finding for look in looks[: len(water)]} == set(water)
    assert all(look.why for look in looks[: len(water)])


def test_looking_stops_when_little_would_change(tables: Tables) -> None:
    """Everything has been looked at but for questions that can no longer matter."""
    answers = {
        finding.id: finding.baseline_answer
        for finding in tables.facts.findings.values()
        if not finding.gate and finding.role != "context"
    }
    answers |= {
        "m_big_ciliate": "crescent_nucleus",
        **GROSS_ICH,
        "m_spot_content": "nothing_specific",
    }
    advice = look_next(rank(tables, Evidence.of(answers)))
    assert advice.stop
    assert advice.looks == ()


def test_each_answer_says_who_would_lead_and_who_would_rise(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of({"spots_visible": "yes", "water_type": "freshwater"}))
    cannot = frozenset(f for f in tables.facts.findings if f != "spot_form")
    look = look_next(ranking, cannot=cannot).looks[0]
    assert look.finding == "spot_form"
    moves = {move.answer: move for move in look.moves}
    assert sum(move.chance for move in look.moves) == pytest.approx(1)
    assert moves["smooth_dome_in_skin"].first == "ICH"
    assert moves["powder"].rises == "FWVELVET"
    after = rank(tables, and_also(ranking.evidence, "spot_form", "powder"))
    assert moves["powder"].first == after.order()[0]


def test_what_cannot_be_done_here_is_not_offered(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of({"breathing": "gasping_surface"}))
    cannot = frozenset(("oxygen_gas", "nitrogen"))
    assert cannot <= {look.finding for look in look_next(ranking).looks}
    rest = look_next(ranking, cannot=cannot).looks
    assert rest
    assert not cannot & {look.finding for look in rest}


def test_a_descriptor_is_predicted_given_the_descriptors_told(tables: Tables) -> None:
    """The mixture over responsible causes is reweighed by what was told of the spot."""
    ranking = rank(tables, Evidence.of({"spots_visible": "yes", "spot_form": "powder"}))
    opened = next(o for o in open_findings(ranking) if o.finding == "spot_size")
    assert opened.answer_chance.sum(axis=1) == pytest.approx(1)
    for k, answer in enumerate(opened.answers):
        direct = rank(tables, and_also(ranking.evidence, "spot_size", answer))
        mine = normalised(ranking.log_weight + opened.log_step[:, k]) @ ranking.space.membership
        assert mine == pytest.approx(direct.by_cause, abs=1e-9)


@pytest.mark.parametrize("answers", [{}, GROSS_ICH, {"spots_visible": "no"}])
def test_only_open_questions_are_offered_and_each_once(
    tables: Tables, answers: dict[str, str]
) -> None:
    """What was answered is not asked again, nor what an answer has closed (spots that are none)."""
    seen = Evidence.of(answers)
    offered = [look.finding for look in look_next(rank(tables, seen)).looks]
    assert offered
    assert len(set(offered)) == len(offered)
    assert not set(offered) & set(answers)
    for name in offered:
        finding = tables.facts.findings[name]
        gate_answers = seen.answers.get(finding.gate_finding, {finding.gate_answer})
        assert not finding.gate or finding.gate_answer in gate_answers


def test_all_looks_are_weighed_in_time(tables: Tables) -> None:
    """At most 60 ms on one core, ten times that on a busy machine."""
    ranking = rank(tables, Evidence({}))
    look_next(ranking)
    start = time.perf_counter()
    look_next(ranking)
    assert time.perf_counter() - start < 0.6
