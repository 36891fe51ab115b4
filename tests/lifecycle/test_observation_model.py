"""Counts weigh histories; seeing is not the truth."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats
from tests.lifecycle.tanks import body, play, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.errors import BadInput
from tankside.lifecycle.results.observation_model import negative_binomial_log


def weights(histories: lifecycle.Histories, *counts: lifecycle.Sighting) -> np.ndarray:
    score = lifecycle.observe(histories, counts)
    likely = np.exp(score - score.max())
    weights: np.ndarray = likely / likely.sum()
    return weights


@pytest.fixture(scope="module")
def outbreak() -> lifecycle.Histories:
    water = tank_hours(body(hours=144, litres=200))
    begin = lifecycle.InitialState({"fish": (1.0, 8.0, 60.0)})
    return play(white_spot(), water, begin, histories=512, record_h=(0, 48, 96, 144))


def test_log_probability_is_that_of_the_reference_library() -> None:
    for count, mean, size in ((0, 3.0, 2.0), (7, 3.0, 2.0), (2, 0.02, 0.7)):
        got = negative_binomial_log(np.asarray(count), np.asarray(mean), np.asarray(size))
        assert got == pytest.approx(stats.nbinom(size, size / (size + mean)).logpmf(count))


def test_a_count_of_six_instead_of_none_changes_what_is_believed_on_the_bottom(
    outbreak: lifecycle.Histories,
) -> None:
    believed = [
        float(
            weights(outbreak, lifecycle.Sighting(96, "fish", "spots", (n,) * 3))
            @ outbreak.bottom[:, 2]
        )
        for n in (0, 6)
    ]
    assert believed[1] > 2 * believed[0]


def test_none_seen_leaves_parasites_possible(outbreak: lifecycle.Histories) -> None:
    seen_none = lifecycle.Sighting(48, "fish", "spots", (0,) * 5)
    carried = weights(outbreak, seen_none) @ (outbreak.burden[:, 1, 0] > 0)
    assert carried > 0.3


def test_more_looks_are_more_sure(outbreak: lifecycle.Histories) -> None:
    single, five = (
        weights(outbreak, lifecycle.Sighting(96, "fish", "spots", (0,) * n)) for n in (1, 5)
    )
    assert five @ outbreak.burden[:, 2, 0] < single @ outbreak.burden[:, 2, 0]


def test_deaths_speak_too(outbreak: lifecycle.Histories) -> None:
    many = lifecycle.Sighting(144, "fish", "deaths", (5,), since_h=0)
    dead = 10 - outbreak.alive[:, 3, 0]
    assert weights(outbreak, many) @ dead > dead.mean()


def test_an_unknown_group_is_refused(outbreak: lifecycle.Histories) -> None:
    with pytest.raises(BadInput, match="E-FU-01"):
        lifecycle.observe(outbreak, (lifecycle.Sighting(0, "cats", "spots", (1,)),))


def test_start_is_even_when_nothing_is_seen() -> None:
    result = play(white_spot(), tank_hours(body(hours=24)), start(5.0))
    assert np.isfinite(lifecycle.observe(result, ())).all()
