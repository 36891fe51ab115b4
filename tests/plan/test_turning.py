"""Where papers contradict each other: the best course of each side, beyond luck."""

from __future__ import annotations

import numpy as np
import pytest
from tests.lifecycle.tanks import stating, white_spot

from tankside import lifecycle
from tankside.lifecycle.results.rival_sides import RivalSide, agreed_share, rival_sides
from tankside.plan.turning import turnings

SALT = "cyst.release_salt_half_g_l"


def sides(left: int, right: int) -> dict[str, tuple[RivalSide, ...]]:
    rows = np.arange(left + right) < left
    return {SALT: (RivalSide("", None, rows), RivalSide("", None, ~rows))}


def test_a_course_that_is_best_on_one_side_only_turns_the_choice() -> None:
    dose = np.full(40, 0.4)
    salt = np.where(np.arange(40) < 24, 0.1, 0.9)
    (turned,) = turnings([dose, salt], sides(24, 16))
    assert [(side.best, side.runs) for side in turned.sides] == [(1, 24), (0, 16)]


def test_a_difference_within_luck_turns_nothing() -> None:
    chance = np.random.default_rng(1)
    dose, salt = chance.random(40), chance.random(40)
    assert turnings([dose, salt], sides(24, 16)) == ()


def test_a_side_with_a_handful_of_runs_says_nothing() -> None:
    dose, salt = np.full(40, 0.4), np.where(np.arange(40) < 33, 0.9, 0.1)
    assert turnings([dose, salt], sides(33, 7)) == ()


def test_white_spot_has_its_salt_its_heat_and_the_reading_of_two_theses_as_sides() -> None:
    draws = lifecycle.draw(white_spot(), 512, 3)
    named = rival_sides(white_spot(), draws, 512)
    assert set(named) == {SALT, "cyst.hatch_top_c", "reading"}
    assert [round(float(s.rows.mean()), 1) for s in named[SALT]] == [0.6, 0.4]
    weights = {side.name: float(side.rows.mean()) for side in named["reading"]}
    assert weights == pytest.approx({"added": 0.85, "on_the_fish": 0.15}, abs=0.02)
    assert all(np.sum([s.rows for s in among], axis=0).all() for among in named.values())


def test_a_figure_fixed_by_hand_has_no_sides() -> None:
    organism = stating(white_spot(), cyst__release_salt_half_g_l=1.2)
    assert SALT not in rival_sides(organism, lifecycle.draw(organism, 64, 3), 64)


def test_more_than_19_of_20_is_said_only_where_both_sides_say_it() -> None:
    even, among = np.ones(400), sides(340, 60)
    holds = np.arange(400) < 390  # 340 of 340 and 50 of 60
    assert agreed_share(holds, even, {}).words == "more than 19 of 20"
    assert agreed_share(holds, even, among).words == "19 of 20"
    assert agreed_share(np.ones(400), even, among).words == "more than 19 of 20"
