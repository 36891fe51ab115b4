"""When a parasite can be seen, against the distribution of its own residence time (scipy)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.lifecycle.tanks import body, deathless, fish, play, stating, tank_hours, white_spot

from tankside import lifecycle
from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import Channel, TimedEvent

HISTORIES = 64
FISH = 10
EACH = 100
CV = 0.35
UNSEEN = 0.3
MIDDLE_DEGREE_DAYS = 120.0
START_C = 3.1
FOUND = HISTORIES * FISH * EACH


def settled_once(organism: Organism) -> Organism:
    """Nothing settles any more; residence of 120 degree-days above 3.1 C, the last 0.3 seen."""
    return stating(
        organism,
        swimmer__establish=0.0,
        trophont__strain_factor=1.0,
        trophont__residence_cv=CV,
        trophont__visible_from=1 - UNSEEN,
    )


def run(
    organism: Organism,
    warm: float | np.ndarray,
    age: float = 0.0,
    events: tuple[TimedEvent, ...] = (),
    every_h: int = 12,
) -> lifecycle.Histories:
    hours = 24 * 24
    begin = lifecycle.InitialState({"fish": (EACH,) * 3}, age=age, steady_bottom=False, exact=True)
    water = tank_hours(body(hours=hours, warm=warm), events=events)
    moments = tuple(range(0, hours, every_h))
    return play(
        organism, water, begin, histories=HISTORIES, fixed=True, record_h=moments, hosts=(fish(),)
    )


def share_seen(result: lifecycle.Histories) -> np.ndarray:
    share: np.ndarray = result.visible.sum(axis=(0, 2)) / FOUND
    return share


def wanted(degree_days: np.ndarray, age: float) -> np.ndarray:
    """Share seen at time t of residence times S: with S (1 - 0.3 - age) <= t < S (1 - age)."""
    law = stats.gamma(1 / CV**2, scale=CV**2 * MIDDLE_DEGREE_DAYS)
    left = law.sf(degree_days / (1 - age))
    young = 1 - UNSEEN - age
    return left - law.sf(degree_days / young) if young > 0 else left


@pytest.mark.parametrize("age", [0.0, 0.4, 0.8])
@pytest.mark.parametrize("warm", ["even", "step"])
def test_visible_by_its_own_stay(age: float, warm: str) -> None:
    degrees = np.full(24 * 24, 23.1)
    if warm == "step":
        degrees[:60] = 9.1
    result = run(settled_once(deathless(white_spot())), degrees, age)
    clock = np.concatenate([[0.0], np.cumsum(degrees - START_C) / 24])
    want = wanted(clock[result.at_h], age)
    error = np.sqrt(want * (1 - want) / FOUND) + 1 / FOUND
    assert np.abs((share_seen(result) - want) / error).max() < 4
    assert share_seen(result).max() > 0.2


def test_those_killed_on_the_fish_are_seen_no_more() -> None:
    organism = settled_once(deathless(white_spot()))
    claims = dict(organism.claims)
    for key in ("lc50_mg_l", "steepness", "hours"):
        source = claims[f"kill.formalin.swimmer.{key}"]
        claims[f"kill.formalin.trophont.{key}"] = replace(source, low=None, high=None)
    organism = replace(organism, claims=claims)
    strength = claims["kill.formalin.swimmer.lc50_mg_l"].number()
    minutes = 60 * claims["kill.formalin.swimmer.hours"].number()
    hour = 4 * 24
    bath = TimedEvent(
        hour, "main", Channel.BATH, group="fish", agent="formalin", amount=strength, minutes=minutes
    )
    plain, bathed = (share_seen(run(organism, 23.1, events=events)) for events in ((), (bath,)))
    before = slice(0, hour // 12 + 1)
    assert np.array_equal(plain[before], bathed[before])
    after = slice(hour // 12 + 1, None)
    # Half are killed at the half-kill strength, whatever their age.
    error = np.sqrt(plain[after] / FOUND / 2) + 1 / FOUND
    assert np.abs((bathed[after] - plain[after] / 2) / error).max() < 4


def test_none_is_seen_on_dead_fish() -> None:
    organism = stating(settled_once(white_spot()), host__lethal_load=30.0)
    result = run(organism, 23.1)
    assert result.visible.sum() > 0
    dead = ~result.fish_alive
    assert dead.any()
    assert result.fish_visible[dead].sum() == 0
    assert (result.fish_visible <= result.fish_burden).all()


@pytest.mark.parametrize("early", [0.2, 0.5])
def test_those_near_the_end_of_their_own_stay_leave_a_dead_fish(early: float) -> None:
    # All fish die half a stay after the start; the share with little left follows from the law.
    organism = stating(
        settled_once(white_spot()),
        host__lethal_load=EACH / 4,
        host__lethal_slope=100.0,
        host__harm_growth=1.0,
        host__healing_per_d=0.0,
        host__dead_leave_early=early,
        host__dead_leave_share=1.0,
        settling__residence=1e6,
    )
    result = run(organism, 23.1, every_h=1)
    law = stats.gamma(1 / CV**2, scale=CV**2 * MIDDLE_DEGREE_DAYS)
    on_fish = result.burden.sum(axis=(0, 2))
    assert on_fish[-1] == 0
    # Every parasite that leaves, in life or at death, is on the bottom at the end.
    left = result.bottom[:, -1].sum() / FOUND
    # What a fish can bear is hardly spread here; take the hours of death from the run itself.
    # A death takes effect at the start of its hour.
    hours = np.asarray(result.at_h)
    alive = result.fish_alive.reshape(-1, hours.size, FISH).sum(axis=(0, 2)) / HISTORIES / FISH
    deaths = -np.diff(alive)
    at = hours[:-1] / 24 * (23.1 - START_C)
    want = float(np.sum(deaths * law.cdf(at / (1 - early))))
    assert left == pytest.approx(want, abs=0.01)
