"""Naming a kind, or its life stage, never lifts a stop nor weakens a caution the unnamed had.

Every agent is given to a tank with fish in it, in which there are invertebrates or plants: first
told of in general, then named, each kind on file and one that nobody knows, at every life stage.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from tankside.course import BodyKind, Course, CourseRun, Level, StockGroup, System, run
from tankside.course.actions import Bath, Dose
from tankside.course.bodies.stock import Living, living_kind
from tankside.library import load

from .conftest import ROUTES, Route, plain_water, pure

FACTS = load()
STAGES = (None, "larva", "fry", "juvenile", "adult")
WEIGHT: dict[Level | None, int] = {None: 0, Level.NOTE: 1, Level.CARE: 2, Level.BLOCKED: 3}
OF_LIFE = ("E-DOSE-10", "E-DOSE-11", "E-DOSE-20", "E-DOSE-25", "E-DOSE-26", "S-SALT-HOST")
DOSED = sorted({route.agent for route in ROUTES})
FISH = {"fresh": "carassius_auratus", "marine": "amphiprion_ocellaris"}
WORD = {Living.INVERTEBRATE: "invertebrates", Living.PLANT: "plants"}
KINDS = [
    (living, host.id, host.water)
    for host in FACTS.hosts.values()
    for living in [living_kind(host)]
    if living is not Living.FISH
]


def route_of(agent: str) -> Route:
    """Return the prolonged route of an agent where it has one, else its bath."""
    routes = [route for route in ROUTES if route.agent == agent and route.name != "feed"]
    return min(routes, key=lambda route: (route.name != "prolonged", route.name))


def course_of(route: Route) -> Course:
    """Return a low dose into the tank; where only a bath is printed, the tank is the bath."""
    mg_l = route.usual * 0.2
    minutes = route.minutes if route.name != "prolonged" else None
    return Course("one", 2, (Dose(9, "main", route.agent, mg_l, route=route.name,
                                  minutes=minutes),))  # fmt: skip


def tank(water: str, **more: Any) -> System:
    return replace(plain_water(), water=water, salinity_g_l=34.0 if water == "marine" else 0.3,
                   **more)  # fmt: skip


def fish(water: str, stage: str | None = "adult") -> StockGroup:
    return StockGroup("fish", FISH[water], "fish", 4, 1.0, None, "main", stage, gill_damage=False)


def treat(system: System, stock: list[StockGroup], route: Route) -> CourseRun:
    return run([system], stock, course_of(route), FACTS, {route.agent: pure(route.agent)})


def worst(course_run: CourseRun) -> Level | None:
    """Return the heaviest level of what is said of the lives in the water."""
    levels = [c.level for c in course_run.safety if c.code in OF_LIFE]
    return max(levels, key=lambda level: WEIGHT[level], default=None)


@cache
def in_general(agent: str, water: str, living: Living) -> CourseRun:
    route = route_of(agent)
    return treat(tank(water, **{WORD[living]: True}), [fish(water)], route)


@pytest.mark.parametrize("agent", DOSED)
def test_naming_a_kind_lifts_nothing_that_stands_against_its_class(agent: str) -> None:
    """Every invertebrate and plant on file, at every stage, whatever the tank itself says."""
    weaker = []
    for living, host, water in KINDS:
        if water == "brackish":
            continue
        unnamed = in_general(agent, water, living)
        for stage, said in (*((stage, True) for stage in STAGES), (None, None), (None, False)):
            kind = StockGroup("x", host, host, 3, None, None, "main", stage)
            there = tank(water, **{WORD[living]: said})
            named = treat(there, [fish(water), kind], route_of(agent))
            lifted = bool(unnamed.blocked) and not named.blocked
            if lifted or WEIGHT[worst(named)] < WEIGHT[worst(unnamed)]:
                weaker.append((host, stage, said, worst(unnamed), worst(named)))
    assert weaker == []


@pytest.mark.parametrize("agent", DOSED)
@pytest.mark.parametrize("living", WORD)
def test_a_kind_that_nobody_knows_lifts_nothing_either(agent: str, living: Living) -> None:
    unnamed = in_general(agent, "fresh", living)
    stranger = StockGroup("x", None, "a stranger", 3, None, None, "main", living=living)
    there = tank("fresh", **{WORD[living]: True})
    named = treat(there, [fish("fresh"), stranger], route_of(agent))
    assert WEIGHT[worst(named)] >= WEIGHT[worst(unnamed)]
    assert named.blocked or not unnamed.blocked


@pytest.mark.parametrize("agent", DOSED)
def test_a_number_that_nobody_counted_protects_as_much_as_one_that_was(agent: str) -> None:
    for _, host, water in KINDS:
        counted = StockGroup("x", host, host, 3, None, None, "main")
        route, sea = route_of(agent), "marine" if water == "marine" else "fresh"
        both = [
            treat(tank(sea), [fish(sea), animals], route)
            for animals in (counted, replace(counted, count=1, number_known=False))
        ]
        assert worst(both[0]) == worst(both[1]), host


@pytest.mark.parametrize("agent", DOSED)
@pytest.mark.parametrize("water", FISH)
def test_a_life_stage_lifts_a_stop_only_where_the_stop_had_named_it(agent: str, water: str) -> None:
    route = route_of(agent)
    silent = treat(tank(water), [fish(water, None)], route)
    for stage in ("juvenile", "adult"):
        aged = treat(tank(water), [fish(water, stage)], route)
        if silent.blocked and not aged.blocked:
            assert all(f"life-stage={stage}" in stop.why + stop.what_instead
                       for stop in silent.blocked)  # fmt: skip
    for stage in ("larva", "fry"):
        aged = treat(tank(water), [fish(water, stage)], route)
        assert aged.blocked or not silent.blocked
        assert WEIGHT[worst(aged)] >= WEIGHT[worst(silent)]


def test_a_known_insecticide_stays_stopped_when_the_shrimps_are_named() -> None:
    """Diflubenzuron, lufenuron and chloroquine kill crustaceans; no species figure is printed."""
    for agent, water in (("diflubenzuron", "fresh"), ("lufenuron", "fresh"),
                         ("chloroquine", "marine")):  # fmt: skip
        route = route_of(agent)
        unnamed = treat(tank(water, invertebrates=True), [fish(water)], route)
        assert {stop.code for stop in unnamed.blocked} == {"E-DOSE-26"}
        host = "neocaridina_davidi" if water == "fresh" else "cleaner_shrimps"
        shrimp = StockGroup("s", host, "the shrimps", 9, 2.0, None, "main", "adult")
        named = treat(tank(water, invertebrates=True), [fish(water), shrimp], route)
        assert [(stop.code, stop.group) for stop in named.blocked] == [("E-DOSE-26", "s")]


def test_a_bath_beside_the_tank_asks_nothing_of_what_stays_in_the_tank() -> None:
    box = replace(tank("fresh", invertebrates=True), id="bath", kind=BodyKind.BATH)
    bath = Bath(9, "main", "fish", "bath", "formalin", 100.0, 30.0)
    shrimp = StockGroup("s", "neocaridina_davidi", "shrimps", 9, 2.0, None, "main", "adult")
    course = Course("one", 2, (bath,))
    done = run([tank("fresh", invertebrates=True), box], [fish("fresh"), shrimp], course, FACTS,
               {"formalin": pure("formalin")})  # fmt: skip
    assert done.amounts
    assert not done.blocked
