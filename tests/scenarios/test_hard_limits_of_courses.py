"""No course that is offered leads above a hard limit, by a sum of the amounts and changes alone.

The sum is the test's own: the amounts as printed and the litres of the changes, in the smallest
volume that fits, nothing lost by itself; the limit is read from the agent's file.
"""

from __future__ import annotations

import random
import tomllib
from collections import Counter
from collections.abc import Iterator
from importlib.resources import files
from itertools import count

import pytest
from tests.scenarios.conftest import Typing
from tests.scenarios.test_waters_typed import CALM, ICH, READ

from tankside.course import Course, CourseRun
from tankside.course import run as run_course
from tankside.course.actions import Dose, SaltTo, Transfer, WaterChange
from tankside.course.actions.action import Action
from tankside.intake.plan_setup import PlanRequest, Ready, ready
from tankside.library import load
from tankside.records.case_file import read_case

OFFERED = 500
DAYS = 12
NUMBER = count()
OPENING = ["--name", "Rope Walk", "--keeper", "M. Orrin", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-10-29T09:00"]  # fmt: skip
AGENTS = {
    "methylene_blue": "as methylene blue trihydrate",
    "metronidazole": "",
    "praziquantel": "",
    "sodium_chloride": "",
}
BOX = ["inside-length=100 cm", "inside-width=50 cm", "water-height=40 cm"]
HOSE = ["hose=20.6 L/min for 10 min"]
SMALL = ["system", "box", "use=hospital", "inside-length=60 cm", "inside-width=40 cm",
         "water-height=30 cm", *CALM, "invertebrates=no"]  # fmt: skip
FISH = ["stock", "name=zebra danio", "count=10", "length=4 cm", "life-stage=adult",
        "gill-damage=no", "system=main"]  # fmt: skip
THERE_MG = 160.0
LOT = [
    "in-water",
    "agent=methylene_blue",
    f"amount={THERE_MG:g} mg",
    "system=main",
    "on=2026-10-29T10:00",
]


def hard_limit_mg_l(agent: str) -> float:
    """The hard limit of the prolonged route as the agent's file states it [mg/L]."""
    text = (files("tankside.library") / f"data/agents/{agent}.toml").read_text(encoding="utf-8")
    claims = {claim["key"]: claim for claim in tomllib.loads(text)["claim"]}
    claim = claims.get("hard_max.prolonged") or claims["dose.prolonged"]
    most = float(claim.get("high", claim.get("value")))
    return most * 1000 if claim["unit"] == "g/L" else most


LIMITS = {agent: hard_limit_mg_l(agent) for agent in AGENTS}


def case(typed: Typing, volume: list[str], lots: list[list[str]]) -> Ready:
    labels = [["label", f"agent={agent}", f"strength=pure {form}".strip(), "scale=0.001 g",
               "formulation-named=yes",
               "predissolve=yes"] for agent, form in AGENTS.items()]  # fmt: skip
    rows = [["system", "main", *volume, *CALM, "invertebrates=no"], SMALL, FISH, *labels, *lots,
            *(["water", f"system={place}", *READ] for place in ("main", "box")), ICH]  # fmt: skip
    path = typed(f"rope{next(NUMBER)}", [OPENING], rows)
    return ready(read_case(path).view(), load(), PlanRequest())


def drawn(rng: random.Random, group: str) -> Course:
    """Draw doses that come near a limit together, with changes between them."""
    body = rng.choice(("main", "box"))
    steps: list[Action] = []
    if body == "box":
        steps.append(Transfer(17, "main", group, "box"))
    for agent in rng.sample([*AGENTS], rng.randint(1, 2)):
        times, every_h = rng.randint(1, 4), rng.choice((24, 48, 72))
        add_mg_l = LIMITS[agent] * rng.uniform(0.7, 1.05) / times
        to_strength = rng.random() < 0.3
        for number in range(times):
            hour = 18 + every_h * number
            if agent == "sodium_chloride":
                to_g_l = add_mg_l * (number + 1) / 1000
                steps.append(SaltTo(hour, body, to_g_l, reason="as the vet said"))
            else:
                steps.append(
                    Dose(hour, body, agent, add_mg_l, to_strength, reason="as the vet said")
                )
    for hour in range(20, 24 * DAYS, 24):
        if rng.random() < 0.2:
            put_back, litres = rng.random() < 0.5, rng.choice((5.0, 10.0, 30.0))
            steps.append(WaterChange(hour, body, litres, put_back))
    return Course("drawn", DAYS, tuple(sorted(steps, key=lambda step: step.at_h)))


def highest_mg_l(
    course: Course, ran: CourseRun, body: str, agent: str, smallest_l: float, there_mg: float
) -> Iterator[float]:
    """Yield the strength of every hour in the smallest volume, nothing lost by itself [mg/L]."""
    mg_l = there_mg / smallest_l
    for hour in range(24 * course.days):
        for step in course.actions:
            if isinstance(step, WaterChange) and (step.at_h, step.body) == (hour, body):
                mg_l *= 1 - min(1.0, step.litres / smallest_l)
        for amount in ran.amounts:
            if (amount.hour, amount.body, amount.agent) == (hour, body, agent):
                mg_l += float(amount.active_mg) / smallest_l
        yield mg_l


@pytest.mark.parametrize("lots", [[], [LOT]])
@pytest.mark.parametrize("volume", [BOX, [*BOX, *HOSE]])
def test_no_course_that_is_offered_leads_above_a_hard_limit(
    typed: Typing, volume: list[str], lots: list[list[str]]
) -> None:
    made = case(typed, volume, lots)
    smallest = {system.id: system.volume.smaller_l for system in made.case.systems}
    rng = random.Random(f"{len(volume)} {len(lots)}")
    offered, near = 0, Counter[str]()
    for _ in range(20 * OFFERED):
        if offered >= OFFERED // 4 + 1:
            break
        course = drawn(rng, made.case.stock[0].id)
        ran = run_course(made.case.systems, made.case.stock, course, load(), made.trial.labels)
        if any(caution.level == "blocked" for caution in ran.safety):
            continue
        offered += 1
        for body, litres in smallest.items():
            for agent, limit in LIMITS.items():
                there = THERE_MG if lots and (body, agent) == ("main", LOT[1][6:]) else 0.0
                most = max(highest_mg_l(course, ran, body, agent, litres, there))
                assert most <= limit * (1 + 1e-9), (body, agent, most, limit, course)
                near[agent] += most > 0.8 * limit
    assert offered > OFFERED // 4
    assert sum(near.values()) > 10
    assert len(near) > 3
