"""Swimmers that come later: carried over with a move, or brought in; closed forms."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.lifecycle.tanks import body, deathless, fish, play, stating, tank_hours, white_spot

from tankside import lifecycle
from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import Channel, TankHours, TimedEvent
from tankside.errors import BadInput

HOURS, MOVE = 48, 10
NUMBER = 3000.0


def drifting() -> Organism:
    """White spot whose swimmers hardly ever meet a fish."""
    return stating(deathless(white_spot()), swimmer__search_l_per_h=1e-9)


def loss_per_h(organism: Organism) -> float:
    """Death and fading at the reference temperature: ln 2 over each time."""
    claims = organism.claims
    times = [claims[f"swimmer.{name}"].number() for name in ("life", "infective_half_h")]
    return float(np.log(2) * sum(1 / t for t in times))


def moving(share: float, to: str = "clean") -> TankHours:
    where = {"fish": np.where(np.arange(HOURS) < MOVE, 0, 1).astype(np.int16)}
    event = TimedEvent(
        MOVE, "main", Channel.GROUP_MOVED, share, share, share, group="fish", to_body=to
    )
    bodies = (body("main", HOURS, warm=22.0), body("clean", HOURS, warm=22.0))
    return tank_hours(*bodies, where=where, events=(event,))


def swimming(water: TankHours, begin: lifecycle.InitialState, *hours: int) -> np.ndarray:
    compiled = lifecycle.compile(drifting(), water, (fish(3),))
    draws = lifecycle.draw(drifting(), 128, 5, fixed=True)
    histories = lifecycle.run(compiled, begin, draws, 128, 5, record_h=hours)
    counts: np.ndarray = histories.swimmers.sum(axis=0)
    return counts


def believed(**more: Any) -> lifecycle.InitialState:
    return lifecycle.InitialState({}, steady_bottom=False, **more)


@pytest.mark.parametrize("share", [0.0, 0.2, 1.0])
def test_nothing_is_made_or_lost_by_moving(share: float) -> None:
    there = believed(swimmers={"main": (NUMBER,) * 3})
    before, after = MOVE, MOVE + 6
    left = swimming(moving(share), there, before, after)
    expected = np.exp(-loss_per_h(drifting()) * 6)
    spread = 4 * np.sqrt(left[0])
    assert abs(left[1] - left[0] * expected) < spread


def test_what_is_carried_is_found_in_the_clean_body() -> None:
    # the old body is deadly from the hour of the move on, so that only what was carried is left
    share = 0.3
    deadly = np.where(np.arange(HOURS) < MOVE, 0.0, 1e9)
    old = body("main", HOURS, warm=22.0, residue={"formalin": deadly})
    plain = moving(share)
    water = tank_hours(old, body("clean", HOURS, warm=22.0), where=plain.where, events=plain.events)
    swimmers = swimming(water, believed(swimmers={"main": (NUMBER,) * 3}), MOVE, MOVE + 6)
    expected = swimmers[0] * share * np.exp(-loss_per_h(drifting()) * 6)
    assert abs(swimmers[1] - expected) < 4 * np.sqrt(expected)


def test_fish_that_leave_the_case_take_their_swimmers_along() -> None:
    there = believed(swimmers={"main": (NUMBER,) * 3})
    swimmers = swimming(moving(0.5, to=""), there, MOVE, MOVE + 1)
    expected = swimmers[0] * 0.5 * np.exp(-loss_per_h(drifting()))
    assert abs(swimmers[1] - expected) < 4 * np.sqrt(expected)


def test_what_is_brought_in_comes_at_its_hour_even_into_a_clear_tank() -> None:
    water = tank_hours(body(hours=HOURS, warm=22.0))
    begin = believed(later=(lifecycle.Arrival(30, "main", (500.0,) * 3),))
    swimmers = swimming(water, begin, 29, 30, 33)
    assert swimmers[0] == swimmers[1] == 0  # a moment is before the events of its hour
    expected = 128 * 500 * np.exp(-loss_per_h(drifting()) * 3)
    assert abs(swimmers[2] - expected) < 4 * np.sqrt(expected)


def test_what_is_brought_in_starts_an_outbreak() -> None:
    water = tank_hours(body(hours=20 * 24, litres=20))
    begin = believed(later=(lifecycle.Arrival(100, "main", (50.0, 100.0, 200.0)),))
    histories = play(white_spot(), water, begin)
    assert histories.burden[:, :5].sum() == 0
    assert histories.burden[:, 8].sum() > 0
    assert "arrival.0" in histories.draws.keys
    assert not histories.clear[:, 6].all()


def test_a_move_without_water_is_the_same_path() -> None:
    begin = lifecycle.InitialState({"fish": (20.0,) * 3})
    event = TimedEvent(MOVE, "main", Channel.GROUP_MOVED, group="fish", to_body="clean")
    plain = moving(0.0)
    dry = tank_hours(
        *(body(name, HOURS, warm=22.0) for name in ("main", "clean")),
        where=plain.where,
        events=(event,),
    )
    runs = [play(white_spot(), water, begin) for water in (plain, dry)]
    assert np.array_equal(runs[0].burden, runs[1].burden)
    assert np.array_equal(runs[0].swimmers, runs[1].swimmers)


@pytest.mark.parametrize(("hour", "where"), [(HOURS, "main"), (-1, "main"), (5, "elsewhere")])
def test_an_arrival_outside_the_forecast_is_refused(hour: int, where: str) -> None:
    begin = believed(later=(lifecycle.Arrival(hour, where, (5.0,) * 3),))
    with pytest.raises(BadInput, match="E-FC-01"):
        play(white_spot(), tank_hours(body(hours=HOURS)), begin)
