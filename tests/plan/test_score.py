"""What a course came to: losses are said where figures say what kills, and only when narrow."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.tanks import body, play, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.plan.score import score
from tankside.report.plan_text import lost_words


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


def test_where_nothing_says_what_kills_no_loss_is_said() -> None:
    clean = play(white_spot(), tank_hours(body(hours=48)), start(0.0), histories=8)
    with_deaths, unknown = (
        score(clean, (), 2, deaths_known=known_deaths) for known_deaths in (True, False)
    )
    assert with_deaths.losses_useful
    assert lost_words(with_deaths) == "0 to 0 of 10"
    assert not unknown.losses_useful
    assert lost_words(unknown) == "not known: no figure says what kills"
