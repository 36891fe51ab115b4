"""Saying a share: never certainty, the right number of twenty, an honest standard error."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.lifecycle.results.of_twenty import of_twenty, opposite


def test_no_run_cleared_is_said_as_fewer_than_one_never_as_none() -> None:
    chance = of_twenty(0, 1000)
    assert chance.words == "fewer than 1 of 20"
    assert 0 < chance.share < 0.001


def test_all_runs_cleared_is_said_as_more_than_nineteen_never_as_all() -> None:
    chance = of_twenty(1000, 1000)
    assert chance.words == "more than 19 of 20"
    assert chance.number == 19


def test_a_share_in_between_is_said_as_the_nearest_whole_number() -> None:
    assert of_twenty(850, 1000).words == "17 of 20"


def test_a_column_of_runs_never_says_0_or_20() -> None:
    assert [of_twenty(hits, 1000).short for hits in (0, 350, 1000)] == ["<1", "7", ">19"]


@pytest.mark.parametrize(("hits", "runs"), [(10, 40), (500, 1000), (1, 64)])
def test_standard_error_is_that_of_a_binomial_share(hits: int, runs: int) -> None:
    # Textbook: se(p) = sqrt(p (1 - p) / n).
    share = hits / runs
    assert of_twenty(hits, runs).standard_error == pytest.approx(
        sqrt(share * (1 - share) / runs), rel=0.25
    )


@given(st.integers(0, 10_000), st.integers(0, 10_000))
def test_neither_end_is_ever_reached(hits: int, more: int) -> None:
    chance = of_twenty(hits, hits + more)
    assert 0 < chance.share < 1
    assert 1 <= chance.number <= 19
    assert not chance.words.startswith(("0 ", "20 "))


@given(st.integers(0, 1000), st.integers(1, 1000))
def test_the_opposite_says_the_rest_of_the_runs(hits: int, more: int) -> None:
    chance = of_twenty(hits, hits + more)
    assert chance.share + opposite(chance).share == pytest.approx(1)


@given(st.integers(0, 2000), st.integers(0, 2000))
def test_the_number_is_the_nearest_and_both_outcomes_make_twenty(hits: int, more: int) -> None:
    chance = of_twenty(hits, hits + more)
    assert chance.number + opposite(chance).number == 20
    if 1 <= chance.share * 20 <= 19:
        assert abs(chance.number - chance.share * 20) <= 0.5
