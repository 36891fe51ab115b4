"""The advice on what to look at next: whole sittings, weighed by all their answers together."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.diagnose.more_evidence import and_also

from tankside.diagnose import Evidence, Ranking, Tables, look_next, rank
from tankside.diagnose.open_findings import open_findings
from tankside.diagnose.ranking import normalised

GROSS_ICH = {
    "water_type": "freshwater", "host_fw": "other_freshwater", "spots_visible": "yes",
    "spot_form": "smooth_dome_in_skin", "spot_size": "grain_0p3_1mm", "flashing": "frequent",
}  # fmt: skip


def least_harm(of: Ranking) -> float:
    """Sum over causes of the lesser of leaving it and acting on it in vain."""
    causes = of.tables.facts.conditions.values()
    p = np.array([of.of(c.id) for c in causes])
    missed = np.array([c.harm_missed.point for c in causes])
    in_vain = np.array([c.harm_in_vain.point for c in causes])
    return float(np.minimum(p * missed, (1 - p) * in_vain).sum())


@pytest.mark.parametrize("answers", [GROSS_ICH, {"breathing": "fast"}])
@pytest.mark.parametrize("finding", ["m_big_ciliate", "m_disc_ring"])
def test_the_worth_of_a_sitting_of_one_finding_is_the_expected_fall_of_the_harm(
    tables: Tables, answers: dict[str, str], finding: str
) -> None:
    """Expected value of sample information, worked out answer by answer with fresh rankings.

    With all other findings ruled out the sitting has one question, whose worth is worked out over
    the sets of causes that hold nearly all of the belief.
    """
    ranking = rank(tables, Evidence.of(answers))
    cannot = frozenset(tables.facts.findings) - {finding}
    asked = tables.facts.findings[finding]
    chance = ranking.space.answer_chance[finding]
    expected = sum(
        float(ranking.chance @ chance[:, k])
        * least_harm(rank(tables, and_also(ranking.evidence, finding, answer)))
        for k, answer in enumerate(asked.answers)
    )
    exact = least_harm(ranking) - expected
    harm = tables.facts.number("look.harm.invasiveness_2")
    looks = look_next(ranking, cannot=cannot).looks
    gain = looks[0].gain + harm if looks else 0.0
    assert gain == pytest.approx(exact, rel=0.1, abs=0.001)


def test_a_sitting_costs_its_minutes_once(tables: Tables) -> None:
    """Many findings of one handling: 20 minutes together, whichever of them are still open."""
    looks = {k.sitting: k for k in look_next(rank(tables, Evidence.of(GROSS_ICH))).looks}
    scrape = looks["scrape"]
    assert scrape.minutes == tables.facts.sittings["scrape"].minutes
    assert len(scrape.findings) > 10
    rest = Evidence.of({**GROSS_ICH, "m_big_ciliate": "none", "m_disc_ring": "none"})
    again = {k.sitting: k for k in look_next(rank(tables, rest)).looks}
    assert again["scrape"].minutes == scrape.minutes


def test_a_whole_sitting_saves_at_least_what_its_best_finding_saves(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of({"flashing": "frequent", "water_type": "freshwater"}))
    whole = {k.sitting: k for k in look_next(ranking).looks}["scrape"]
    others = frozenset(tables.facts.findings) - {whole.finding}
    alone = look_next(ranking, cannot=others).looks[0]
    assert whole.gain >= alone.gain * 0.9


def test_sittings_at_hand_are_ordered_by_harm_saved_per_minute(tables: Tables) -> None:
    looks = look_next(rank(tables, Evidence.of(GROSS_ICH))).looks
    rates = [look.per_minute for look in looks if not look.days]
    assert rates == sorted(rates, reverse=True)
    assert [look.days > 0 for look in looks] == sorted(look.days > 0 for look in looks)


def test_a_cheap_irrelevant_sitting_is_not_offered(tables: Tables) -> None:
    share = tables.facts.number("look.relevance")
    for answers in ({}, GROSS_ICH, {"m_big_ciliate": "crescent_nucleus"}):
        looks = look_next(rank(tables, Evidence.of(answers))).looks
        best = max(look.gain for look in looks)
        assert all(look.gain >= share * best for look in looks if not look.why)


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
    assert looks[0].sitting == "water_test"
    assert looks[0].why
    assert not any(look.why for look in looks[1:])


def test_looking_stops_when_nothing_would_change_the_step(tables: Tables) -> None:
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


def test_each_outcome_says_who_would_lead_and_by_which_answers(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of({"spots_visible": "yes", "water_type": "freshwater"}))
    cannot = frozenset(f for f in tables.facts.findings if f != "spot_form")
    look = look_next(ranking, cannot=cannot).looks[0]
    assert (look.sitting, look.findings) == ("look_over", ("spot_form",))
    assert 0.5 < sum(move.chance for move in look.moves) <= 1
    by_leader = {move.first: move for move in look.moves}
    assert ("spot_form", "smooth_dome_in_skin") in by_leader["ICH"].answers
    for move in look.moves[:2]:
        after = rank(tables, and_also(ranking.evidence, *move.answers[0]))
        assert move.first == after.order()[0]


def test_what_cannot_be_done_here_is_not_offered(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of({"breathing": "gasping_surface"}))
    cannot = frozenset(("oxygen_gas", "nitrogen", "scrape"))
    offered = look_next(ranking, cannot=cannot).looks
    assert offered
    assert "scrape" not in {look.sitting for look in offered}
    assert not cannot & {name for look in offered for name in look.findings}


def test_a_full_empty_grid_is_one_step_and_lowers_the_parasites_together(tables: Tables) -> None:
    """One sitting answered "nothing" everywhere: each parasite falls, and it is not asked again."""
    before = rank(tables, Evidence.of({"flashing": "frequent", "water_type": "freshwater"}))
    look = {k.sitting: k for k in look_next(before).looks}["scrape"]
    empty = {n: tables.facts.findings[n].baseline_answer for n in look.findings}
    after = rank(tables, Evidence.of({**before.evidence.answers, **empty}))
    for parasite in ("ICH", "CHILO", "TRICHO", "SKINFLUKE", "GILLFLUKE", "ICHTHYOBODO"):
        assert after.of(parasite) < before.of(parasite) / 1.5, parasite
    assert "scrape" not in {k.sitting for k in look_next(after).looks}


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
    offered = [name for look in look_next(rank(tables, seen)).looks for name in look.findings]
    assert offered
    assert len(set(offered)) == len(offered)
    assert not set(offered) & set(answers)
    for name in offered:
        finding = tables.facts.findings[name]
        gate_answers = seen.answers.get(finding.gate_finding, {finding.gate_answer})
        assert not finding.gate or finding.gate_answer in gate_answers


def test_the_same_belief_gives_the_same_advice(tables: Tables) -> None:
    ranking = rank(tables, Evidence.of(GROSS_ICH))
    assert look_next(ranking) == look_next(ranking)
