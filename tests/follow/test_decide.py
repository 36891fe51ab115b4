"""The advice: go on, look, count; a stop is never advised, not even when all is clean."""

from __future__ import annotations

import itertools

import pytest

from tankside.follow import Advice, DecisionInputs, NotBefore, decide
from tankside.lifecycle import of_twenty

CYCLE = ("one cycle from release to release", "Settling is not in it.")
WAIT = NotBefore(12, 4, 7.24, 25.5, *CYCLE)
FEW, MANY = of_twenty(2, 1000), of_twenty(700, 1000)


def standing(
    today: int, *, seen: bool = False, unexpected: bool = False, wait: NotBefore = WAIT
) -> DecisionInputs:
    return DecisionInputs(today, today, seen, wait, unexpected, FEW, MANY)


def test_no_spots_on_day_5_means_go_on_because_zero_means_little() -> None:
    decided = decide(standing(5))
    assert decided.advice is Advice.GO_ON
    assert any("means little" in reason for reason in decided.reasons)


def test_the_chance_of_return_stands_beside_the_advice() -> None:
    assert any("14 of 20" in reason for reason in decide(standing(5)).reasons)


def test_a_clean_look_on_the_day_may_be_discussed_and_no_more() -> None:
    decided = decide(standing(12))
    assert decided.advice is Advice.MAY_DISCUSS
    assert "go on" in str(decided.advice)


def test_a_clean_look_before_the_day_does_not_count_for_it() -> None:
    early = DecisionInputs(13, 11, False, WAIT, False, FEW, FEW)
    decided = decide(early)
    assert decided.advice is Advice.GO_ON
    assert any("count on or after that day" in reason for reason in decided.reasons)


def test_counts_that_do_not_fit_ask_for_another_look_first() -> None:
    assert decide(standing(12, unexpected=True)).advice is Advice.LOOK_AGAIN


def test_without_a_count_the_course_cannot_be_judged() -> None:
    nothing = NotBefore(None, None, 7.24, 25.5, *CYCLE)
    decided = decide(DecisionInputs(3, None, False, nothing, False, None, None))
    assert decided.advice is Advice.COUNT_FIRST


@pytest.mark.parametrize(
    ("today", "seen", "unexpected"),
    list(itertools.product((0, 5, 11, 12, 30), (True, False), (True, False))),
)
def test_stop_is_never_the_advice(today: int, seen: bool, unexpected: bool) -> None:
    advice = str(decide(standing(today, seen=seen, unexpected=unexpected)).advice)
    assert not advice.startswith("stop")
    assert advice in {str(advice) for advice in Advice}
