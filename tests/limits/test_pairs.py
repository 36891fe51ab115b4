"""P8 and P9: forbidden pairs in both orders at the edges of their window, and no overlap missed."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import permutations, product

import pytest

from tankside.claims import Knowledge
from tankside.course import Course, Level, System, run
from tankside.course.actions import Dose, WaterChange
from tankside.library import load

FACTS = load()
DAYS = 12
OUT_H = 24


def forms_of(agent: str) -> list[str]:
    """Return an agent and every agent whose actives are all in it."""
    actives = set(FACTS.agents[agent].actives)
    return [
        other.id
        for other in FACTS.agents.values()
        if other.id == agent or (other.actives and set(other.actives) <= actives)
    ]


def table() -> dict[frozenset[str], tuple[float, bool]]:
    """Return hours apart and whether it forbids, of every pair that the agents' files name.

    What one form of an active may not meet no other form of it may meet.
    """
    printed = printed_pairs()
    apart: dict[frozenset[str], tuple[float, bool]] = {}
    for pair in printed:
        first, second = sorted(pair)
        alike = [
            printed[frozenset(forms)]
            for forms in product(forms_of(first), forms_of(second))
            if frozenset(forms) in printed
        ]
        forbids = any(forbid for _, forbid in alike)
        apart[pair] = (max(h for h, forbid in alike if forbid or not forbids), forbids)
    return apart


def printed_pairs() -> dict[frozenset[str], tuple[float, bool]]:
    apart: dict[frozenset[str], tuple[float, bool]] = {}
    for agent in FACTS.agents.values():
        for short, claims in agent.claims.items():
            if not short.startswith("incompatible.") or not claims[0].known:
                continue
            pair = frozenset((agent.id, short.removeprefix("incompatible.")))
            hours, forbids = apart.get(pair, (0.0, False))
            level = claims[0].conditions.get("level") == "blocked"
            apart[pair] = (max(hours, claims[0].number()), forbids or level)
    return apart


TABLE = table()
PAIRS = [
    pair
    for both in sorted(TABLE, key=sorted)
    for pair in permutations(sorted(both))
    if not set(FACTS.agents[pair[0]].actives) & set(FACTS.agents[pair[1]].actives)
]


def strong(agent: str) -> float:
    """Return a strength that counts as there [mg/L]."""
    claim = FACTS.find(f"agent.{agent}.dose.prolonged")
    return 1.0 if claim is None else claim.bounds()[1]


def meeting(water: System, first: str, second: str, at_h: int) -> set[Level]:
    """Give one, take all of it out a day later, give the other; how heavily do they meet?"""
    steps = (
        Dose(0, "main", first, strong(first)),
        WaterChange(OUT_H, "main", 100, put_back=False),
        Dose(at_h, "main", second, strong(second)),
    )
    course_run = run([water], [], Course("pair", DAYS, steps), FACTS)
    return {
        c.level for c in course_run.safety if c.code == "E-DOSE-23" and "between two" not in c.why
    }


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_a_pair_is_stopped_in_either_order_until_its_hours_are_over(
    water: System, pair: tuple[str, str]
) -> None:
    hours, forbids = TABLE[frozenset(pair)]
    level = Level.BLOCKED if forbids else Level.CARE
    free_at = OUT_H + int(hours)
    assert level in meeting(water, *pair, at_h=0)
    assert level in meeting(water, *pair, at_h=OUT_H)
    assert level in meeting(water, *pair, at_h=free_at - 2)
    assert level not in meeting(water, *pair, at_h=free_at)


def test_the_table_holds_what_can_hurt_a_person() -> None:
    for pair in (("formalin", "potassium_permanganate"), ("formalin", "hypochlorite")):
        assert TABLE[frozenset(pair)][1]


AGENTS = ("copper_ionic", "copper_sulphate", "formalin", "formalin_malachite_green",
          "malachite_green", "methylene_blue", "potassium_permanganate",
          "praziquantel")  # fmt: skip


def overlaps(water: System, count: int, seed: int) -> tuple[int, list[object]]:
    """Draw calendars of two agents; return how many overlapped and those nobody spoke of.

    Judged here by hand: nothing is taken out, so both are there from the later dose on.
    """
    rng, overlapping = random.Random(seed), 0
    missed: list[object] = []
    for _ in range(count):
        agent, partner = rng.sample(AGENTS, 2)
        first, second = rng.randrange(48), rng.randrange(48)
        doses = (
            Dose(first, "main", agent, strong(agent)),
            Dose(second, "main", partner, strong(partner)),
        )
        course_run = run([water], [], Course("drawn", 3, doses), FACTS)
        codes = {c.code for c in course_run.blocked}
        same = set(FACTS.agents[agent].actives) & set(FACTS.agents[partner].actives)
        forbidden = TABLE.get(frozenset((agent, partner)), (0, False))[1]
        needed = "E-DOSE-22" if same else "E-DOSE-23" if forbidden else ""
        overlapping += bool(needed)
        if needed and needed not in codes:
            missed.append((doses, needed, codes))
    return overlapping, missed


def test_no_overlap_is_missed_in_three_hundred_drawn_calendars(water: System) -> None:
    overlapping, missed = overlaps(water, 300, seed=8)
    assert overlapping > 50
    assert not missed


@pytest.mark.slow
@pytest.mark.timeout(1800)
def test_no_overlap_is_missed_in_ten_thousand_drawn_calendars(water: System) -> None:
    overlapping, missed = overlaps(water, 10_000, seed=80)
    assert overlapping > 1000
    assert not missed


def test_the_same_agent_given_again_counts_what_is_there(water: System, facts: Knowledge) -> None:
    """The running account of one agent: a second dose up to strength adds only what is lost."""
    doses = (
        Dose(0, "main", "formalin", 15.0),
        Dose(24, "main", "formalin", 25.0, counting_residue=True),
    )
    course = Course("again", 3, doses)
    course_run = run([replace(water, oxygen_mg_l=9.0)], [], course, facts)
    residue = course_run.tank_hours.strata[0].bodies[0].residue_high_mg_l["formalin"]
    assert residue.max() <= 25.0 * (1 + 1e-9)
