"""A forecast says what acts on which stage, and for which stages no figure is recorded."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from tests.lifecycle.tanks import adding, body, fish, tank_hours, white_spot, without

from tankside import lifecycle
from tankside.course.bodies.tank_hours import Channel, TimedEvent

HOURS = 72
SWIMMING = "swimming, looking for a fish"
FEEDING = "feeding under the skin of the fish"
CYST = "dividing in a cyst on the bottom"


def told(*events: TimedEvent, **levels: object) -> dict[str, lifecycle.Told]:
    organism = adding(white_spot(), cyst__oxygen_halt_mg_l=2.0)
    water = tank_hours(body(hours=HOURS, **levels), events=events)
    compiled = lifecycle.compile(organism, water, (fish(),))
    return {one.driver: one for one in lifecycle.active_factors(compiled)}


def test_nothing_acts_in_plain_water() -> None:
    assert told() == {}


def test_an_agent_is_told_with_the_stages_it_reaches_and_those_without_figures() -> None:
    found = told(residue={"formalin": np.full(HOURS, 25.0)})["formalin"]
    assert found.kind == "kill"
    assert {SWIMMING, CYST} < set(found.reaches)
    assert [stage for stage, _ in found.unknown] == [FEEDING]


def test_an_agent_without_any_figure_is_told_too() -> None:
    found = told(residue={"acriflavine": np.full(HOURS, 5.0)})["acriflavine"]
    assert found.reaches == ()
    assert len(found.unknown) == 4


def test_halts_and_what_is_taken_out_are_told() -> None:
    events = tuple(
        TimedEvent(5, "main", channel, 0.5, 0.5, 0.5)
        for channel in (Channel.BOTTOM_REMOVED, Channel.WATER_REMOVED)
    )
    found = told(*events, oxygen=1.0)
    assert found["halt"].reaches == (CYST,)
    assert CYST in found["siphon"].reaches
    assert found["water_change"].reaches == (SWIMMING,)


def test_a_lamp_is_told_whether_its_kill_is_known_or_not() -> None:
    lamp = np.full(HOURS, 0.5)
    water = tank_hours(replace(body(hours=HOURS), uv_per_h=lamp))
    for organism, known in ((white_spot(), True), (without(white_spot(), "swimmer.uv"), False)):
        compiled = lifecycle.compile(organism, water, (fish(),))
        (found,) = lifecycle.active_factors(compiled)
        assert found.driver == "uv"
        assert bool(found.reaches) == known
        assert bool(found.unknown) != known


def test_salt_that_stops_the_release_is_told_and_salt_too_weak_for_it_is_not() -> None:
    # Half of a release fails at 1.0 to 1.6 g/L; fish were cleared at 2 g/L and not at 1
    # (Mifsud & Rowland 2008).
    assert told(salt=2.0)["release_salt"].reaches == (CYST,)
    assert "release_salt" not in told(salt=0.5)
