"""P12, P13, P15: people, food and law for every agent, and names that look alike."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations, product

import pytest
from tests.limits.conftest import Route

from tankside.claims import Agent, Knowledge
from tankside.claims.substance_names import resolve
from tankside.course import BodyKind, Course, CourseRun, Level, StockGroup, System, Volume, run
from tankside.course.actions import Dose
from tankside.course.amounts.choice import FIELDS, handling, missing_fields
from tankside.library import load
from tankside.present.handling import handling_of

FACTS = load()
DOSED = [a for a in FACTS.agents.values() if a.kind == "substance" and a.routes]
HAZARDOUS = [a for a in DOSED if FACTS.claim(f"agent.{a.id}.people.hazard").value != "low"]


def without(agent: str, short: str) -> Knowledge:
    """Return the shipped knowledge without one claim of an agent."""
    facts = {k: rivals for k, rivals in FACTS.facts.items() if k != f"agent.{agent}.{short}"}
    return Knowledge(facts, FACTS.sources, agents=FACTS.agents, hosts=FACTS.hosts)


def pond(food: bool | None) -> System:
    return System(
        "main", "the pond", BodyKind.MAIN, Volume(1000, 1000, 1000, "x"), water="fresh",
        temperature_c=18.0, ph=7.4, alkalinity_mg_l_caco3=150.0, oxygen_mg_l=9.0,
        invertebrates=False, plants=False, food_fish=food,
    )  # fmt: skip


def codes(facts: Knowledge, agent: str, food: bool | None = False) -> dict[str, Level]:
    carp = StockGroup("f", "cyprinus_carpio_koi", "carp", 6, 30.0, None, "main", "adult", False)
    course_run = run([pond(food)], [carp], Course("c", 2, (Dose(8, "main", agent, 0.01),)), facts)
    return {caution.code: caution.level for caution in reversed(course_run.safety)}


def by_id(value: object) -> object:
    return getattr(value, "id", value)


@pytest.mark.parametrize("agent", DOSED, ids=by_id)
def test_every_agent_that_can_be_dosed_tells_its_hazard_and_every_field(agent: Agent) -> None:
    assert missing_fields(FACTS, agent.id) == ()


@pytest.mark.parametrize(("agent", "field"), list(product(HAZARDOUS, FIELDS)), ids=by_id)
def test_a_field_that_is_empty_keeps_the_agent_from_being_chosen(agent: Agent, field: str) -> None:
    facts = without(agent.id, f"people.{field}")
    assert missing_fields(facts, agent.id) == (field,)
    assert codes(facts, agent.id).get("S-PEOPLE") is Level.BLOCKED


def handled_lines(course_run: CourseRun) -> list[str]:
    return [line for block in handling_of(course_run.amounts) for line in block.lines]


def test_where_treated_water_may_go_goes_with_every_amount_and_is_no_caution(
    treated: Callable[..., CourseRun], mixed: Route
) -> None:
    """The people lines stand as a block of their own beside every amount of every route."""
    course_run = treated(mixed)
    people = dict(handling(FACTS, mixed.agent))
    light = FACTS.find(f"agent.{mixed.agent}.removal.light")
    by_light = light is not None and light.value in ("removes", "partly")
    assert people.keys() == {"hazard", *FIELDS, *(["light"] if by_light else [])}
    assert by_light == any(
        line.startswith("Light: It breaks") for line in handled_lines(course_run)
    )
    assert {amount.handling for amount in course_run.amounts} <= {tuple(people.items())}
    (block,) = handling_of(course_run.amounts or [])
    needed = [people[field] for field in FIELDS if not people[field].startswith("Not needed")]
    assert all(any(line.endswith(words) for line in block.lines) for words in needed)
    assert any(line == f"Waste water: {people['disposal']}" for line in block.lines)
    assert people["hazard"] in block.title
    assert not {"S-DRAIN"} & {caution.code for caution in course_run.safety}


@pytest.mark.parametrize("agent", DOSED, ids=by_id)
def test_animals_that_are_eaten_always_get_a_word_and_unknown_is_never_none(agent: Agent) -> None:
    """A waiting time that nobody has printed blocks; one that is known is told with its days."""
    is_printed = FACTS.find(f"agent.{agent.id}.withdrawal") is not None
    assert codes(FACTS, agent.id, food=True)["S-FOOD"] is (
        Level.NOTE if is_printed else Level.BLOCKED
    )


def test_agents_whose_names_look_alike_are_never_taken_for_one_another() -> None:
    """Half a name, or the first letters that two share, picks neither."""
    for agent, two in combinations(FACTS.agents.values(), 2):
        shared = 0
        while agent.id[shared : shared + 1] == two.id[shared : shared + 1] != "":
            shared += 1
        if shared >= 4:
            meant = resolve(FACTS, agent.id[:shared]).agent
            assert meant is None or meant.id == agent.id[:shared]
        assert agent.name.lower() != two.name.lower()


def test_no_agent_shares_the_short_name_of_another() -> None:
    short = [agent.name.lower().split(" (")[0] for agent in FACTS.agents.values()]
    assert len(set(short)) == len(short)
