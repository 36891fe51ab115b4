"""A forecast says what acts on which stage, and for which stages no parameter is recorded."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from tests.lifecycle.tanks import adding, body, fish, tank_hours, white_spot, without

from tankside import lifecycle
from tankside.course.bodies.tank_hours import Channel, TimedEvent
from tankside.lifecycle.results.active_factors import ActiveFactor

HOURS = 72
SWIMMING = "swimming, looking for a fish"
FEEDING = "feeding under the skin of the fish"
CYST = "dividing in a cyst on the bottom"


def told(*events: TimedEvent, **levels: Any) -> dict[str, ActiveFactor]:
    organism = adding(white_spot(), cyst__oxygen_halt_mg_l=2.0)
    water = tank_hours(body(hours=HOURS, **levels), events=events)
    compiled = lifecycle.compile(organism, water, (fish(),))
    return {factor.driver: factor for factor in lifecycle.active_factors(compiled)}


def test_nothing_acts_in_plain_water() -> None:
    assert told() == {}


def test_an_agent_is_told_with_the_stages_it_reaches_and_those_without_figures() -> None:
    factor = told(residue={"formalin": np.full(HOURS, 25.0)})["formalin"]
    assert factor.kind == "kill"
    assert {SWIMMING, CYST} < set(factor.reaches)
    assert [stage for stage, _ in factor.unknown] == [FEEDING]


def test_an_agent_without_any_figure_is_told_too() -> None:
    factor = told(residue={"acriflavine": np.full(HOURS, 5.0)})["acriflavine"]
    assert factor.reaches == ()
    assert len(factor.unknown) == 4


def test_halts_and_what_is_taken_out_are_told() -> None:
    events = tuple(
        TimedEvent(5, "main", channel, 0.5, 0.5, 0.5)
        for channel in (Channel.BOTTOM_REMOVED, Channel.WATER_REMOVED)
    )
    by_driver = told(*events, oxygen=1.0)
    assert by_driver["halt"].reaches == (CYST,)
    assert CYST in by_driver["siphon"].reaches
    assert by_driver["water_change"].reaches == (SWIMMING,)


def test_a_lamp_is_told_whether_its_kill_is_known_or_not() -> None:
    lamp = np.full(HOURS, 0.5)
    water = tank_hours(replace(body(hours=HOURS), uv_per_h=lamp))
    for organism, has_figure in (
        (white_spot(), True),
        (without(white_spot(), "swimmer.uv"), False),
    ):
        compiled = lifecycle.compile(organism, water, (fish(),))
        (factor,) = lifecycle.active_factors(compiled)
        assert factor.driver == "uv"
        assert bool(factor.reaches) == has_figure
        assert bool(factor.unknown) != has_figure


def test_salt_that_stops_the_release_is_told_and_salt_too_weak_for_it_is_not() -> None:
    # Half of a release fails at 1.0 to 1.6 g/L; fish were cleared at 2 g/L and not at 1
    # (Mifsud & Rowland 2008).
    assert told(salt=2.0)["release_salt"].reaches == (CYST,)
    assert "release_salt" not in told(salt=0.5)
