"""Every account closes: what came in, went out and was lost is what is there (M2)."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tankside.claims import Knowledge
from tankside.course import (
    BodyKind,
    Course,
    CourseRun,
    FilterState,
    InWater,
    NewWater,
    StockGroup,
    System,
    Volume,
    run,
)
from tankside.course.actions import (
    Carbon,
    Dose,
    Fast,
    ReadingTaken,
    SaltTo,
    Siphon,
    Transfer,
    Warm,
    WaterChange,
)
from tankside.course.water import mixing as mixing_module
from tankside.course.water.recursion import recur

DAYS = 4
BODIES = ("a", "b", "c")


def thousandths(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers as a keeper would type them, so that no mass is smaller than a float can hold."""
    return st.integers(round(low * 1000), round(high * 1000)).map(lambda n: n / 1000)


hours = st.integers(0, DAYS * 24 - 1)
bodies = st.sampled_from(BODIES)
litres = thousandths(0.1, 150)
waters = st.one_of(
    st.none(),
    st.builds(
        NewWater,
        temperature_c=st.one_of(st.none(), thousandths(5, 35)),
        salinity_g_l=st.one_of(st.none(), thousandths(0, 35)),
        total_ammonia_mg_l_n=st.one_of(st.none(), thousandths(0, 2)),
        ph=st.one_of(st.none(), thousandths(6, 8.4)),
        alkalinity_mg_l_caco3=st.one_of(st.none(), thousandths(20, 300)),
    ),
)
actions = st.one_of(
    st.builds(
        Dose,
        hours,
        bodies,
        st.sampled_from(["malachite_green", "formalin", "copper_sulphate"]),
        thousandths(0.01, 0.2),
    ),
    st.builds(SaltTo, hours, bodies, thousandths(0.1, 3)),
    st.builds(WaterChange, hours, bodies, litres, st.booleans(), waters),
    st.builds(Siphon, hours, bodies, litres, st.booleans(), waters),
    st.builds(Warm, hours, bodies, thousandths(10, 32), thousandths(0.5, 3)),
    st.builds(Carbon, hours, bodies, st.booleans()),
    st.builds(Fast, hours, bodies),
    st.builds(Transfer, hours, bodies, st.sampled_from([f"fish of {b}" for b in BODIES]), bodies),
    st.builds(
        ReadingTaken,
        hours,
        bodies,
        st.dictionaries(
            st.sampled_from(
                [
                    "agent:formalin",
                    "agent:sodium_chloride",
                    "salinity_g_l",
                    "total_ammonia_mg_l_n",
                    "nitrite_mg_l_n",
                ]
            ),
            thousandths(0, 50),
            max_size=2,
        ),
    ),
)


def tanks(volumes: list[float]) -> list[System]:
    return [
        System(
            name,
            name,
            BodyKind.MAIN,
            Volume(v, v * 0.9, v * 1.1, "drawn"),
            water="fresh",
            temperature_c=22.0,
            residues=(InWater("formalin", 1.0, 4.0),),
            ph=7.0,
            alkalinity_mg_l_caco3=80.0,
            total_ammonia_mg_l_n=0.4,
            nitrite_mg_l_n=0.1,
            filter_state=FilterState.RIPE,
        )
        for name, v in zip(BODIES, volumes, strict=False)
    ]


STOCK = [
    StockGroup(f"fish of {name}", None, "fish", 5, None, (1.0, 2.0, 3.0), name) for name in BODIES
]


def check_balance(facts: Knowledge, volumes: list[float], steps: list[Any]) -> CourseRun:
    there = (*BODIES[: len(volumes)], "")
    groups = ("", *(group.id for group in STOCK[: len(volumes)]))
    inside = (
        s
        for s in steps
        if s.body in there
        and getattr(s, "to_body", "") in there
        and getattr(s, "group", "") in groups
    )
    course = Course("random", DAYS, tuple(inside))
    result = run(tanks(volumes), STOCK[: len(volumes)], course, facts, with_balance=True)
    assert len(result.balance) >= 5 * len(volumes)
    worst = max(result.balance.values())
    assert worst < 1e-9, result.balance
    return result


QUIET = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
any_schedule = given(
    st.lists(thousandths(20, 2000), min_size=1, max_size=3), st.lists(actions, max_size=12)
)


@settings(max_examples=500, deadline=None, suppress_health_check=QUIET)
@any_schedule
def test_every_account_closes_over_random_schedules(
    facts: Knowledge, volumes: list[float], steps: list[Any]
) -> None:
    check_balance(facts, volumes, steps)


@pytest.mark.slow
@pytest.mark.timeout(1800)
@settings(max_examples=10_000, deadline=None, suppress_health_check=QUIET)
@any_schedule
def test_every_account_closes_over_ten_thousand_schedules(
    facts: Knowledge, volumes: list[float], steps: list[Any]
) -> None:
    check_balance(facts, volumes, steps)


def test_a_fault_in_the_recursion_shows_as_an_open_account(
    facts: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    def leaky(keep: np.ndarray, gain: np.ndarray) -> np.ndarray:
        return recur(keep * 0.9999, gain)

    monkeypatch.setattr(mixing_module, "recur", leaky)
    with pytest.raises(AssertionError):
        check_balance(facts, [100.0], [SaltTo(5, "a", 2.0)])


def test_without_change_or_loss_salt_stays_constant(facts: Knowledge) -> None:
    result = run(tanks([100.0]), [], Course("x", DAYS, (SaltTo(5, "a", 2.0),)), facts)
    salt = result.tank_hours.strata[1].bodies[0].residue_high_mg_l["sodium_chloride"]
    assert np.ptp(salt[5:]) == 0  # M3


def test_a_whole_change_without_put_back_leaves_nothing(facts: Knowledge) -> None:
    steps = (SaltTo(5, "a", 2.0), WaterChange(20, "a", 100.0, put_back=False))
    result = run(tanks([100.0]), [], Course("x", DAYS, steps), facts)
    body = result.tank_hours.strata[1].bodies[0]
    assert body.residue_high_mg_l["sodium_chloride"][20] == 0  # M3
    assert body.residue_high_mg_l["formalin"][20] == 0
