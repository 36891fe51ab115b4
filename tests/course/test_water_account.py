"""The account of a body of water closes against exact fractions, and its edges hold in order."""

from __future__ import annotations

from fractions import Fraction
from math import exp, isclose, log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.course.amounts.water_account import WaterAccount
from tankside.course.bodies.volume import Volume

WATER = Volume(100.0, 80.0, 125.0, "two ways")
LASTING = (0.0, 0.0)


def account(rates: tuple[float, float] = LASTING) -> WaterAccount:
    return WaterAccount(WATER, lambda agent: rates)


def test_a_mass_is_stronger_in_less_water() -> None:
    water = account()
    water.put_in("salt", 5000, 5000)
    edges = water.of("salt").by_volume
    assert edges is not None
    smaller, point, larger = edges
    assert (smaller, point, larger) == ((62.5, 62.5), (50.0, 50.0), (40.0, 40.0))


def test_what_fades_is_whole_at_the_high_edge_and_halved_at_the_low() -> None:
    water = account((0.0, log(2) / 24))
    water.put_in("dye", 300, 300)
    water.pass_to(24)
    assert water.of("dye").edges(0) == pytest.approx((1.5, 3.0))


def test_time_does_not_run_backwards() -> None:
    water = account((0.1, 0.1))
    water.put_in("dye", 100, 100)
    water.pass_to(10)
    before = water.of("dye")
    water.pass_to(4)
    assert water.of("dye") == before


def test_an_unknown_amount_stays_unknown_until_it_is_read_or_all_water_is_changed() -> None:
    water = account()
    water.put_in_unknown("copper")
    water.exchange(100)
    assert water.of("copper").high_mg_l is None
    water.read("copper", 0.1, 0.2)
    assert water.of("copper").edges(-1) == (0.1, 0.2)
    water.put_in_unknown("copper")
    water.exchange(125)
    assert water.of("copper").high_mg_l == 0.0


def test_new_water_that_carries_an_agent_brings_it_in() -> None:
    water = account()
    water.put_in_strength("salt", 2000, 2000)
    water.exchange(40, {"salt": 2000})
    assert all(
        isclose(edge, 2000) for place in (-1, 0, 1) for edge in water.of("salt").edges(place)
    )


STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("put"), st.integers(0, 10**6), st.integers(0, 10**6)),
        st.tuples(st.just("change"), st.integers(0, 150), st.just(0)),
        st.tuples(st.just("read"), st.integers(0, 5000), st.integers(0, 500)),
    ),
    max_size=25,
)


@settings(max_examples=300, deadline=None)
@given(STEPS)
def test_it_agrees_with_exact_fractions_where_nothing_fades(
    steps: list[tuple[str, int, int]],
) -> None:
    water = account()
    exact = {volume: [Fraction(0), Fraction(0)] for volume in (80, 100, 125)}
    for kind, first, second in steps:
        if kind == "put":
            low, high = sorted((first, second))
            water.put_in("x", low, high)
            for volume, edges in exact.items():
                exact[volume] = [
                    edges[0] + Fraction(low, volume),
                    edges[1] + Fraction(high, volume),
                ]
        elif kind == "change":
            water.exchange(first)
            for volume, edges in exact.items():
                left = 1 - min(Fraction(1), Fraction(first, volume))
                exact[volume] = [edge * left for edge in edges]
        else:
            water.read("x", first, first + second)
            exact = {volume: [Fraction(first), Fraction(first + second)] for volume in exact}
    for place, volume in ((-1, 80), (0, 100), (1, 125)):
        for edge, truth in zip(water.of("x").edges(place), exact[volume], strict=True):
            assert edge == pytest.approx(float(truth), rel=1e-12, abs=1e-12)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 48), st.integers(0, 10**5)), min_size=1, max_size=10))
def test_the_low_edge_is_never_above_the_high_one(doses: list[tuple[int, int]]) -> None:
    water = account((0.01, 0.2))
    hour, whole = 0.0, 0.0
    for wait, mg in doses:
        hour += wait
        water.pass_to(hour)
        whole *= exp(-0.01 * wait)
        water.put_in("x", mg, mg)
        whole += mg / 100
    low, high = water.of("x").edges(0)
    assert low <= high
    assert high == pytest.approx(whole)
