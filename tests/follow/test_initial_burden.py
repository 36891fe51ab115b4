"""What counts let one believe at the start: shares and ranges worked out by hand."""

from __future__ import annotations

from math import log
from types import SimpleNamespace
from typing import Any

import pytest

from tankside.follow import GroupCount, initial_states, most_affected, share_seen, start_state
from tankside.follow.initial_burden import CARRIERS, SPREAD, UNSEEN, WAVE_AGE


class Figure:
    """A claim with a low end, a middle and a high end."""

    def __init__(self, low: float, middle: float, high: float) -> None:
        self.low, self.middle, self.high = low, middle, high

    def number(self) -> float:
        return self.middle

    def bounds(self) -> tuple[float, float]:
        return self.low, self.high


class Facts(dict[str, Figure]):
    def number(self, key: str) -> float:
        return self[key].number()

    def claim(self, key: str) -> Figure:
        return self[key]


FACTS: Any = Facts({
    SPREAD: Figure(2, 3, 5), UNSEEN: Figure(1, 20, 100), CARRIERS: Figure(0.4, 0.8, 1.0),
    WAVE_AGE: Figure(0.2, 0.5, 0.8),
})  # fmt: skip
SEEN_BY_EYE = {
    "trophont.visible_from": Figure(0, 0.75, 1), "seen.body_share": Figure(0, 0.5, 1),
    "seen.eye_detection": Figure(0, 0.8, 1),
}  # fmt: skip
ON_A_SLIDE = {"seen.scrape_share": Figure(0, 0.02, 1)}


def parasite(**more: Figure) -> Any:
    """Stand in for an organism: its claims alone."""
    claims = SEEN_BY_EYE | ON_A_SLIDE | more
    return SimpleNamespace(claims=claims, known=claims.__contains__)


def without(*keys: str) -> Any:
    """Stand in for an organism that lacks some claims."""
    claims = {k: v for k, v in (SEEN_BY_EYE | ON_A_SLIDE).items() if k not in keys}
    return SimpleNamespace(claims=claims, known=claims.__contains__)


ICH = parasite()


def group(name: str) -> Any:
    """Stand in for a group of hosts: its name alone."""
    return SimpleNamespace(id=name)


A, B = group("a"), group("b")


def test_a_tenth_is_counted_where_ages_are_spread_and_four_tenths_in_one_wave() -> None:
    # 0.5 on skin x 0.8 counted x 0.25 of the stay = 0.1; in one wave 0.5 x 0.8 = 0.4
    assert share_seen(ICH, one_wave=False) == pytest.approx(0.1)
    assert share_seen(ICH, one_wave=True) == pytest.approx(0.4)


def test_without_a_printed_share_what_is_counted_is_what_is_there() -> None:
    assert share_seen(without("seen.body_share"), one_wave=False) == 1.0


def test_30_spots_stand_for_300_between_100_and_900() -> None:
    start = start_state((GroupCount("a", 30, True),), (A,), ICH, FACTS)
    assert start.per_fish["a"] == pytest.approx((100, 300, 900))
    assert start.carriers["a"] == (0.4, 0.8, 1.0)
    assert (start.age, start.steady_bottom) == (None, True)


def test_two_on_a_slide_that_shows_a_fiftieth_stand_for_100() -> None:
    start = start_state((GroupCount("a", 2, False),), (A,), ICH, FACTS)
    assert start.per_fish["a"] == pytest.approx((100 / 3, 100, 300))


def test_a_burden_is_never_believed_to_be_below_one_parasite() -> None:
    start = start_state((GroupCount("a", 0.05, True),), (A,), ICH, FACTS)
    assert start.per_fish["a"] == pytest.approx((1, 1, 1.5))


def test_the_last_day_with_something_seen_stands_and_a_later_zero_does_not_wipe_it_out() -> None:
    made = ((30, 0), (7, 1), (10, 1), (0, 2))
    counts = tuple(GroupCount("a", number, True, day) for number, day in made)
    assert start_state(counts, (A,), ICH, FACTS).per_fish["a"][1] == pytest.approx(100)
    assert start_state(counts[::-1], (A,), ICH, FACTS) == start_state(counts, (A,), ICH, FACTS)


def test_fish_that_carry_any_say_a_burden_and_a_share_where_no_number_was_counted() -> None:
    # Poisson: 1 - exp(-m) of the fish show any; 6 of 12 taken as 6 of 13 gives m = ln(13 / 7).
    half = start_state((GroupCount("a", 6, True, 0, 12),), (A,), ICH, FACTS)
    assert half.per_fish["a"][1] == pytest.approx(10 * log(13 / 7))
    assert half.carriers["a"] == pytest.approx((6 / 13, 0.8, 1))
    every = start_state((GroupCount("a", 12, True, 0, 12),), (A,), ICH, FACTS)
    assert every.per_fish["a"][1] == pytest.approx(10 * log(13))
    assert every.carriers["a"] == pytest.approx((12 / 13, 12 / 13, 1))
    number = (GroupCount("a", 30, True), GroupCount("a", 12, True, 3, 12))
    assert start_state(number, (A,), ICH, FACTS).per_fish["a"][1] == pytest.approx(300)


def test_a_slide_that_says_no_share_leaves_the_count_by_eye_standing() -> None:
    counts = (GroupCount("a", 30, True), GroupCount("a", 4, False))
    start = start_state(counts, (A,), without("seen.scrape_share"), FACTS)
    assert start.per_fish["a"][1] == pytest.approx(300)


def test_a_group_nobody_counted_carries_up_to_what_the_most_affected_carries() -> None:
    start = start_state((GroupCount("a", 30, True),), (A, B), ICH, FACTS)
    assert start.per_fish["b"] == pytest.approx((1, 20, 300))
    few = start_state((GroupCount("a", 1, True),), (A, B), ICH, FACTS)
    assert few.per_fish["b"] == pytest.approx((1, 20, 20))
    nobody = start_state((), (A, B), ICH, FACTS)
    assert nobody.per_fish == {"a": (1, 20, 100), "b": (1, 20, 100)}


def test_an_old_outbreak_and_waves_of_three_ages_are_tried() -> None:
    starts = initial_states((GroupCount("a", 30, True),), (A,), ICH, FACTS)
    assert [start.age for start in starts] == [None, 0.2, 0.5, 0.8]
    assert [start.steady_bottom for start in starts] == [True, False, False, False]
    assert starts[1].per_fish["a"][1] == pytest.approx(75)  # 30 / 0.4


def test_counted_groups_come_first_then_the_one_believed_to_carry_more() -> None:
    c = group("c")
    counts = (GroupCount("a", 1, True), GroupCount("b", 30, True), GroupCount("c", 0, True))
    start = start_state(counts, (A, B, c), ICH, FACTS)
    assert start.per_fish["c"][1] > start.per_fish["a"][1]
    assert most_affected(counts, (c, A, B), start) == ("b", "a", "c")
