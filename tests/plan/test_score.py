"""What a course came to: losses are said where figures say what kills, and only when narrow."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.tanks import body, play, start, tank_hours, white_spot
from tests.plan.hand_made import histories

from tankside import lifecycle
from tankside.course import DayLine
from tankside.plan.score import score, work_per_day
from tankside.report.plan_text import lost_words


def lines(*minutes: float | None) -> list[DayLine]:
    return [DayLine(n, n, "main", "air", "", (), took) for n, took in enumerate(minutes)]


@pytest.fixture(scope="module")
def played() -> lifecycle.Histories:
    return play(white_spot(), tank_hours(body(hours=240, litres=60)), start(20.0), histories=64)


def test_losses_are_the_5_and_95_percent_of_the_runs(played: lifecycle.Histories) -> None:
    reached = score(played, (), 10, deaths_known=True)
    gone = 10 - played.alive[:, -1, 0]
    other = np.quantile(gone, (0.05, 0.95), method="inverted_cdf")
    assert (reached.lost_low, reached.lost_high) == tuple(other)
    assert reached.stock == 10
    assert reached.losses_useful is bool(other[1] - other[0] <= 6)


@pytest.mark.parametrize(
    ("left", "words"),
    [
        ([10] * 4, "0 of 10 (0 to 0)"),
        ([10, 10, 9, 4], "0 of 10 (0 to 6)"),  # 6 of 10 is just narrow enough
        ([10, 10, 9, 3], "too uncertain (0 to 7 of 10)"),
        ([2, 2, 1, 1], "8 of 10 (8 to 9)"),
    ],
)
def test_losses_wider_than_six_tenths_of_the_stock_are_too_uncertain(
    left: list[int], words: str
) -> None:
    reached = score(histories([True] * 4, left), (), 2, deaths_known=True)
    assert lost_words(reached) == words


def test_where_nothing_says_what_kills_no_loss_is_said() -> None:
    unknown = score(histories([True] * 4), (), 2, deaths_known=False)
    assert not unknown.losses_useful
    assert lost_words(unknown) == "unknown: no dose in print for these fish"


def test_runs_that_weigh_more_move_the_share_and_the_losses() -> None:
    """Weights 3, 1: the effective number is 4 x 4 / 10 = 1.6, so (0.75 x 1.6 + 0.5) / 2.6."""
    uneven = histories([True, False], [10, 5], weights=[3.0, 1.0])
    reached = score(uneven, (), 2, deaths_known=True)
    assert reached.clear.share == pytest.approx((0.75 * 1.6 + 0.5) / 2.6)
    assert (reached.lost_low, reached.lost_high) == (0, 5)


def test_work_is_minutes_a_day_over_the_steps_whose_time_is_known() -> None:
    assert work_per_day(lines(10, None, 20), 10) == 3.0
    assert work_per_day(lines(10, 0), 4) == 2.5
    assert work_per_day(lines(None, None), 10) is None
    assert work_per_day((), 10) is None
    assert work_per_day(lines(30), 0) == 30.0
