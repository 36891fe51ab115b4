"""Relations that hold whatever the figures are: mass, still water, more kill, shifts in time."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from tests.lifecycle.tanks import (
    body,
    deathless,
    fish,
    play,
    start,
    stating,
    tank_hours,
    white_spot,
    without,
)
from tests.lifecycle.test_organisms import RUNNING, organism

from tankside import lifecycle
from tankside.bench.kernel_models import model
from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import Channel, TankHours, TimedEvent
from tankside.lifecycle.kernel.positions import Work

HOURS = 480
COUNTS = ("burden", "visible", "bottom", "swimmers", "alive", "infested")


def salt_of(name: str) -> float:
    return 33.0 if organism(name).water == "marine" else 0.0


def daily(channel: Channel, share: float, hours: int, first: int = 12) -> tuple[TimedEvent, ...]:
    return tuple(
        TimedEvent(h, "main", channel, share, share, share) for h in range(first, hours, 24)
    )


def everyone(histories: lifecycle.Histories) -> np.ndarray:
    alive: np.ndarray = histories.burden.sum(axis=2) + histories.bottom + histories.swimmers
    return alive


@pytest.mark.parametrize("name", RUNNING)
def test_every_count_is_a_count_at_every_moment(name: str) -> None:  # M1
    events = daily(Channel.BOTTOM_REMOVED, 0.5, HOURS) + daily(Channel.WATER_REMOVED, 0.3, HOURS)
    water = tank_hours(
        body(hours=HOURS, litres=20, salt=salt_of(name), exchange=0.1), events=events
    )
    histories = play(organism(name), water, start(40.0))
    for count in COUNTS:
        assert getattr(histories, count).min() >= 0, count
        assert np.issubdtype(getattr(histories, count).dtype, np.integer), count
    assert histories.alive.max() <= 10
    assert (np.diff(histories.alive, axis=1) <= 0).all()
    assert (histories.infested <= histories.alive).all()
    assert np.array_equal(histories.clear, everyone(histories) == 0)


@pytest.mark.parametrize("lethal", [1e9, 5.0])
def test_nobody_is_lost_or_made_on_the_way_round(lethal: float) -> None:  # M2
    # One young to a cyst, swimmers that never die, the dead set all free: the number stays.
    closed = stating(
        model("A").organism,
        cyst__offspring=1,
        swimmer__life=1e12,
        swimmer__search_l_per_h=0.002,
        host__lethal_burden=lethal,
        host__dead_leave_share=1.0,
    )
    begin = lifecycle.InitialState({"fish": (20.0,) * 3}, age=0.0, steady_bottom=False, exact=True)
    water = tank_hours(body(hours=1200, litres=1.0))
    histories = play(closed, water, begin, hosts=(fish(10, weight=1.0),), fixed=True)
    assert (everyone(histories) == 200).all()
    for place in (histories.bottom, histories.swimmers, histories.burden.sum(axis=2)):
        assert np.ptp(place) > 20
    assert (histories.alive[:, -1] < 10).mean() == (1.0 if lethal < 10 else 0.0)


def test_what_settles_and_leaves_is_what_the_burden_gained() -> None:  # M2
    frozen = model("A", days=12)
    undying = without(frozen.organism, "host.lethal", "host.death")
    draws = lifecycle.draw(undying, 64, 1, fixed=True)
    compiled = lifecycle.compile(undying, frozen.tank_hours, frozen.hosts)
    histories = lifecycle.run(compiled, frozen.start, draws, 64, 3)
    settled, fallen = (histories.work[:, k] for k in (Work.LANDINGS, Work.BOTTOM_ENTRIES))
    assert np.array_equal(histories.burden[:, -1].sum(axis=1), 50 + settled - fallen)


def test_still_water_keeps_its_swimmers_and_new_water_has_none() -> None:  # M3
    immortal = stating(without(model("A").organism, "host."), swimmer__life=1e12)
    begin = lifecycle.InitialState({}, swimmers={"main": (900.0,) * 3}, steady_bottom=False)
    everything = (TimedEvent(50, "main", Channel.WATER_REMOVED, 1.0, 1.0, 1.0),)
    for events, left in (((), 1), (everything, 0)):
        water = tank_hours(body(hours=96, litres=1e12), events=events)
        swimmers = play(immortal, water, begin, fixed=True, record_h=(0, 49, 51, 96)).swimmers
        assert np.array_equal(swimmers[:, 0], swimmers[:, 1])
        assert np.array_equal(swimmers[:, 2], swimmers[:, 1] * left)
        assert np.array_equal(swimmers[:, 3], swimmers[:, 2])


@pytest.mark.parametrize("kind", ["agent", "bottom", "water", "flow"])
def test_more_kill_never_leaves_more_in_mean(kind: str) -> None:  # M4, with immunity
    # Where fish may die, fewer parasites at first leave more fish to carry them later.
    undying = without(white_spot(), "host.lethal", "host.death")
    before: np.ndarray | None = None
    for part in (0.0, 0.3, 0.6, 0.9):
        events: tuple[TimedEvent, ...] = ()
        if kind in ("bottom", "water"):
            channel = Channel.BOTTOM_REMOVED if kind == "bottom" else Channel.WATER_REMOVED
            events = daily(channel, part, 360)
        here = body(
            hours=360,
            litres=200,
            residue={"formalin": np.full(360, 20 * part)} if kind == "agent" else None,
            exchange=part if kind == "flow" else 0.0,
        )
        histories = play(undying, tank_hours(here, events=events), start(30.0), histories=512)
        now = (histories.burden.sum(axis=2) + histories.bottom).astype(float)
        if before is not None:
            more = now - before
            error = more.std(axis=0) / np.sqrt(512)
            assert (more.mean(axis=0) <= 4 * error).all(), part
            assert now.sum() < before.sum(), part
        before = now


@pytest.mark.parametrize("name", RUNNING)
def test_acts_of_no_strength_change_no_path(name: str) -> None:  # M5
    events = daily(Channel.BOTTOM_REMOVED, 0.0, HOURS) + daily(Channel.WATER_REMOVED, 0.0, HOURS)
    none = {"formalin": np.zeros(HOURS)}
    here = body(hours=HOURS, salt=salt_of(name))
    plain = play(organism(name), tank_hours(here), start(), histories=64)
    idle = body(hours=HOURS, salt=salt_of(name), residue=none)
    acted = play(organism(name), tank_hours(idle, events=events), start(), histories=64)
    for count in COUNTS:
        assert np.array_equal(getattr(plain, count), getattr(acted, count)), count


@pytest.mark.parametrize("name", RUNNING)
def test_a_clean_tank_stays_clean(name: str) -> None:  # M6
    events = daily(Channel.WATER_REMOVED, 0.3, HOURS)
    water = tank_hours(body(hours=HOURS, salt=salt_of(name)), events=events)
    histories = play(organism(name), water, start(0.0), histories=64)
    assert everyone(histories).sum() == 0
    assert histories.clear.all()


@pytest.mark.parametrize("name", RUNNING)
def test_no_stage_passes_slower_when_warmer(name: str) -> None:  # M8
    rows = [lifecycle.stage_durations(organism(name), warm) for warm in (12.0, 16.0, 20.0, 24.0)]
    for colder, warmer in pairwise(rows):
        for part in ("on_fish", "bottom", "cycle"):
            before, after = (np.asarray(getattr(water, part)) for water in (colder, warmer))
            assert (after <= before * (1 + 1e-12)).all(), part


def test_cysts_release_sooner_when_warmer() -> None:  # M8
    young = stating(deathless(white_spot()), swimmer__establish=0.0)
    begin = lifecycle.InitialState({}, bottom={"main": (50.0,) * 3}, steady_bottom=False)
    left = [
        play(young, tank_hours(body(hours=HOURS, warm=warm)), begin).bottom.sum()
        for warm in (12.0, 16.0, 20.0, 24.0)
    ]
    assert left == sorted(left, reverse=True)
    assert left[0] > left[-1]


def test_unknown_lies_between_present_and_absent() -> None:  # M16
    def carrying(low: float, high: float) -> np.ndarray:
        some = (low, (low + high) / 2, high)
        begin = lifecycle.InitialState({"fish": (10.0,) * 3}, carriers={"fish": some})
        histories = play(white_spot(), tank_hours(body(hours=24)), begin, histories=512)
        share: np.ndarray = histories.infested[:, 0].sum(axis=1) / 10
        return share

    absent, unknown, present = carrying(0.0, 0.0), carrying(0.0, 1.0), carrying(1.0, 1.0)
    assert (absent == 0).all()
    assert (present == 1).all()
    assert unknown.mean() == pytest.approx(0.5, abs=4 * unknown.std() / np.sqrt(512))
    assert (unknown == 0).any()
    assert (unknown == 1).any()


def cold_first(days: int, hours: int) -> tuple[TankHours, tuple[int, ...]]:
    """Return water too cold for anything to pass for some days, then warm; and when to look."""
    shift = 24 * days
    warm = np.where(np.arange(hours + shift) < shift, 3.0, 24.0)
    events = daily(Channel.BOTTOM_REMOVED, 0.5, hours + shift, 12 + shift)
    moments = tuple(range(shift, hours + shift + 1, 24))
    return tank_hours(body(hours=hours + shift, warm=warm), events=events), moments


def from_cold(found_in: Organism, days: int, histories: int) -> lifecycle.Histories:
    water, moments = cold_first(days, HOURS)
    begin = start(20.0, age=0.0, steady_bottom=False, exact=True)
    return play(found_in, water, begin, histories=histories, record_h=moments)


def test_a_later_start_moves_every_date_by_as_much() -> None:  # M19
    # Below 3.1 C nothing passes, so nine cold days first are nine days' delay: the same path.
    plain = without(deathless(white_spot()), "trophont.heat", "trophont.cold")
    settled = stating(plain, swimmer__establish=0.0)
    now, later = (from_cold(settled, days, 128) for days in (0, 9))
    assert np.array_equal(now.burden, later.burden)
    assert (now.burden[:, 0] > 0).any()
    assert (now.burden[:, -1] == 0).any()
    # With new generations the draws of later hours differ, the law does not.
    now, later = (from_cold(plain, days, 512) for days in (0, 9))
    first, second = (everyone(run).astype(float) for run in (now, later))
    error = np.sqrt((first.var(axis=0) + second.var(axis=0)) / 512)
    z = (first.mean(axis=0) - second.mean(axis=0)) / np.where(error > 0, error, 1.0)
    assert np.abs(z).max() < 4
