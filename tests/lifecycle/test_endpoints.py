"""How a run stands at the end, and which intervals are narrow enough to be shown."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tankside.lifecycle.results.endpoints import (
    clear_at,
    left_at,
    living,
    lost,
    useful,
    useful_time,
)


def histories() -> Any:
    """Three runs over two moments: clear with fish, parasites left, no fish left."""
    alive = np.asarray([[[2, 3], [2, 2]], [[2, 3], [0, 1]], [[2, 3], [0, 0]]])
    clear = np.asarray([[False, True], [False, False], [False, True]])
    return SimpleNamespace(alive=alive, clear=clear)


def test_every_run_ends_in_exactly_one_way() -> None:
    run = histories()
    ways = np.stack([clear_at(run), left_at(run), ~living(run)])
    assert ways.sum(axis=0).tolist() == [1, 1, 1]
    assert clear_at(run).tolist() == [True, False, False]
    assert left_at(run).tolist() == [False, True, False]


def test_a_tank_without_fish_is_not_called_clear() -> None:
    run = histories()
    assert run.clear[2, -1]
    assert not clear_at(run)[2]


def test_fish_lost_are_counted_over_all_groups() -> None:
    assert lost(histories()).tolist() == [1, 4, 5]
    assert lost(histories(), 0).tolist() == [0, 0, 0]


# The rule by which published experiments are judged: 60 points, or a factor of three in time.
@pytest.mark.parametrize(
    ("low", "high", "stock", "shown"), [(0, 12, 20, True), (0, 13, 20, False), (20, 20, 20, True)]
)
def test_losses_are_shown_up_to_60_points_of_the_stock(
    low: float, high: float, stock: int, shown: bool
) -> None:
    assert useful(low, high, stock) is shown


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [(4, 12, True), (4, 12.1, False), (0, 1, True), (0, 2, False), (9, np.inf, False)],
)
def test_times_are_shown_up_to_a_factor_of_three(low: float, high: float, shown: bool) -> None:
    assert useful_time(low, high) is shown
