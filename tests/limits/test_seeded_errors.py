"""P2: slips of a factor 10, 100, 1000 and 2 in every quantity that an amount rests on.

Each slip is planted in an otherwise usual dose of every agent by every route with a published
dose. The usual dose itself is not stopped for its strength, time or label, so that a stop is the
slip's own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from tests.limits.conftest import Route

from tankside.claims import Knowledge
from tankside.course import CourseRun, Level, VolumeRules, volume_from_methods
from tankside.errors import BadInput

SLIPS = (10, 100, 1000)
STRENGTH, TOO_LONG, TOO_SOON, LABEL = "E-DOSE-10", "E-DOSE-12", "E-DOSE-22", "E-PROD-01"
OWN = {STRENGTH, TOO_LONG, TOO_SOON, LABEL, "E-DOSE-24", "E-DOSE-900"}


def codes(result: CourseRun) -> set[str]:
    return {caution.code for caution in result.blocked}


def soft_or_harder(result: CourseRun) -> set[str]:
    return {caution.code for caution in result.safety if caution.level is not Level.NOTE}


def test_the_usual_dose_is_not_stopped_for_its_size(
    route: Route, treated: Callable[..., CourseRun]
) -> None:
    result = treated(route)
    assert not codes(result) & OWN, result.blocked
    assert route.name == "feed" or result.amounts


@pytest.mark.parametrize("slip", SLIPS)
def test_strength_ten_times_and_more_is_stopped(
    route: Route, treated: Callable[..., CourseRun], slip: int
) -> None:
    result = treated(route, strength=slip)
    assert STRENGTH in codes(result)
    assert not result.amounts


@pytest.mark.parametrize("slip", SLIPS)
def test_minutes_ten_times_and_more_are_stopped(
    timed: Route, treated: Callable[..., CourseRun], slip: int
) -> None:
    assert TOO_LONG in codes(treated(timed, minutes=slip))


@pytest.mark.parametrize("slip", SLIPS)
def test_days_between_doses_a_tenth_and_less_are_stopped(
    facts: Knowledge, spaced: Route, treated: Callable[..., CourseRun], slip: int
) -> None:
    """Where no interval is told, the strength that piles up is what stops it."""
    apart = round(facts.claim(f"agent.{spaced.agent}.interval.prolonged").bounds()[0])
    assert TOO_SOON not in codes(treated(spaced, at_h=(8, 8 + apart)))
    assert TOO_SOON in codes(treated(spaced, at_h=(8, 8 + max(1, apart // slip))))


@pytest.fixture(scope="module")
def rules(facts: Knowledge) -> VolumeRules:
    return VolumeRules(
        facts.number("practice.course.volume_ask_difference"),
        facts.number("practice.course.volume_stop_difference"),
    )


@pytest.mark.parametrize("slip", [*SLIPS, 2, 0.5, 0.1, 0.01, 0.001])
def test_a_slip_in_one_of_two_volumes_is_stopped(rules: VolumeRules, slip: float) -> None:
    with pytest.raises(BadInput) as refused:
        volume_from_methods(173.0 * slip, 175.0, rules, "typed")
    assert refused.value.code == "E-DOSE-21"


@pytest.mark.parametrize(("second", "asks"), [(None, True), (180.0, False), (195.0, True)])
def test_a_single_volume_or_two_that_differ_are_called_weak_beside_the_amount(
    rules: VolumeRules,
    treated: Callable[..., CourseRun],
    every_route: list[Route],
    second: float | None,
    asks: bool,
) -> None:
    """A slip in a single volume cannot be seen: there is nothing to hold it against."""
    salt = next(r for r in every_route if r.agent == "sodium_chloride" and r.name == "prolonged")
    volume = volume_from_methods(175.0, second, rules, "inside measures")
    course_run = treated(salt, volume=volume)
    assert course_run.amounts
    assert any("weak" in c.words for c in course_run.safety if c.code == "E-DOSE-21") is asks


@pytest.mark.parametrize("slip", [*SLIPS, 2])
def test_a_label_cannot_be_stronger_than_the_pure_substance(
    mixed: Route, treated: Callable[..., CourseRun], slip: int
) -> None:
    label = treated(mixed).amounts[0].label
    result = treated(mixed, label=replace(label, strength=label.strength * Decimal(slip)))
    assert LABEL in codes(result)
    assert not result.amounts


@pytest.mark.parametrize("slip", SLIPS)
def test_no_amount_rests_on_the_weight_of_the_fish(
    route: Route, treated: Callable[..., CourseRun], slip: int
) -> None:
    """A slip in biomass cannot reach an amount, since none is worked out per kg of fish."""
    assert treated(route, weight=slip).amounts == treated(route).amounts


def test_twice_the_strength_or_the_time_asks_for_a_reason_or_stops(
    treated: Callable[..., CourseRun], every_route: list[Route]
) -> None:
    planted = [(route, {"strength": 2.0}) for route in every_route]
    planted += [(route, {"minutes": 2.0}) for route in every_route if route.minutes]
    passed = [
        (route.agent, route.name, slip)
        for route, slip in planted
        if not soft_or_harder(treated(route, **slip)) - soft_or_harder(treated(route))
    ]
    assert planted
    assert len(passed) <= 0.1 * len(planted), passed
