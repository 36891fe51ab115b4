"""Agents whose people fields, limits or effects are not filled cannot be chosen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankside.claims import Agent, Claim, Confidence, Knowledge, Provenance
from tankside.course import BodyKind, Course, Level, StockGroup, System, Volume, run
from tankside.course.actions import Bath, Dose
from tankside.course.actions.action import Action
from tankside.course.amounts.choice import FIELDS, handling, missing_fields
from tankside.library import load

LIBRARY = load()
FISH = StockGroup("f", "danio_rerio", "danios", 6, 3.0, None, "main", "adult", False)


def tank(kind: BodyKind = BodyKind.MAIN, name: str = "main") -> System:
    return System(
        name, name, kind, Volume(100, 100, 100, "x"), water="fresh", temperature_c=22.0, ph=7.0,
        alkalinity_mg_l_caco3=100.0, oxygen_mg_l=8.0,
    )  # fmt: skip


def without(agent: str, *shorts: str) -> Knowledge:
    """The shipped knowledge without some claims of one agent."""
    gone = {f"agent.{agent}.{short}" for short in shorts}
    facts = {key: rivals for key, rivals in LIBRARY.facts.items() if key not in gone}
    return Knowledge(facts, LIBRARY.sources, agents=LIBRARY.agents, hosts=LIBRARY.hosts)


def blocked(facts: Knowledge, *steps: Action, systems: list[System] | None = None) -> set[str]:
    result = run(systems or [tank()], [FISH], Course("c", 2, steps), facts)
    return {c.code for c in result.safety if c.level is Level.BLOCKED}


@pytest.mark.parametrize("field", FIELDS)
def test_a_missing_people_field_blocks_a_hazardous_agent_and_is_named(field: str) -> None:
    facts = without("malachite_green", f"people.{field}")
    assert missing_fields(facts, "malachite_green") == (field,)
    assert "S-PEOPLE" in blocked(facts, Dose(0, "main", "malachite_green", 0.05))
    assert "S-PEOPLE" not in blocked(LIBRARY, Dose(0, "main", "malachite_green", 0.05))


def test_an_unknown_hazard_blocks_too_and_a_low_one_needs_nothing() -> None:
    assert missing_fields(without("formalin", "people.hazard"), "formalin") == ("hazard",)
    facts = without("sodium_chloride", "people.ppe")
    assert missing_fields(facts, "sodium_chloride") == ()


def test_handling_holds_every_field_of_every_shipped_substance_that_can_be_dosed() -> None:
    dosed = [a for a in LIBRARY.agents.values() if a.kind == "substance" and a.routes]
    assert dosed
    bare = {a.id: missing_fields(LIBRARY, a.id) for a in dosed if missing_fields(LIBRARY, a.id)}
    for agent in bare:
        assert "S-PEOPLE" in blocked(LIBRARY, Dose(0, "main", agent, 0.001)), agent
    assert [field for field, _ in handling(LIBRARY, "formalin")] == ["hazard", *FIELDS]


def test_without_any_limit_an_agent_is_not_offered() -> None:
    facts = without("malachite_green", "hard_max.prolonged", "dose.prolonged")
    assert "E-DOSE-10" in blocked(facts, Dose(0, "main", "malachite_green", 0.05))
    bath = Bath(0, "main", "f", "bath", "malachite_green", 1.0, 10.0)
    systems = [tank(), tank(BodyKind.BATH, "bath")]
    assert "E-DOSE-10" in blocked(LIBRARY, bath, systems=systems)


def test_chelated_copper_without_its_formulation_is_not_offered() -> None:
    assert "E-DOSE-10" in blocked(LIBRARY, Dose(0, "main", "copper_chelated", 1.5))


def test_an_effect_on_the_filter_that_nobody_knows_is_at_risk() -> None:
    result = run([tank()], [FISH], Course("c", 2, (Dose(0, "main", "praziquantel", 1.0),)), LIBRARY)
    assert any(c.code == "S-FILTER" and "at risk" in c.words for c in result.safety)


def test_young_fish_lower_the_limit_and_an_unknown_age_counts_as_young() -> None:
    """Praziquantel above 1 mg/L harms larvae (grass carp; treatments notes)."""
    dose = Dose(0, "main", "praziquantel", 2.0)
    old = run([tank()], [FISH], Course("c", 1, (dose,)), LIBRARY)
    unknown = StockGroup("f", "danio_rerio", "danios", 6, 1.0, None, "main")
    silent = run([tank()], [unknown], Course("c", 1, (dose,)), LIBRARY)
    assert not any(c.code == "E-DOSE-10" for c in old.blocked)
    assert any(c.code == "E-DOSE-10" for c in silent.blocked)
    long = replace(unknown, length_cm=3.0)  # zebrafish grow to 5 cm: no fry is as long as this
    grown = run([tank()], [long], Course("c", 1, (dose,)), LIBRARY)
    assert not any(c.code == "E-DOSE-10" for c in grown.blocked)


def test_a_claim_that_says_unknown_is_never_read_as_a_limit() -> None:
    unknown = Claim(
        "agent.x.hard_max.prolonged", None, "mg/L", Provenance.MEMORY, Confidence.LOW,
        unknown_because="nobody printed one",
    )  # fmt: skip
    facts = Knowledge(
        {**LIBRARY.facts, unknown.key: (unknown,)},
        agents={"x": Agent("x", "x", "substance", "as x", ("x",), "", {})},
    )
    assert "E-DOSE-10" in blocked(facts, Dose(0, "main", "x", 1.0))
