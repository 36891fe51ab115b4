"""Rank correlations against scipy, the bar for chance, and what may count as a cause."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from tests.lifecycle.tanks import body, fish, play, start, tank_hours, white_spot

from tankside import lifecycle
from tankside.lifecycle.results.first_passage import day_of_clearance
from tankside.lifecycle.results.sensitivity import (
    columns_in_use,
    partial_correlations,
    rank_correlation,
    sensitivities,
)

EVEN = np.full(200, 1 / 200)


@given(st.integers(0, 2**32 - 1), st.floats(-3, 3))
def test_rank_correlation_is_that_of_scipy(seed: int, slope: float) -> None:
    rng = np.random.default_rng(seed)
    values = rng.normal(size=200)
    outcome = np.round(slope * values + rng.normal(size=200))  # with ties
    outcome[rng.random(200) < 0.2] = np.inf  # what never happens ties at the top
    other = stats.spearmanr(values, outcome).statistic
    assert rank_correlation(values, outcome, EVEN) == pytest.approx(other, abs=1e-12)


def test_a_weight_of_nothing_is_a_run_left_out_of_the_mean() -> None:
    rng = np.random.default_rng(5)
    values, outcome = rng.normal(size=200), rng.normal(size=200)
    ranks = np.argsort(np.argsort(values)), np.argsort(np.argsort(outcome))
    kept = np.arange(200) < 150
    other = np.corrcoef(ranks[0][kept], ranks[1][kept])[0, 1]
    assert rank_correlation(values, outcome, kept / 150) == pytest.approx(other, abs=1e-12)


def test_without_variation_there_is_no_correlation() -> None:
    assert rank_correlation(np.ones(200), np.arange(200.0), EVEN) == 0


def test_chance_alone_is_called_chance_19_times_in_20() -> None:
    rng = np.random.default_rng(1)
    false = 0
    for _ in range(400):
        columns = {str(k): rng.normal(size=200) for k in range(30)}
        false += any(i.beyond_chance for i in sensitivities(columns, rng.normal(size=200), EVEN))
    # At most 5 % by Bonferroni; 3 binomial standard errors of 400 draws above.
    assert false / 400 <= 0.05 + 3 * np.sqrt(0.05 * 0.95 / 400)


def test_a_cause_is_found_and_stands_first() -> None:
    rng = np.random.default_rng(2)
    columns = {str(k): rng.normal(size=200) for k in range(30)}
    ranked = sensitivities(columns, -columns["7"] + rng.normal(size=200), EVEN)
    assert ranked[0].key == "7"
    assert ranked[0].beyond_chance
    assert ranked[0].correlation < 0
    assert [abs(i.correlation) for i in ranked] == sorted(
        (abs(i.correlation) for i in ranked), reverse=True
    )


def test_a_partial_correlation_is_that_of_what_is_left_after_the_others() -> None:
    rng = np.random.default_rng(3)
    columns = [rng.normal(size=200) for _ in range(4)]
    columns[1] = 0.6 * columns[0] + 0.8 * columns[1]
    outcome = columns[0] + rng.normal(size=200)
    ranks = [stats.rankdata(values) for values in (*columns, outcome)]
    for j, partial in enumerate(partial_correlations(columns, outcome, EVEN)):
        others = np.column_stack([np.ones(200), *(r for k, r in enumerate(ranks[:4]) if k != j)])
        left = [r - others @ np.linalg.lstsq(others, r)[0] for r in (ranks[j], ranks[4])]
        assert partial == pytest.approx(np.corrcoef(*left)[0, 1], abs=1e-9)


def test_what_only_goes_along_with_a_cause_is_not_called_one() -> None:
    rng = np.random.default_rng(4)
    cause = rng.normal(size=400)
    columns = {"cause": cause, "along": 0.6 * cause + 0.8 * rng.normal(size=400)}
    columns |= {str(k): rng.normal(size=400) for k in range(10)}
    by_key = {
        row.key: row
        for row in sensitivities(columns, cause + rng.normal(size=400), np.full(400, 1 / 400))
    }
    assert by_key["along"].correlation > 0.3
    assert by_key["cause"].beyond_chance
    assert not by_key["along"].beyond_chance


def test_where_every_run_ends_alike_nothing_goes_with_it() -> None:
    ranked = sensitivities({"a": np.arange(200.0)}, np.full(200, np.inf), EVEN)
    assert [(i.key, i.correlation, i.beyond_chance) for i in ranked] == [("a", 0.0, False)]


def test_what_nothing_calls_upon_is_not_asked() -> None:
    plain = tank_hours(body(hours=48))
    run = play(white_spot(), plain, start(), histories=8)
    columns = columns_in_use(lifecycle.compile(white_spot(), plain, (fish(),)), run)
    unasked = ("swimmer.filter_catch", "swimmer.uv_kill", "cyst.release_salt_half_g_l",
               "water.in_bracket", "action.share_in_range")  # fmt: skip
    assert not set(unasked) & set(columns)
    salted = tank_hours(body(hours=48, salt=1.0))
    columns = columns_in_use(lifecycle.compile(white_spot(), salted, (fish(),)), run)
    assert "cyst.release_salt_half_g_l" in columns


def test_the_salt_at_which_release_fails_decides_a_salt_course() -> None:
    hours = 600
    water = tank_hours(body(hours=hours, litres=300, salt=1.3))
    run = play(white_spot(), water, start(8.0), histories=512)
    compiled = lifecycle.compile(white_spot(), water, (fish(),))
    columns = columns_in_use(compiled, run)
    assert not any(key.startswith(("kill.", "seen.")) for key in columns)
    ranked = sensitivities(columns, day_of_clearance(run), run.weights)
    strongest = {i.key: i.correlation for i in ranked[:3] if i.beyond_chance}
    # Release fails from here on: the higher, the later (or never) is the tank clear.
    assert strongest["cyst.release_salt_half_g_l"] > 0


def test_an_agent_in_the_water_is_asked_by_its_own_figures() -> None:
    water = tank_hours(body(hours=48, residue={"formalin": np.full(48, 1.0)}))
    run = play(white_spot(), water, start(), histories=8)
    columns = columns_in_use(lifecycle.compile(white_spot(), water, (fish(),)), run)
    kills = {key.split(".")[1] for key in columns if key.startswith("kill.")}
    assert kills == {"formalin"}
