"""P6, P10: every reading that an agent needs, missing, stale, and a hair on either side."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tankside.course import BodyKind, Course, run
from tankside.course.actions import Dose
from tankside.course.limits import Around, hard_limit
from tankside.course.needs import AGE_KEY, NEEDS, VOLUME_AGE_KEY
from tankside.library import load

FACTS = load()
RULES = [
    (agent.id, need)
    for agent in FACTS.agents.values()
    for need in NEEDS
    if FACTS.find(f"agent.{agent.id}.{need.short}") is not None
]


def by_name(value: object) -> str:
    return value if isinstance(value, str) else value.short


def codes(water, agent: str) -> set[str]:
    """Return what stands against one dose in water without animals."""
    bare = replace(water, kind=BodyKind.FISHLESS)
    limit = hard_limit(FACTS, agent, "prolonged", Around(18.0, 300.0, young=False))
    dose = Dose(8, "main", agent, 0.01 if limit is None else limit.mg_l / 2)
    found = run([bare], [], Course("one", 2, (dose,)), FACTS)
    return {caution.code for caution in found.blocked}


def test_there_are_rules_for_each_kind_of_reading():
    assert len(RULES) >= 8
    assert {need.short for _, need in RULES} == {need.short for need in NEEDS}


@pytest.mark.parametrize(("agent", "need"), RULES, ids=by_name)
def test_a_reading_that_is_missing_blocks(water, agent, need):
    assert "E-DOSE-20" in codes(replace(water, **{need.field: None}), agent)


@pytest.mark.parametrize(("agent", "need"), RULES, ids=by_name)
def test_a_reading_at_the_limit_passes_and_a_hair_beyond_does_not(water, agent, need):
    limit = FACTS.number(f"agent.{agent}.{need.short}")
    beyond = math.nextafter(limit, -math.inf if need.at_least else math.inf)
    within = math.nextafter(limit, math.inf if need.at_least else -math.inf)
    for value, stopped in ((limit, False), (within, False), (beyond, True)):
        found = codes(replace(water, **{need.field: value}), agent)
        assert ("E-DOSE-25" in found) is stopped, value


@pytest.mark.parametrize(("agent", "need"), RULES, ids=by_name)
def test_a_reading_that_is_no_number_never_passes(water, agent, need):
    assert codes(replace(water, **{need.field: math.nan}), agent) & {"E-DOSE-20", "E-DOSE-25"}


@pytest.mark.parametrize(("agent", "need"), RULES, ids=by_name)
def test_a_reading_older_than_its_age_blocks_and_one_at_its_age_passes(water, agent, need):
    oldest = FACTS.number(AGE_KEY)
    for age, stopped in ((oldest, False), (math.nextafter(oldest, math.inf), True)):
        aged = replace(water, read_at_h={need.field: -age})
        assert ("E-DOSE-20" in codes(aged, agent)) is stopped


def test_a_volume_older_than_its_age_blocks_any_agent(water):
    oldest = FACTS.number(VOLUME_AGE_KEY)
    for age, stopped in ((oldest, False), (math.nextafter(oldest, math.inf), True)):
        aged = replace(water, read_at_h={"volume": -age})
        assert ("E-DOSE-20" in codes(aged, "sodium_chloride")) is stopped


@pytest.mark.parametrize("agent", ["copper_sulphate", "chloramine_t", "peracetic_acid"])
def test_an_alkalinity_that_must_be_measured_blocks_when_it_was_not(water, agent):
    assert "E-DOSE-20" in codes(replace(water, alkalinity_mg_l_caco3=None), agent)


NOT_ASKED_YET = {
    "needs.buffer", "needs.calibrated_refractometer", "needs.clear_solution", "needs.demand_test",
    "needs.form_named", "needs.formulation_named", "needs.marine", "needs.no_fry",
    "needs.predissolve", "needs.strength_known",
}  # fmt: skip


def test_the_needs_that_the_program_does_not_ask_for_are_known():
    """An open list: these are told by an agent's file and printed, but stop nothing by themselves.

    The form and the strength are asked for by the label (tests/limits/test_wrong_form.py).
    """
    asked = {need.short for need in NEEDS} | {"needs.alkalinity_measured", "needs.no_gill_damage"}
    told = {
        short
        for agent in FACTS.agents.values()
        for short, claims in agent.claims.items()
        if short.startswith("needs.") and claims[0].known
    }
    assert told - asked == NOT_ASKED_YET
