"""What cautions say, over many drawn courses: no hole in the words, and a key that is one.

The courses are drawn wide on purpose: readings left out, animals nobody knows, agents nobody has
heard of, containers missing. That a code carries its parts, and points to what the course holds,
is checked by the program itself whenever a course is run.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from tankside.course import BodyKind, Caution, Course, InWater, LabelEntry, StockGroup, System, run
from tankside.course.actions import (
    Air,
    Bath,
    Dose,
    MedicatedFeed,
    SaltTo,
    Transfer,
    Warm,
    WaterChange,
)
from tankside.course.actions.action import Action
from tankside.course.bodies.system import Inflow
from tankside.errors.register import REGISTER
from tankside.library import load

FACTS = load()
COURSES = 400
HOLE = re.compile(r"\bNone\b|\bnan\b|\binf\b|\{|\}|  |\(\)")
CLAIM = re.compile(r"[a-z]+(\.[a-z0-9_]+)+")
OPEN = ("temperature_c", "ph", "alkalinity_mg_l_caco3", "oxygen_mg_l", "total_ammonia_mg_l_n",
        "nitrite_mg_l_n", "surface_area_m2", "carbon_in", "uv_on", "filter_state", "plants",
        "invertebrates", "food_fish", "water")  # fmt: skip
AGENTS = (*sorted(FACTS.agents), "moon_dust")
HOSTS = (*sorted(FACTS.hosts), None)


def tank(water: System, rng: random.Random) -> System:
    """Return the tank with some things not known, and some of them as they should not be."""
    left_out: dict[str, Any] = {name: None for name in OPEN if rng.random() < 0.2}
    other: dict[str, Any] = {
        "total_ammonia_mg_l_n": 3.0, "nitrite_mg_l_n": 1.0, "oxygen_mg_l": 4.0, "gasping": True,
        "uv_on": True, "carbon_in": True, "plants": True, "invertebrates": True, "ph": 8.4,
        "ozone_on": True, "skimmer_on": True,
        "food_fish": True, "co2_added": True, "ammonia_bound": True, "salinity_g_l": 5.0,
        "temperature_c": rng.choice((4.0, 33.0)), "uv_turnover_per_h": 1.0,
        "inflow": Inflow(rng.choice((None, 20.0))),
    }  # fmt: skip
    odd = {name: value for name, value in other.items() if rng.random() < 0.2}
    there = InWater(rng.choice(AGENTS), None, rng.choice((None, 5.0)))
    residues = (there,) if rng.random() < 0.3 else ()
    return replace(water, **(odd | left_out), residues=residues)


def animals(rng: random.Random) -> list[StockGroup]:
    def one(number: int) -> StockGroup:
        host = rng.choice(HOSTS)
        stage = rng.choice(("adult", "fry", None))
        return StockGroup(f"group_{number}", host, host or "moon fish", rng.randrange(1, 9),
                          rng.choice((None, 6.0)), None, "main", stage,
                          rng.choice((True, False, None)), rng.choice((0, 4)))  # fmt: skip

    return [one(number) for number in range(rng.randrange(4))]


def steps(rng: random.Random, groups: list[StockGroup]) -> list[Action]:
    def agent() -> tuple[str, float]:
        name = rng.choice(AGENTS)
        usual = FACTS.find(f"agent.{name}.dose.prolonged") or FACTS.find(f"agent.{name}.dose.bath")
        return name, (1.0 if usual is None else usual.bounds()[1]) * rng.choice((0.1, 1, 1.5, 20))

    made: list[Action] = [
        Dose(rng.randrange(48), "main", *agent(), rng.random() < 0.5,
             route=rng.choice(("prolonged", "bath")), minutes=rng.choice((None, 30.0, 900.0)))
        for _ in range(rng.randrange(4))
    ]  # fmt: skip
    others: list[Action] = [
        SaltTo(3, "main", rng.choice((1.0, 3.5, 9.0))),
        WaterChange(50, "main", 80),
        Warm(2, "main", 34.0, 9.0),
        Air(1, "main", rng.random() < 0.5),
    ]
    made += rng.sample(others, rng.randrange(4))
    for group in groups[:2]:
        made.append(Bath(60, "main", group.id, "bath", *agent(), minutes=40.0))
        made.append(MedicatedFeed(61, "main", group.id, *agent()))
        made.append(Transfer(70, "main", group.id, rng.choice(("bath", ""))))
    return made


def drawn(water: System, container_of: Callable[[str], LabelEntry], number: int) -> list[Caution]:
    rng = random.Random(number)
    groups, main = animals(rng), tank(water, rng)
    bath = replace(water, id="bath", name="the bath", kind=BodyKind.BATH)
    labels = {name: container_of(name) for name in FACTS.agents if rng.random() < 0.7}
    labels = {
        name: replace(label, expired=rng.random() < 0.1, form_named=rng.random() < 0.5)
        for name, label in labels.items()
    }
    course = Course("drawn", 5, tuple(steps(rng, groups)))
    return list(run([main, bath], groups, course, FACTS, labels).safety)


def test_no_caution_has_a_hole_in_its_words_or_rests_on_a_key_that_is_none(
    water: System, container_of: Callable[[str], LabelEntry]
) -> None:
    seen: set[str] = set()
    for number in range(COURSES):
        for caution in drawn(water, container_of, number):
            seen.add(caution.code)
            for words in (caution.words, caution.why, caution.what_instead):
                assert not HOLE.search(words), (number, caution)
                assert words == words.strip(), (number, caution)
            assert not caution.claim_key or CLAIM.fullmatch(caution.claim_key), (number, caution)
    room = "".join(p.read_text("utf-8") for p in Path("src/tankside/course").rglob("*.py"))
    warns = {n for n, code in REGISTER.items() if code.caution is not None and f'"{n}"' in room}
    assert len(seen) >= 0.8 * len(warns), sorted(warns - seen)


def test_the_courses_leave_every_reading_out_and_put_every_step_in(water: System) -> None:
    tanks = [tank(water, random.Random(number)) for number in range(COURSES)]
    for name in OPEN:
        assert {getattr(body, name) is None for body in tanks} == {True, False}
    assert {f.name for f in fields(System)} >= set(OPEN)
