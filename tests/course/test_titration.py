"""Steps of an agent given by test, and what rock and sand take up: by hand, for any figures."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside import library
from tankside.course import BodyKind, Course, InWater, System, Volume, run
from tankside.course.actions import ReadingTaken, Titrate
from tankside.course.amounts.titration import Titration, titration
from tankside.course.water.residues import loss_of

FACTS = library.load()
COPPER = "copper_ionic"
HOURS = 24
TANK = System("main", "the tank", BodyKind.MAIN, Volume(100.0, 80.0, 125.0, "two ways"),
              water="marine", salinity_g_l=34.0, carbon_in=False, substrate=False)  # fmt: skip
# McNevin & Boyd 2004: back to background within 48 h; background read as 5 % (a judgement).
TAKEN_UP_PER_H = log(20) / 48


def copper() -> Titration:
    how = titration(FACTS, COPPER, "marine")
    assert how is not None
    return how


@settings(deadline=None)
@given(to=st.floats(0.01, 5), there=st.floats(0, 0.99), steps=st.integers(1, 6))
def test_steps_end_at_the_strength_and_none_is_larger_than_a_part(
    to: float, there: float, steps: int
) -> None:
    how = replace(copper(), steps=steps)
    reached = how.steps_mg_l(to, there * to)
    rises = [after - before for before, after in zip((there * to, *reached), reached, strict=False)]
    assert reached[-1] == to
    assert 1 <= len(reached) <= steps
    assert all(0 < rise <= to / steps * (1 + 1e-6) for rise in rises)


@pytest.mark.parametrize(
    ("agent", "water", "low", "high"),
    [
        (COPPER, "marine", 0.15, 0.20),  # UF/IFAS FA165 (from memory)
        # 249.68 / 63.546 crystals for one of copper (IUPAC masses, from memory)
        ("copper_sulphate", "marine", 0.5894, 0.7858),
    ],
)
def test_the_range_is_that_of_print_on_the_basis_of_the_agent(
    agent: str, water: str, low: float, high: float
) -> None:
    how = titration(FACTS, agent, water)
    assert how is not None
    assert (how.low_mg_l, how.high_mg_l) == pytest.approx((low, high), rel=1e-3)
    assert how.days == 21


@pytest.mark.parametrize(("agent", "water"), [("copper_sulphate", "fresh"), ("formalin", "marine")])
def test_where_no_file_says_so_nothing_is_given_by_test(agent: str, water: str) -> None:
    assert titration(FACTS, agent, water) is None


def low_and_high(substrate: bool | None) -> tuple[float, float]:
    """Return the edges of 0.18 mg/L after a day."""
    system = replace(TANK, substrate=substrate)
    read = ReadingTaken(0, "main", {f"agent:{COPPER}": 0.18})
    ran = run([system], [], Course("c", 2, (read,)), FACTS)
    water = ran.tank_hours.strata[0].bodies[0]
    return float(water.residue_low_mg_l[COPPER][HOURS]), float(
        water.residue_high_mg_l[COPPER][HOURS]
    )


@pytest.mark.parametrize("substrate", [True, None])
def test_rock_and_sand_lower_the_low_edge_and_never_the_high(substrate: bool | None) -> None:
    bare_low, bare_high = low_and_high(substrate=False)
    low, high = low_and_high(substrate)
    assert low / bare_low == pytest.approx(exp(-TAKEN_UP_PER_H * (HOURS + 1)), rel=0.1)
    assert high == bare_high == pytest.approx(0.18)


def test_nothing_but_what_a_file_names_is_taken_up() -> None:
    for agent in ("formalin", "methylene_blue"):
        assert loss_of(FACTS, agent, substrate=True) == loss_of(FACTS, agent, substrate=False)


def test_a_step_never_passes_the_upper_end_in_the_smallest_volume() -> None:
    """In 80 L there is room for 80 x (0.20 - 0.10) mg where 100 x (0.19 - 0.10) were meant."""
    steps = (
        ReadingTaken(0, "main", {f"agent:{COPPER}": 0.10}),
        Titrate(0, "main", COPPER, 0.19, 0.15, 0.20),
    )
    ran = run([TANK], [], Course("c", 1, steps), FACTS)
    peaks = [
        float(stratum.bodies[0].residue_high_mg_l[COPPER].max())
        for stratum in ran.tank_hours.strata
    ]
    assert max(peaks) == pytest.approx(0.20)


def test_an_amount_nobody_knows_is_tested_before_anything_is_added() -> None:
    system = replace(TANK, residues=(InWater(COPPER, None, None),))
    ran = run([system], [], Course("c", 1, (Titrate(0, "main", COPPER, 0.1, 0.15, 0.2),)), FACTS)
    assert ran.lines[0].text.startswith("Add no copper")
    assert not ran.amounts
