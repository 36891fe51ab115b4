"""A chosen course keeps what it rests on; a changed base shows its difference on the card."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tankside.claims import Knowledge
from tankside.course import Course
from tankside.course.actions import Dose, SaltTo, WaterChange
from tankside.intake.claim_snapshot import changed, claim_snapshot
from tankside.library import load

FACTS = load()
COURSE = Course("c", 5, (SaltTo(0, "main", 2.0), Dose(8, "main", "formalin", 15.0)))
HARD = "agent.formalin.hard_max.prolonged"


def with_claim(key: str, **more: Any) -> Knowledge:
    """Return the shipped base with one claim of an agent changed, or without it."""
    agent_id, _, short = key.removeprefix("agent.").partition(".")
    agent = FACTS.agents[agent_id]
    claims = {name: rows for name, rows in agent.claims.items() if more or name != short}
    if more:
        claims[short] = (replace(claims[short][0], **more), *claims[short][1:])
    agents = {**FACTS.agents, agent_id: replace(agent, claims=claims)}
    return Knowledge(FACTS.facts, FACTS.sources, agents=agents, hosts=FACTS.hosts)


def test_what_is_kept_are_the_limits_and_needs_of_every_substance_of_the_course() -> None:
    kept = claim_snapshot(FACTS, COURSE)
    assert {HARD, "agent.sodium_chloride.hard_max.prolonged"} <= kept.keys()
    assert "agent.formalin.needs.oxygen_min" in kept
    assert {key.split(".")[1] for key in kept} == {"formalin", "sodium_chloride"}
    assert not [key for key in kept if ".law." in key or ".printed." in key]
    assert claim_snapshot(FACTS, Course("c", 5, (WaterChange(0, "main", 20.0),))) == {}


def test_the_same_base_has_no_difference_and_neither_has_a_course_that_kept_nothing() -> None:
    assert changed(FACTS, claim_snapshot(FACTS, COURSE)) == ()
    assert changed(with_claim(HARD, value=7.0), {}) == ()


def test_a_changed_limit_is_told_with_what_it_was_and_what_it_is() -> None:
    kept = claim_snapshot(FACTS, COURSE)
    before = FACTS.claim(HARD)
    (words,) = changed(with_claim(HARD, value=7.5, low=None, high=None), kept)
    assert words == f"{HARD}: was {before.value:g} {before.unit}, is 7.5 {before.unit}"


@pytest.mark.parametrize("key", ["agent.formalin.needs.clear_solution", HARD])
def test_a_claim_that_is_gone_is_told(key: str) -> None:
    (words,) = changed(with_claim(key), claim_snapshot(FACTS, COURSE))
    assert words.startswith(key)
    assert words.endswith("is not stated")


def test_a_claim_that_is_new_is_told() -> None:
    kept = claim_snapshot(with_claim("agent.formalin.needs.clear_solution"), COURSE)
    (words,) = changed(FACTS, kept)
    assert "clear_solution: was not stated, is yes" in words


def test_a_change_of_another_substance_is_not_told() -> None:
    other = with_claim("agent.copper_sulphate.needs.alkalinity_min", value=80)
    assert changed(other, claim_snapshot(FACTS, COURSE)) == ()
