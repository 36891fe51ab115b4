"""A4: a hundred ordinary treatments, drawn wide, and how often the program speaks up.

What goes with an amount whatever the tank (people, waste water, which form the container holds) is
printed with it and is no caution; what is meant here is what the program has to say about this
tank. The budget over what is usual in practice, half of it salt, is held by tests/course/safety.
This is the harder mix: drawn evenly over every agent that may be offered and every fish recorded as
bearing what is usual of it, in water that suits both, with a container read and two volumes
measured. A stop here would be a false one.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from tankside.course import Course, CourseRun, LabelEntry, Level, StockGroup, Volume, run
from tankside.course.actions import Bath, Dose, SaltTo, WaterChange
from tankside.course.actions.action import Action
from tankside.course.amounts.limits import Around, hard_limit
from tankside.course.amounts.tolerance import most_borne
from tankside.course.bodies.stock import Living, living_kind
from tankside.course.bodies.system import BodyKind, System
from tankside.library import load

FACTS = load()
SALT = "sodium_chloride"
BORNE = ("tolerant", "care")
LITRES = (30, 58, 66, 100, 120.6, 162, 173, 183.8, 344.5, 400, 442, 505, 556, 567, 650, 2400)
"""Waters of the scenarios that practitioners' questions were gathered in, hospital box to pond."""
SEA = ("chloroquine", "copper_ionic")


def fish_for(agent: str, route: str) -> list[str]:
    """Return the fish recorded as bearing what is usual of an agent, some of them with care."""
    record, sea = FACTS.agents[agent], agent in SEA
    return sorted(
        host.id
        for host in FACTS.hosts.values()
        if host.tolerance(record.host_class) in BORNE
        and ("marine" in host.water) is sea
        and living_kind(host) is Living.FISH
        and all(usual(agent, route) <= most for most in printed_for(agent, route, host.id))
    )


def printed_for(agent: str, route: str, host: str) -> list[float]:
    """Return the strengths [mg/L] that are printed as the most for a kind of fish."""
    fish = StockGroup("f", host, host, 1, 5.0, None, "main", "adult", False)
    usual_mg_l = FACTS.claim(f"agent.{agent}.dose.{route}").bounds()[1]
    return [mg_l for mg_l, _ in most_borne(FACTS, FACTS.agents[agent], route, fish, usual_mg_l)]


def usual(agent: str, route: str) -> float:
    """Return the low end of what is usual; a little under the hard limit where that is the same.

    A volume known to 2 % leaves no more: limits are checked in the smaller one.
    """
    water = "marine" if agent in SEA else "fresh"
    limit = hard_limit(FACTS, agent, route, Around(26.0, 300.0, False, water))
    assert limit is not None
    return min(FACTS.claim(f"agent.{agent}.dose.{route}").bounds()[0], 0.95 * limit.mg_l)


CHOICES = [
    (agent, route)
    for agent in sorted(FACTS.agents)
    for route in ("prolonged", "bath")
    if FACTS.agents[agent].kind == "substance"
    and FACTS.agents[agent].offered
    and route in FACTS.agents[agent].routes
    and fish_for(agent, route)
]


def case(
    water: System, number: int, container_of: Callable[[str], LabelEntry], slip: float = 1
) -> CourseRun:
    """Return one treatment, weekly part changes and all, with its container read."""
    rng = random.Random(number)
    agent, route = CHOICES[number % len(CHOICES)]
    litres = LITRES[(number * 5 + number // len(LITRES)) % len(LITRES)]
    tank = replace(
        water, volume=Volume(litres, litres * 0.98, litres * 1.02, "inside measures and hose"),
        water="marine" if agent in SEA else "fresh", temperature_c=rng.uniform(22.0, 26.0),
        ph=rng.uniform(7.0, 7.8), total_ammonia_mg_l_n=0.05, surface_area_m2=litres / 250,
        new_water=replace(water.new_water, ph=7.4, alkalinity_mg_l_caco3=300.0),
    )  # fmt: skip
    box = replace(tank, id="bath", name="the bath", kind=BodyKind.BATH)
    host = rng.choice(fish_for(agent, route))
    group = StockGroup("fish", host, host, rng.randrange(2, 6), 5.0, None, "main", "adult", False)
    mg_l = usual(agent, route) * slip
    first: Action
    if route == "bath":
        minutes = FACTS.claim(f"agent.{agent}.minutes_max.{route}")
        first = Bath(20, "main", "fish", "bath", agent, mg_l, minutes.bounds()[0], "bath")
    elif agent == SALT:
        first = SaltTo(20, "main", slip)
    else:
        first = Dose(20, "main", agent, mg_l)
    change = WaterChange(20 + 24 * 7, "main", litres / 5)
    course = Course("routine", 10, (first, change))
    return run([tank, box], [group], course, FACTS, {agent: container_of(agent)})


def test_an_even_mix_of_agents_is_hardly_ever_stopped_and_told_little(
    water: System, container_of: Callable[[str], LabelEntry]
) -> None:
    """At most 5 hard stops in all, median 0 and at most 3 passive notes each."""
    runs = [case(water, number, container_of) for number in range(100)]
    stops = Counter(c.code for r in runs for c in r.blocked)
    notes = sorted(sum(c.level is Level.NOTE for c in r.safety) for r in runs)
    assert stops.total() <= 5, stops
    assert notes[50] == 0
    assert notes[-1] <= 3


def test_a_slip_planted_in_each_of_them_is_stopped(
    water: System, container_of: Callable[[str], LabelEntry]
) -> None:
    """The other half of the budget: quiet on the routine, and never quiet on the slip."""
    for number in range(100):
        assert case(water, number, container_of, slip=10).blocked


def test_the_mix_is_even_over_agents_waters_and_fish(
    water: System, container_of: Callable[[str], LabelEntry]
) -> None:
    salted, bathed = (SALT, "prolonged"), ("formalin", "bath")
    at_sea = ("copper_ionic", "prolonged")
    assert {salted, bathed, at_sea} <= set(CHOICES)
    runs = [case(water, number, container_of) for number in range(100)]
    shares = Counter(CHOICES[number % len(CHOICES)] for number in range(100)).values()
    assert max(shares) - min(shares) <= 1
    litres = Counter(treated.amounts[0].for_l for treated in runs if treated.amounts)
    assert len(litres) == len(LITRES)
    assert max(litres.values()) <= 10
