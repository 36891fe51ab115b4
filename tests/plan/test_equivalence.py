"""Two courses are the same to a parasite when nothing that a stage meets differs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from tests.lifecycle.tanks import body, tank_hours

from tankside.course.bodies.tank_hours import BodyHours, Channel, TankHours, TimedEvent
from tankside.plan.equivalence import same_for_parasite

HOURS = 48
DYE = {"dye": np.full(HOURS, 0.1)}
LATE = np.arange(HOURS) >= 24


def water(**series: Any) -> TankHours:
    """Return two days of one tank, with some of its series replaced."""
    return tank_hours(replace(body(hours=HOURS), **series))


def late(value: float, otherwise: float = 0.0) -> np.ndarray:
    """Return a series that takes another value on the second day."""
    return np.where(LATE, value, otherwise)


def test_the_same_water_again_is_the_same() -> None:
    assert same_for_parasite(water(), water())


@pytest.mark.parametrize(
    ("name", "usual"),
    [
        ("temperature_c", 25.0),
        ("salinity_g_l", 0.0),
        ("light", 0.0),
        ("exchange_per_h", 0.0),
        ("uv_per_h", 0.0),
        ("fine_filter_per_h", 0.0),
    ],
)
def test_what_a_stage_meets_makes_another_course(name: str, usual: float) -> None:
    other = water(**{name: late(usual + 0.5, usual)})
    assert not same_for_parasite(water(), other)
    assert not same_for_parasite(other, water())


@pytest.mark.parametrize("name", ["oxygen_mg_l", "total_ammonia_mg_l_n", "nitrite_mg_l_n", "ph"])
def test_what_reaches_no_stage_makes_none(name: str) -> None:
    assert same_for_parasite(water(), water(**{name: late(3.0, 7.0)}))


def test_water_that_nobody_measured_is_the_same_as_itself() -> None:
    unknown = water(temperature_c=np.full(HOURS, np.nan))
    assert same_for_parasite(unknown, water(temperature_c=np.full(HOURS, np.nan)))
    assert not same_for_parasite(unknown, water())


def test_an_agent_in_one_of_them_makes_another_course() -> None:
    dyed = water(residue_low_mg_l=DYE, residue_high_mg_l=DYE)
    assert not same_for_parasite(dyed, water())
    assert not same_for_parasite(water(), dyed)
    assert same_for_parasite(dyed, water(residue_low_mg_l=DYE, residue_high_mg_l=DYE))


@pytest.mark.parametrize("edge", ["residue_low_mg_l", "residue_high_mg_l"])
def test_another_strength_at_either_edge_makes_another_course(edge: str) -> None:
    both = {"residue_low_mg_l": DYE, "residue_high_mg_l": DYE}
    other = {**both, edge: {"dye": late(0.2, 0.1)}}
    assert not same_for_parasite(water(**both), water(**other))


def test_another_agent_at_the_same_strength_makes_another_course() -> None:
    other = {"other dye": DYE["dye"]}
    dyed = water(residue_low_mg_l=DYE, residue_high_mg_l=DYE)
    assert not same_for_parasite(dyed, water(residue_low_mg_l=other, residue_high_mg_l=other))


def test_another_event_makes_another_course() -> None:
    siphoned = (TimedEvent(18, "main", Channel.BOTTOM_REMOVED, 0.3, 0.6, 0.8),)
    once = tank_hours(body(hours=HOURS), events=siphoned)
    assert not same_for_parasite(once, water())
    assert same_for_parasite(once, tank_hours(body(hours=HOURS), events=siphoned))


def test_another_length_makes_another_course() -> None:
    assert not same_for_parasite(water(), tank_hours(body(hours=HOURS + 1)))


def test_fish_in_another_place_make_another_course() -> None:
    two: tuple[BodyHours, ...] = (body("main", HOURS), body("box", HOURS))
    stayed = tank_hours(*two, where={"fish": np.zeros(HOURS, dtype=np.int16)})
    moved = tank_hours(*two, where={"fish": LATE.astype(np.int16)})
    assert not same_for_parasite(stayed, moved)
    assert same_for_parasite(moved, moved)


def test_one_group_of_two_in_another_place_makes_another_course() -> None:
    two = (body("main", HOURS), body("box", HOURS))
    at_home, moved = np.zeros(HOURS, dtype=np.int16), LATE.astype(np.int16)
    both = tank_hours(*two, where={"tetra": at_home, "loach": at_home})
    parted = tank_hours(*two, where={"tetra": at_home, "loach": moved})
    assert not same_for_parasite(both, parted)


def test_a_difference_in_the_second_body_or_stratum_is_found() -> None:
    first, warmer = body("box", HOURS), body("box", HOURS, warm=late(26.0, 25.0))
    assert not same_for_parasite(
        tank_hours(body("main", HOURS), first), tank_hours(body("main", HOURS), warmer)
    )
    whole = water()
    (stratum,) = whole.strata
    twice = replace(whole, strata=(stratum, stratum))
    other = replace(whole, strata=(stratum, water(salinity_g_l=late(2.0)).strata[0]))
    assert same_for_parasite(twice, twice)
    assert not same_for_parasite(twice, other)
