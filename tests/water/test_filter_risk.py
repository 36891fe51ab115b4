"""What agents do to filters: a class, with the studies on both sides."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.claims import Claim, Confidence, Provenance
from tankside.library import load
from tankside.water.filter_risk import FilterRisk, filter_risk


def study(risk: str, mg_l: float | None = None) -> Claim:
    conditions = {} if mg_l is None else {"mg_l": str(mg_l)}
    return Claim("w.x", risk, "", Provenance.FOUND, Confidence.HIGH, conditions=conditions)


def recorded(agent: str) -> list[Claim]:
    facts = load()
    start = f"water.nitrification.effect.{agent}."
    return [facts.claim(key) for key in facts.keys() if key.startswith(start)]  # noqa: SIM118 (a method, in order)


def test_not_tested_is_not_safe():
    assert filter_risk(1.0, []).risk is FilterRisk.AT_RISK
    assert filter_risk(50.0, [study("spared", 10)]).risk is FilterRisk.AT_RISK
    assert filter_risk(1.0, [study("spared")]).risk is FilterRisk.AT_RISK
    assert filter_risk(1.0, [study("lost", 10)]).risk is FilterRisk.AT_RISK


def test_spared_needs_a_test_at_this_strength_or_above():
    assert filter_risk(5.0, [study("spared", 10)]).risk is FilterRisk.SPARED
    assert filter_risk(10.0, [study("spared", 10)]).risk is FilterRisk.SPARED


def test_harm_counts_from_its_strength_up():
    assert filter_risk(10.0, [study("lost", 10)]).risk is FilterRisk.LOST
    assert filter_risk(99.0, [study("at_risk", 10)]).risk is FilterRisk.AT_RISK
    assert filter_risk(1.0, [study("lost")]).risk is FilterRisk.LOST


def test_studies_that_disagree_leave_it_at_risk_with_both_named():
    judged = filter_risk(2.0, [study("spared", 4), study("lost", 1)])
    assert judged.risk is FilterRisk.AT_RISK
    assert len(judged.against) == len(judged.in_favour) == 1
    assert "disagree" in judged.why


@given(st.lists(st.tuples(st.sampled_from(["at_risk", "lost"]), st.floats(0.1, 100)), max_size=5))
def test_more_of_it_is_never_milder(harm):
    studies = [study(risk, mg_l) for risk, mg_l in harm]
    order = [FilterRisk.SPARED, FilterRisk.AT_RISK, FilterRisk.LOST]
    rank = [order.index(filter_risk(s, studies).risk) for s in (0.05, 1.0, 10.0, 200.0)]
    assert rank == sorted(rank)


@pytest.mark.parametrize(
    ("agent", "mg_l", "risk"),
    [
        ("sodium_chloride", 2000, FilterRisk.SPARED),
        ("sodium_chloride", 12000, FilterRisk.AT_RISK),
        ("sodium_chloride", 20000, FilterRisk.LOST),
        ("formaldehyde", 37, FilterRisk.LOST),
        ("formaldehyde", 15, FilterRisk.AT_RISK),
        ("potassium_permanganate", 2, FilterRisk.AT_RISK),
        ("methylene_blue", 5, FilterRisk.LOST),
        ("oxytetracycline", 20, FilterRisk.LOST),
    ],
)
def test_recorded_studies_give_the_class_of_their_abstracts(agent, mg_l, risk):
    """Kinyage 2019 (salt), Fredricks 2018 and Pedersen 2010 (formaldehyde), Collins against
    Levine & Meade (permanganate, memory), Klaver & Matthews 1994 (oxytetracycline)."""
    assert filter_risk(mg_l, recorded(agent)).risk is risk
