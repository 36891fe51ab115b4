"""What histories come to, day by day: ordered, defined where fish live, seen is not the burden."""

from __future__ import annotations

from dataclasses import astuple

import numpy as np
import pytest
from tests.lifecycle.tanks import body, deathless, play, start, stating, tank_hours, white_spot

from tankside import lifecycle
from tankside.lifecycle.results.endpoints import clear_at
from tankside.lifecycle.results.outcome import (
    burden_per_fish,
    counted_on_worst,
    daily,
    spread_where,
    twenty_runs,
)

HOURS = 480


@pytest.fixture(scope="module")
def outbreak() -> lifecycle.Histories:
    water = tank_hours(body(hours=HOURS, litres=60))
    return play(white_spot(), water, start(40.0), histories=256)


def test_quantiles_are_ordered_on_every_day(outbreak: lifecycle.Histories) -> None:
    for day in daily(outbreak, "spots"):
        rows = (day.burden, day.counted, day.countable, day.on_fish, day.bottom, day.swimmers)
        for quantiles in (*rows, day.all_alive, *day.alive.values()):
            if quantiles is not None:
                assert list(astuple(quantiles)) == sorted(astuple(quantiles))


def test_the_three_ways_to_stand_share_out_all_runs(outbreak: lifecycle.Histories) -> None:
    for day in daily(outbreak, "spots"):
        # Each is (hits + 1/2) / (runs + 1), so the three together hold half a run too much.
        total = day.clear.share + day.left.share + day.no_fish.share
        assert total == pytest.approx((256 + 3 / 2) / 257)


def test_quantiles_are_those_of_numpy_on_equal_weights(outbreak: lifecycle.Histories) -> None:
    day = daily(outbreak, "spots")[5]
    levels = (0.05, 0.25, 0.5, 0.75, 0.95)
    other = np.quantile(outbreak.bottom[:, 5], levels, method="inverted_cdf")
    assert astuple(day.bottom) == tuple(other)
    assert (day.hour, day.day) == (120, 5)


def test_burden_is_told_over_the_runs_in_which_a_fish_lives(
    outbreak: lifecycle.Histories,
) -> None:
    gone = outbreak.alive[:, -1].sum(axis=-1) == 0
    assert 0 < gone.sum() < gone.size  # else this tank tests nothing
    each = burden_per_fish(outbreak, -1)
    assert np.isnan(each[gone]).all()
    assert np.isfinite(each[~gone]).all()
    for how in ("spots", "scrape"):
        assert np.isnan(counted_on_worst(outbreak, -1, how)).tolist() == gone.tolist()
    assert spread_where(np.full(3, np.nan), np.ones(3)) is None


def test_what_is_counted_is_less_than_what_is_on_the_worst_fish(
    outbreak: lifecycle.Histories,
) -> None:
    counted = counted_on_worst(outbreak, 0, "spots")
    assert (counted <= outbreak.worst_visible[:, 0].max(axis=-1)).all()
    assert (counted < outbreak.fish_burden[:, 0].max(axis=-1)).all()
    countable = daily(outbreak, "spots")[0].countable
    assert countable is not None
    assert 0 < countable.middle < 1


def test_a_share_on_the_gills_takes_spots_away_and_no_parasite() -> None:
    water = tank_hours(body(hours=96))
    skin, gills = (
        play(stating(white_spot(), **{"seen.body_share": share}), water, start(30.0), fixed=True)
        for share in (0.9, 0.3)
    )
    assert np.array_equal(skin.burden, gills.burden)
    assert counted_on_worst(gills, 0, "spots") == pytest.approx(
        counted_on_worst(skin, 0, "spots") / 3
    )


def test_more_kill_never_means_fewer_runs_clear_under_the_same_luck() -> None:
    # Half-kill strengths of 40, 10, 2.5 and 0.6 mg/L in water that holds 2 mg/L throughout.
    water = tank_hours(body(hours=HOURS, residue={"formalin": np.full(HOURS, 2.0)}))
    cleared = []
    for half in (40.0, 10.0, 2.5, 0.6):
        organism = stating(deathless(white_spot()), **{"kill.formalin.swimmer.lc50_mg_l": half})
        cleared.append(clear_at(play(organism, water, start(5.0), histories=256)))
    counts = [int(flags.sum()) for flags in cleared]
    assert counts == sorted(counts)
    assert counts[0] + 50 < counts[-1]


def test_twenty_runs_stand_for_all_of_them() -> None:
    days = np.concatenate([np.arange(15.0), np.full(5, np.inf)])
    assert twenty_runs(np.repeat(days, 16), np.full(320, 1 / 256)) == tuple(days)
