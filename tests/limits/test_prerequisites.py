"""P6, P10: every reading that an agent needs, missing, stale, and a hair on either side."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tankside.case.medicine import SEEN_TO
from tankside.course import BodyKind, Course, LabelEntry, StockGroup, System, run
from tankside.course.actions import Dose
from tankside.course.amounts.by_hand import BY_HAND, ByHand, not_seen_to
from tankside.course.amounts.limits import Around, hard_limit, reason_limit
from tankside.course.amounts.needs import AGE_KEY, NEEDS, VOLUME_AGE_KEY, Need
from tankside.errors import BadInput
from tankside.intake.labels import read_labels
from tankside.library import load

FACTS = load()
RULES = [
    (agent.id, need)
    for agent in FACTS.agents.values()
    for need in NEEDS
    if FACTS.find(f"agent.{agent.id}.{need.short}") is not None
]


def having(tank: System, name: str, value: Any) -> System:
    """Return the tank with one thing told otherwise."""
    return replace(tank, **{name: value})


def by_name(value: str | Need) -> str:
    return value if isinstance(value, str) else value.short


def codes(water: System, agent: str) -> set[str]:
    """Return what stands against one dose in water without animals."""
    bare = replace(water, kind=BodyKind.FISHLESS)
    limit = hard_limit(FACTS, agent, "prolonged", Around(18.0, 300.0, young=False))
    dose = Dose(8, "main", agent, 0.01 if limit is None else limit.mg_l / 2)
    course_run = run([bare], [], Course("one", 2, (dose,)), FACTS)
    return {caution.code for caution in course_run.blocked}


def test_there_are_rules_for_each_kind_of_reading() -> None:
    assert {need.short for _, need in RULES} == {need.short for need in NEEDS}


@pytest.mark.parametrize(("agent", "need"), RULES, ids=by_name)
def test_a_reading_that_is_missing_blocks(water: System, agent: str, need: Need) -> None:
    assert "E-DOSE-20" in codes(having(water, need.field, None), agent)


@pytest.mark.parametrize(("agent", "need"), RULES, ids=by_name)
def test_a_reading_at_the_limit_passes_and_a_hair_beyond_does_not(
    water: System, agent: str, need: Need
) -> None:
    limit = FACTS.number(f"agent.{agent}.{need.short}")
    beyond = math.nextafter(limit, -math.inf if need.at_least else math.inf)
    within = math.nextafter(limit, math.inf if need.at_least else -math.inf)
    for value, stopped in ((limit, False), (within, False), (beyond, True)):
        refused = codes(having(water, need.field, value), agent)
        assert ("E-DOSE-25" in refused) is stopped, value


@pytest.mark.parametrize(("agent", "need"), RULES, ids=by_name)
def test_a_reading_that_is_no_number_never_passes(water: System, agent: str, need: Need) -> None:
    assert codes(having(water, need.field, math.nan), agent) & {"E-DOSE-20", "E-DOSE-25"}


@pytest.mark.parametrize(("agent", "need"), RULES, ids=by_name)
def test_a_reading_older_than_its_age_blocks_and_one_at_its_age_passes(
    water: System, agent: str, need: Need
) -> None:
    oldest = FACTS.number(AGE_KEY)
    for age, stopped in ((oldest, False), (math.nextafter(oldest, math.inf), True)):
        aged = replace(water, read_at_h={need.field: -age})
        assert ("E-DOSE-20" in codes(aged, agent)) is stopped


def test_a_volume_older_than_its_age_blocks_any_agent(water: System) -> None:
    oldest = FACTS.number(VOLUME_AGE_KEY)
    for age, stopped in ((oldest, False), (math.nextafter(oldest, math.inf), True)):
        aged = replace(water, read_at_h={"volume": -age})
        assert ("E-DOSE-20" in codes(aged, "sodium_chloride")) is stopped


@pytest.mark.parametrize("agent", ["copper_sulphate", "chloramine_t", "peracetic_acid"])
def test_an_alkalinity_that_must_be_measured_blocks_when_it_was_not(
    water: System, agent: str
) -> None:
    assert "E-DOSE-20" in codes(replace(water, alkalinity_mg_l_caco3=None), agent)


# What is asked in words, answered with the container ---------------------------------------------

ASKED_BY_HAND = [
    (agent.id, need)
    for agent in FACTS.agents.values()
    for need in BY_HAND
    if FACTS.find(f"agent.{agent.id}.needs.{need.name}") is not None
]


def shown(water: System, label: LabelEntry, fish: StockGroup | None = None) -> tuple[set[str], int]:
    """Return what forbids one low dose from a container, and how many amounts are shown."""
    agent = label.agent
    tank = replace(water, kind=BodyKind.FISHLESS if fish is None else BodyKind.MAIN)
    limit = hard_limit(FACTS, agent, "prolonged", Around(18.0, 300.0, young=False))
    soft = reason_limit(FACTS, agent, "prolonged") or limit
    low = 0.01 if limit is None or soft is None else min(limit.mg_l, soft.mg_l) / 2
    dose = Dose(8, "main", agent, low)
    stock = [] if fish is None else [fish]
    course_run = run([tank], stock, Course("one", 2, (dose,)), FACTS, {agent: label})
    return {caution.code for caution in course_run.blocked}, len(course_run.amounts)


def test_every_need_in_words_is_asked_of_some_agent() -> None:
    assert {need.name for _, need in ASKED_BY_HAND} == {need.name for need in BY_HAND}


@pytest.mark.parametrize(("agent", "need"), ASKED_BY_HAND, ids=str)
def test_a_need_that_nobody_answered_or_answered_with_no_gives_no_amount(
    water: System, container_of: Callable[[str], LabelEntry], agent: str, need: ByHand
) -> None:
    whole = container_of(agent)
    without = replace(whole, ready=tuple(name for name in whole.ready if name != need.name))
    answered_no = replace(without, not_ready=(need.name,))

    def by_hand(label: LabelEntry) -> list[str]:
        return [caution.code for caution in not_seen_to(FACTS, label, "it", 8, "main")]

    assert [by_hand(container) for container in (whole, without, answered_no)] == [
        [], ["E-DOSE-20"], ["E-DOSE-25"]
    ]  # fmt: skip
    if hard_limit(FACTS, agent, "prolonged") is not None:
        results = [shown(water, label) for label in (whole, without, answered_no)]
        assert results == [(set(), 1), ({"E-DOSE-20"}, 0), ({"E-DOSE-25"}, 0)]


def test_an_answer_in_words_is_good_as_long_as_a_water_test(
    water: System, container_of: Callable[[str], LabelEntry]
) -> None:
    oldest = FACTS.number(AGE_KEY)
    formalin = container_of("formalin")
    for age, amounts in ((oldest, 1), (math.nextafter(oldest, math.inf), 0)):
        assert shown(water, replace(formalin, read_at_h=-age))[1] == amounts


def test_an_answer_of_no_outweighs_an_answer_of_yes(
    water: System, container_of: Callable[[str], LabelEntry]
) -> None:
    both = replace(container_of("formalin"), not_ready=("clear_solution",))
    assert shown(water, both) == ({"E-DOSE-25"}, 0)


# What is asked of the water and of the animals ----------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "code"), [(None, "E-DOSE-20"), ("fresh", "E-DOSE-25"), ("brackish", "E-DOSE-25")]
)
def test_an_agent_for_sea_water_is_stopped_in_any_other(
    water: System, container_of: Callable[[str], LabelEntry], kind: str | None, code: str
) -> None:
    label = container_of("chloroquine")
    assert shown(replace(water, water=kind), label) == ({code}, 0)
    assert shown(replace(water, water="marine"), label) == (set(), 1)


@pytest.mark.parametrize(
    ("stage", "code"),
    [(None, "E-DOSE-20"), ("larva", "E-DOSE-25"), ("fry", "E-DOSE-25"), ("embryo", "E-DOSE-25")],
)
def test_an_agent_that_is_not_for_fry_asks_how_old_the_fish_are(
    water: System, container_of: Callable[[str], LabelEntry], stage: str | None, code: str
) -> None:
    """Fenbendazole: mebendazole killed glass eels (buchmann_bjerregaard_1990)."""
    fish = StockGroup("f", "danio_rerio", "zebrafish", 4, 1.0, None, "main", stage, False)
    label = container_of("fenbendazole")
    assert shown(water, label, fish)[0] == {code}
    assert shown(water, label, replace(fish, life_stage="juvenile")) == (set(), 1)


def test_every_need_of_an_agent_that_is_weighed_out_is_asked_for() -> None:
    """The form and the strength are asked for by the label (tests/limits/test_wrong_form.py)."""
    asked = {need.short for need in NEEDS} | {f"needs.{need.name}" for need in BY_HAND}
    asked |= {"needs.alkalinity_measured", "needs.no_gill_damage", "needs.marine", "needs.fresh",
              "needs.no_fry"}  # fmt: skip
    by_label = {"needs.form_named", "needs.strength_known"}
    by_need = {
        short: agent
        for agent in FACTS.agents.values()
        for short, claims in agent.claims.items()
        if short.startswith("needs.") and claims[0].known and short not in asked | by_label
    }
    assert {short: agent.id for short, agent in by_need.items()} == {
        "needs.calibrated_refractometer": "low_salinity"
    }
    assert by_need["needs.calibrated_refractometer"].kind != "substance"


def test_the_answers_have_the_same_names_in_a_case_and_in_a_course() -> None:
    assert tuple(need.name for need in BY_HAND) == SEEN_TO


@pytest.mark.parametrize("agent", ["malachite_green", "eugenol", "diflubenzuron", "quinine"])
def test_a_strength_and_a_form_that_the_label_does_not_name_are_refused(agent: str) -> None:
    """needs.strength_known and needs.form_named, by the label itself."""
    for text in ("as product", "pure" if agent in ("malachite_green", "quinine") else "as product"):
        with pytest.raises(BadInput) as refused:
            read_labels(FACTS, [f"{agent}={text}"], "1 mg", "0.1 mL")
        assert refused.value.code == "E-PROD-01"
