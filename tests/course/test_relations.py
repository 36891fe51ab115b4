"""Relations that need no oracle: scale (M9), split (M12), shift in time (M19), strata, ages."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tankside.claims import Knowledge
from tankside.course import (
    BodyKind,
    Course,
    FilterState,
    LabelEntry,
    StockGroup,
    System,
    Volume,
    run,
)
from tankside.course.actions import (
    Air,
    Carbon,
    Dose,
    SaltTo,
    Siphon,
    Warm,
    WaterChange,
    salt_steps,
)
from tankside.course.actions.action import Action
from tankside.library import load

LIBRARY = load()
FISH = StockGroup("g", "carassius_auratus", "goldfish", 4, 9.0, None, "main")


def tank(litres: float = 100.0) -> System:
    return System(
        "main", "the tank", BodyKind.MAIN, Volume(litres, litres * 0.95, litres * 1.05, "x"),
        water="fresh", temperature_c=20.0, temperature_low_c=19.0, temperature_high_c=21.0,
        ph=7.2, alkalinity_mg_l_caco3=80.0, total_ammonia_mg_l_n=0.2, nitrite_mg_l_n=0.1,
        oxygen_mg_l=8.0, surface_area_m2=0.3, filter_state=FilterState.RIPE,
    )  # fmt: skip


def shifted(steps: list[Any], days: int) -> tuple[Any, ...]:
    return tuple(replace(step, at_h=step.at_h + 24 * days) for step in steps)


STEPS = st.lists(
    st.one_of(
        st.builds(SaltTo, st.integers(0, 71), st.just("main"), st.sampled_from([0.5, 1.0, 2.0])),
        st.builds(WaterChange, st.integers(0, 71), st.just("main"), st.integers(1, 90)),
        st.builds(Siphon, st.integers(0, 71), st.just("main"), st.integers(1, 40)),
        st.builds(Dose, st.integers(0, 71), st.just("main"), st.just("formalin"), st.just(10.0)),
        st.builds(Warm, st.integers(0, 71), st.just("main"), st.just(22.0), st.just(1.0)),
        st.builds(Air, st.integers(0, 71), st.just("main"), st.booleans()),
        st.builds(Carbon, st.integers(0, 71), st.just("main"), st.booleans()),
    ),
    max_size=8,
)


@settings(max_examples=100, deadline=None)
@given(STEPS, st.integers(1, 5))
def test_m19_a_later_start_shifts_everything_and_changes_nothing(
    steps: list[Any], days: int
) -> None:
    # the filter is held as the readings say until the first step, so start from a steady tank
    still = replace(tank(), oxygen_mg_l=None, aeration=None)
    first = run([still], [FISH], Course("a", 4, tuple(steps)), LIBRARY)
    later = run([still], [FISH], Course("a", 4 + days, shifted(steps, days)), LIBRARY)
    assert [line.text for line in first.lines] == [line.text for line in later.lines]
    assert [line.hour + 24 * days for line in first.lines] == [line.hour for line in later.lines]
    for stratum, delayed in zip(first.tank_hours.strata, later.tank_hours.strata, strict=True):
        a, b = stratum.bodies[0], delayed.bodies[0]
        for agent, series in a.residue_high_mg_l.items():
            np.testing.assert_allclose(b.residue_high_mg_l[agent][24 * days :], series, rtol=1e-12)
        np.testing.assert_allclose(b.temperature_c[24 * days :], a.temperature_c, rtol=1e-12)
        np.testing.assert_allclose(b.salinity_g_l[24 * days :], a.salinity_g_l, rtol=1e-9)


@settings(max_examples=100, deadline=None)
@given(STEPS, st.sampled_from([2.0, 5.0, 0.5]))
def test_m9_volume_and_litres_together_leave_every_strength_alone(
    steps: list[Any], factor: float
) -> None:
    scaled = tuple(
        replace(step, litres=step.litres * factor) if hasattr(step, "litres") else step
        for step in steps
    )
    single = run([tank()], [], Course("a", 4, tuple(steps)), LIBRARY)
    larger = run([tank(100.0 * factor)], [], Course("a", 4, scaled), LIBRARY)
    for left, right in zip(single.tank_hours.strata, larger.tank_hours.strata, strict=True):
        a, b = left.bodies[0], right.bodies[0]
        np.testing.assert_allclose(b.salinity_g_l, a.salinity_g_l, rtol=1e-9)
        for agent, series in a.residue_low_mg_l.items():
            np.testing.assert_allclose(b.residue_low_mg_l[agent], series, rtol=1e-9, atol=1e-12)


@settings(max_examples=100, deadline=None)
@given(STEPS)
def test_every_state_is_finite_and_not_below_zero(steps: list[Any]) -> None:
    result = run([tank()], [FISH], Course("a", 4, tuple(steps)), LIBRARY)
    for stratum in result.tank_hours.strata:
        body = stratum.bodies[0]
        for series in (
            body.salinity_g_l, body.oxygen_mg_l, body.total_ammonia_mg_l_n, body.nitrite_mg_l_n,
            *body.residue_low_mg_l.values(), *body.residue_high_mg_l.values(),
        ):  # fmt: skip
            assert np.isfinite(series).all()
            assert (series >= -1e-12).all()
        for agent, low in body.residue_low_mg_l.items():
            assert (low <= body.residue_high_mg_l[agent] + 1e-9).all()


def test_m12_two_halves_of_a_change_put_back_what_one_whole_does(
    labels: dict[str, LabelEntry],
) -> None:
    salted = (*salt_steps(0, "main", 2, 2, 12),)
    once = run(
        [tank()], [], Course("a", 3, (*salted, WaterChange(40, "main", 40))), LIBRARY, labels
    )
    twice = run(
        [tank()], [],
        Course("a", 3, (*salted, WaterChange(40, "main", 15), WaterChange(40, "main", 25))),
        LIBRARY, labels,
    )  # fmt: skip
    assert sum(a.value for a in once.amounts) == sum(a.value for a in twice.amounts)


def test_never_a_full_dose_again_after_a_part_change(labels: dict[str, LabelEntry]) -> None:
    """Full re-dosing with 25 % daily changes peaks at 1.9 times (water notes, section 12);
    putting back only the new water's part stays at the strength."""
    steps = [SaltTo(0, "main", 2)] + [WaterChange(h, "main", 25) for h in range(24, 240, 24)]
    body = run([tank()], [], Course("a", 11, tuple(steps)), LIBRARY, labels).tank_hours.strata[1]
    salt = body.bodies[0].residue_high_mg_l["sodium_chloride"]
    assert salt.max() == pytest.approx(2000)
    assert salt[-1] == pytest.approx(2000)


@pytest.mark.parametrize(("hours", "blocked"), [(-720.0, False), (-721.0, True)])
def test_a_volume_measured_too_long_ago_blocks(hours: float, blocked: bool) -> None:
    old = replace(tank(), read_at_h={"volume": hours})
    result = run([old], [FISH], Course("a", 1, (SaltTo(0, "main", 1),)), LIBRARY)
    assert any(c.code == "E-DOSE-20" and "volume" in c.words for c in result.blocked) is blocked


@pytest.mark.parametrize(
    ("change", "blocked"),
    [({}, False), ({"expired": True}, True), ({"read_at_h": -4321.0}, True)],
)
def test_an_expired_or_long_unread_label_shows_no_amount(
    labels: dict[str, LabelEntry], change: dict[str, Any], blocked: bool
) -> None:
    salt = {"sodium_chloride": replace(labels["sodium_chloride"], **change)}
    result = run([tank()], [FISH], Course("a", 1, (SaltTo(0, "main", 1),)), LIBRARY, salt)
    assert any(c.code == "E-PROD-03" for c in result.blocked) is blocked
    assert (result.amounts == ()) is blocked


def test_the_harsher_stratum_is_warmer_by_the_error_of_a_thermometer() -> None:
    error_c = LIBRARY.number("practice.course.thermometer_error")
    assert error_c > 0
    result = run([tank()], [FISH], Course("a", 2, ()), LIBRARY)
    harsh, middle, mild = (
        next(s for s in result.tank_hours.strata if s.name == name).bodies[0].temperature_c
        for name in ("smaller", "point", "larger")
    )
    np.testing.assert_allclose(harsh - middle, error_c)
    np.testing.assert_allclose(middle - mild, error_c)
    assert middle.mean() == pytest.approx(20.0)


QUIET = [HealthCheck.function_scoped_fixture]


@settings(max_examples=100, deadline=None, suppress_health_check=QUIET)
@given(
    st.lists(
        st.tuples(
            st.integers(1, 94),
            st.sampled_from(["salt", "change", "siphon"]),
            st.integers(1, 90),
        ),
        min_size=1,
        max_size=10,
        unique_by=lambda step: step[0],
    )
)
def test_every_printed_amount_is_found_in_the_hourly_water_to_its_last_digit(
    labels: dict[str, LabelEntry], plan: list[tuple[int, str, int]]
) -> None:
    steps: list[Action] = [SaltTo(0, "main", 1.0)]
    for hour, kind, size in plan:
        if kind == "salt":
            steps.append(SaltTo(hour, "main", size / 45))
        else:
            steps.append((WaterChange if kind == "change" else Siphon)(hour, "main", float(size)))
    result = run([tank()], [FISH], Course("a", 4, tuple(steps)), LIBRARY, labels)
    body = result.tank_hours.strata[1].bodies[0]
    salt_g = body.residue_high_mg_l["sodium_chloride"] * body.volume_l / 1000
    for amount in result.amounts:
        before = salt_g[amount.hour - 1] if amount.hour else 0.0
        taken = getattr(steps[amount.action], "litres", 0.0) / body.volume_l
        brought = salt_g[amount.hour] - before * (1 - taken)
        assert brought * 1000 == pytest.approx(float(amount.active_mg))
        if not amount.stock_solution:
            assert f"{brought:.0f}" == str(amount.value)
        line = next(line for line in result.lines if line.action == amount.action)
        assert amount.text in line.text


def box(name: str, litres: float) -> System:
    return System(
        name, name, BodyKind.FISHLESS, Volume(litres, litres, litres * 1.05, "x"), water="fresh",
        temperature_c=22.0, alkalinity_mg_l_caco3=200.0,
    )  # fmt: skip


DRAWN = st.lists(
    st.tuples(
        st.integers(0, 94),
        st.sampled_from(["one", "two"]),
        st.sampled_from(["salt", "copper", "dye", "change", "siphon"]),
        st.floats(0.05, 0.95),
    ),
    min_size=1, max_size=14, unique_by=lambda step: step[:2],
)  # fmt: skip


def drawn_course(plan: list[tuple[int, str, str, float]]) -> Iterator[Action]:
    """Turn draws into steps at two tanks; sizes are shares of a usual dose or of the water."""
    litres = {"one": 61.0, "two": 173.0}
    for hour, body, kind, size in plan:
        if kind == "salt":
            yield SaltTo(hour, body, 3 * size)
        elif kind == "copper":
            yield Dose(hour, body, "copper_sulphate", 0.15 * size, counting_residue=True)
        elif kind == "dye":
            yield Dose(hour, body, "malachite_green", 0.1 * size)
        else:
            kind_of = WaterChange if kind == "change" else Siphon
            yield kind_of(hour, body, round(litres[body] * size, 1))


@settings(max_examples=150, deadline=None, suppress_health_check=QUIET)
@given(DRAWN)
def test_every_amount_of_every_agent_in_every_tank_is_found_in_the_hourly_water(
    facts: Knowledge, labels: dict[str, LabelEntry], plan: list[tuple[int, str, str, float]]
) -> None:
    """What the printed amount holds is the jump of the high edge, to its last printed digit."""
    systems = [box("one", 61.0), box("two", 173.0)]
    steps = list(drawn_course(plan))
    result = run(systems, [], Course("drawn", 4, tuple(steps)), facts, labels)
    for amount in result.amounts:
        water = result.tank_hours.strata[1].bodies[("one", "two").index(amount.body)]
        mass_mg = water.residue_high_mg_l[amount.agent] * water.volume_l
        before = mass_mg[amount.hour - 1] if amount.hour else 0.0
        step = steps[amount.action]
        kept = 1 - getattr(step, "litres", 0.0) / water.volume_l
        holds = float(amount.active_mg) / float(amount.value)
        brought = (mass_mg[amount.hour] - before * kept) / holds
        assert brought == pytest.approx(float(amount.value), rel=1e-9, abs=1e-9)
        assert amount.text == f"{amount.value.normalize():f}\xa0{amount.unit}"
        assert amount.text in next(x.text for x in result.lines if x.action == amount.action)
