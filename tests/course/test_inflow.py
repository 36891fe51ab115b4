"""New water that runs through: what is left is exp(-Q t / V), apart from the hours it is shut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import exp, inf

import pytest

from tankside.claims import Knowledge
from tankside.course import Course, CourseRun, Level, System, Volume, run
from tankside.course.actions import Dose, SaltTo
from tankside.course.actions.action import Action
from tankside.course.amounts.water_account import WaterAccount
from tankside.course.bodies.system import Inflow, NewWater
from tankside.course.water.inflow import running

SALT = "sodium_chloride"
V_L, Q_L_H = 100.0, 5.0
RUNS = {"main": (Q_L_H, Q_L_H)}


@pytest.fixture
def pond(elm_road: System) -> System:
    water = Volume(V_L, V_L, V_L, "by a meter")
    return replace(elm_road, volume=water, inflow=Inflow(Q_L_H))


def go(pond: System, facts: Knowledge, *steps: Action, days: int = 3) -> CourseRun:
    return run([pond], [], Course("c", days, steps), facts, with_balance=True)


def codes(made: CourseRun) -> list[tuple[str, Level]]:
    return [(c.code, c.level) for c in made.safety if c.code == "S-OVERFLOW"]


def test_what_runs_away_leaves_an_exponential_and_the_balance_closes(
    pond: System, facts: Knowledge
) -> None:
    made = go(pond, facts, Dose(0, "main", SALT, 1000))
    for stratum in made.tank_hours.strata:
        salt = stratum.bodies[0].residue_high_mg_l[SALT]
        for hour in (0, 1, 24, 71):
            assert salt[hour] == pytest.approx(1000 * exp(-Q_L_H * hour / V_L), rel=1e-12)
        assert stratum.bodies[0].salinity_g_l[71] == pytest.approx(salt[71] / 1000, rel=1e-9)
        assert stratum.bodies[0].exchange_per_h == pytest.approx(Q_L_H / V_L)
    assert max(made.balance.values()) < 1e-9
    assert codes(made) == [("S-OVERFLOW", Level.CARE)]


def test_the_account_and_the_hourly_water_agree(pond: System, facts: Knowledge) -> None:
    """A dose that counts what is there puts back what ran away in a day, no less."""
    made = go(pond, facts, Dose(0, "main", SALT, 1000), Dose(24, "main", SALT, 1000, True))
    low = made.tank_hours.strata[1].bodies[0].residue_low_mg_l[SALT]
    assert low[24] == pytest.approx(1000, rel=1e-9)
    account = WaterAccount(pond.volume, lambda agent: (0.0, 0.0), inflows_l_h=dict(RUNS))
    account.put_in(SALT, 1000 * V_L, 1000 * V_L)
    account.pass_to(23)
    assert account.of(SALT).edges(0) == pytest.approx((low[23], low[23]), rel=1e-12)


def test_while_it_is_shut_nothing_runs_away(pond: System, facts: Knowledge) -> None:
    shut = replace(pond, inflow=Inflow(Q_L_H, off_for_h=6.5))
    made = go(shut, facts, SaltTo(10, "main", 1.0))
    assert made.lines[0].text.startswith("Shut the inflow first; open it again after 6.5")
    salt = made.tank_hours.strata[1].bodies[0].residue_high_mg_l[SALT]
    assert salt[10:17] == pytest.approx(1000, rel=1e-12)
    assert salt[17] == pytest.approx(1000 * exp(-Q_L_H * 0.5 / V_L), rel=1e-12)
    account = WaterAccount(pond.volume, lambda agent: (0.0, 0.0), 10, inflows_l_h=dict(RUNS))
    account.put_in(SALT, 1000 * V_L, 1000 * V_L)
    account.shut(6.5)
    account.pass_to(14)
    account.pass_to(40)
    assert account.of(SALT).edges(0)[1] == pytest.approx(salt[40], rel=1e-12)


def test_shut_hours_are_counted_in_parts_of_an_hour() -> None:
    assert running([(1, 1.25)], 5).tolist() == [1, 0, 0.75, 1, 1]
    assert running([(1, 2.0), (2, 2.0)], 5).tolist() == [1, 0, 0, 0, 1]


def test_an_inflow_nobody_measured_takes_all_at_the_low_edge_and_stops_a_dose(
    pond: System, facts: Knowledge
) -> None:
    unknown = replace(pond, inflow=Inflow())
    made = go(unknown, facts, Dose(0, "main", SALT, 1000))
    body = made.tank_hours.strata[1].bodies[0]
    assert body.residue_low_mg_l[SALT][1] == 0
    assert body.residue_high_mg_l[SALT][71] == pytest.approx(1000, rel=1e-12)
    assert codes(made) == [("S-OVERFLOW", Level.BLOCKED)]
    account = WaterAccount(pond.volume, lambda agent: (0.0, 0.0), inflows_l_h={"main": (0.0, inf)})
    account.put_in(SALT, 100, 100)
    account.pass_to(1)
    assert account.of(SALT).edges(0) == (0.0, 1.0)


@pytest.mark.parametrize(
    ("kind", "ends_at"), [("marine", lambda start: start), ("fresh", lambda start: 0.0)]
)
def test_what_runs_in_is_as_salty_as_the_kind_of_water(
    pond: System, facts: Knowledge, kind: str, ends_at: Callable[[float], float]
) -> None:
    """Sea water runs into a sea pond; into fresh water with salt put in runs water without it."""
    start = 30.0 if kind == "marine" else 1.0
    lot = () if kind == "marine" else (SaltTo(0, "main", 1.0),)
    water = replace(pond, water=kind, salinity_g_l=30.0 if kind == "marine" else 0.0)
    made = go(water, facts, *lot, days=60)
    salt = made.tank_hours.strata[1].bodies[0].salinity_g_l
    assert (salt[0], salt[-1]) == pytest.approx((start, ends_at(start)), abs=1e-9)


def test_a_salinity_that_was_told_of_the_new_water_counts(pond: System, facts: Knowledge) -> None:
    water = replace(pond, salinity_g_l=2.0, new_water=NewWater(salinity_g_l=1.0))
    salt = go(water, facts, days=60).tank_hours.strata[1].bodies[0].salinity_g_l
    assert salt[24] == pytest.approx(1 + exp(-Q_L_H * 24 / V_L), rel=1e-9)
