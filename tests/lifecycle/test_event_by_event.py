"""The loop against an exact second program in continuous time, on the two frozen models."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from tests.lifecycle import event_by_event
from tests.lifecycle.agreement import difference, loop
from tests.lifecycle.tanks import adding, without

from tankside.bench.kernel_models import Model, model, warming

BIAS = 0.005


def damaging(frozen: Model) -> Model:
    """Return a frozen model under the law of damage, with figures by which many fish die."""
    organism = adding(
        without(frozen.organism, "host.lethal_burden", "host.death", "host.lethal_slope"),
        host__lethal_load=25.0,
        host__lethal_slope=1.5,
        host__harm_growth=0.7,
        host__healing_per_d=0.1,
    )
    return replace(frozen, organism=organism)


@pytest.mark.slow
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("law", ["hazard", "damage"])
@pytest.mark.parametrize("name", ["A", "B"])
def test_every_output_and_day_within_four_standard_errors(name: str, law: str) -> None:
    frozen = model(name) if law == "hazard" else damaging(model(name))
    apart = difference(loop(frozen, 60_000), event_by_event.histories(frozen, 20_000))
    assert np.abs(apart.in_errors).max() < 4, apart.worst()
    bias = apart.parts(BIAS)
    # Only that the bias is told of something: late days of A scatter too much for 0.5 %, and the
    # early days leave 15 of its cells.
    assert bias.size > 10
    assert np.abs(bias).max() < BIAS


def test_treated_model_agrees_with_few_runs() -> None:
    # Burden, bottom and swimmers on days 3 to 15; deaths are too rare here for a normal error.
    frozen = model("B")
    apart = difference(loop(frozen, 4000), event_by_event.histories(frozen, 2000))
    assert np.abs(apart.in_errors[3:16, :3]).max() < 4, apart.worst()


def test_deaths_by_damage_agree_with_few_runs() -> None:
    frozen = damaging(model("A", days=16))
    apart = difference(loop(frozen, 2000), event_by_event.histories(frozen, 1000))
    assert 2 < apart.mean[-1, 3] < 18
    assert np.abs(apart.in_errors[3:]).max() < 4, apart.worst()


def test_reference_integrates_damage_as_an_ordinary_differential_equation() -> None:
    facts = event_by_event.facts_of(damaging(model("A")))
    tank = event_by_event.Tank(*(np.zeros(1) for _ in event_by_event.Tank._fields))
    tank.burden[0], tank.settled[0] = 3, 3 * 2.0
    tank.hazard[0], tank.since[0] = 7.0, 5.0

    def slope(hour: float, damage: np.ndarray) -> np.ndarray:
        late = event_by_event.scaled(facts, hour + 1e-4) - event_by_event.scaled(facts, hour - 1e-4)
        part = (event_by_event.scaled(facts, hour) - 2.0) / facts.stay_h
        harm = 3 * (1 - facts.growth + 2 * facts.growth * part) / facts.stay_h * late / 2e-4
        return np.asarray(harm - facts.healing * damage)

    for until in (6.0, 20.0, facts.warming_h + 30.0):
        solved = solve_ivp(slope, (5.0, until), [7.0], rtol=1e-9, atol=1e-9, max_step=1.0)
        assert event_by_event.harmed(facts, tank, 0, until) == pytest.approx(
            solved.y[0, -1], rel=1e-6
        )


def test_reference_integrates_warming_and_kill_as_the_course_says() -> None:
    frozen = model("B")
    facts = event_by_event.facts_of(frozen)
    course, treated = frozen.settings, frozen.settings["treated"]

    def speed(hour: float) -> float:
        part = min(hour / course["warming_h"], 1.0)
        warm_c = course["start_c"] + part * (course["end_c"] - course["start_c"])
        return float(2.0 ** ((warm_c - 25) / 10))

    for hour in (0.5, 11.0, 24.0, 100.0):
        passed = quad(speed, 0, hour, points=[min(24.0, hour)], limit=200)[0]
        assert event_by_event.scaled(facts, hour) == pytest.approx(passed, rel=1e-9)
        assert event_by_event.hour_at(facts, passed) == pytest.approx(hour, rel=1e-9)
    hourly = 2.0 ** ((warming(course, 720) - 25) / 10)
    assert event_by_event.scaled(facts, 720.0) == pytest.approx(hourly.sum(), rel=1e-6)
    # Two doses: the strength falls from 1, is diluted, and is raised by 1 again.
    fall = 2.0 ** (-1 / treated["half_life_h"])
    second = fall**24 * (1 - treated["water_share"]) + treated["dose_mg_l"]

    def kill(after: float, first: float) -> float:
        strength = first * fall**after
        return float(treated["most_per_h"] * strength / (strength + treated["half_at_mg_l"]))

    total = quad(kill, 0, 24, (treated["dose_mg_l"],))[0] + quad(kill, 0, 6, (second,))[0]
    total -= 2 * np.log(1 - treated["water_share"])
    assert event_by_event.killed(facts, 12.0 + 24.0 + 6.0) == pytest.approx(total, rel=1e-9)
