"""The advice: go on, look, count; a stop is never advised, not even when all is clean."""

from __future__ import annotations

import itertools

import pytest

from tankside.follow import Advice, DecisionInputs, Fit, NamedDate, NotBefore, decide, fit_of
from tankside.lifecycle import OfTwenty, of_twenty

LEFT_OUT = "Settling is not in it."
WAIT = NotBefore(12, 4, 7.24, 25.5, LEFT_OUT, (NamedDate(12, "one cycle is 7.2 days"),))
FEW, MANY, RARE = of_twenty(2, 1000), of_twenty(700, 1000), of_twenty(200, 1000)


def standing(
    today: int,
    *,
    seen: bool = False,
    fit: Fit = Fit.FITS,
    wait: NotBefore = WAIT,
    returns: OfTwenty = MANY,
    dead: int = 0,
    down: bool = False,
) -> DecisionInputs:
    return DecisionInputs(today, today, seen, wait, fit, FEW, returns, dead, 3, down)


def test_no_spots_on_day_5_means_go_on_because_zero_means_little() -> None:
    decided = decide(standing(5))
    assert decided.advice is Advice.GO_ON
    assert any("means little" in reason for reason in decided.reasons)


def test_the_chance_of_return_stands_beside_the_advice() -> None:
    assert any("14 of 20" in reason for reason in decide(standing(5)).reasons)


def test_a_clean_look_on_the_day_may_be_discussed_and_no_more() -> None:
    decided = decide(standing(12, returns=RARE))
    assert decided.advice is Advice.MAY_DISCUSS
    assert "go on" in str(decided.advice)


def test_a_clean_look_before_the_day_does_not_count_for_it() -> None:
    early = DecisionInputs(13, 11, False, WAIT, Fit.FITS, FEW, FEW)
    decided = decide(early)
    assert decided.advice is Advice.GO_ON
    assert any("count on or after that day" in reason for reason in decided.reasons)


def test_counts_that_do_not_fit_ask_for_another_look_first() -> None:
    assert decide(standing(12, fit=Fit.OUTSIDE)).advice is Advice.LOOK_AGAIN


def test_without_a_count_the_course_cannot_be_judged() -> None:
    nothing = NotBefore(None, None, 7.24, 25.5, LEFT_OUT)
    decided = decide(DecisionInputs(3, None, False, nothing, Fit.NOT_JUDGED, None, None))
    assert decided.advice is Advice.COUNT_FIRST


@pytest.mark.parametrize(
    ("today", "seen", "fit"),
    list(itertools.product((0, 5, 11, 12, 30), (True, False), tuple(Fit))),
)
def test_stop_is_never_the_advice(today: int, seen: bool, fit: Fit) -> None:
    advice = str(decide(standing(today, seen=seen, fit=fit)).advice)
    assert not advice.startswith("stop")
    assert advice in {str(advice) for advice in Advice}


def test_a_stop_after_which_it_comes_back_more_often_than_not_is_none_to_discuss() -> None:
    decided = decide(standing(12, returns=MANY))
    assert decided.advice is Advice.GO_ON
    assert any("14 of 20" in reason for reason in decided.reasons)


def test_no_stop_is_discussed_while_animals_die() -> None:
    decided = decide(standing(12, returns=RARE, dead=1))
    assert decided.advice is Advice.GO_ON
    assert any("while animals die" in reason for reason in decided.reasons)


def test_fewer_parasites_and_more_deaths_send_back_to_the_cause() -> None:
    assert decide(standing(5, dead=2, down=True)).advice is Advice.FIND_CAUSE
    assert decide(standing(5, dead=2)).advice is Advice.GO_ON
    assert decide(standing(5, dead=1, down=True)).advice is Advice.GO_ON


def test_runs_alone_never_call_clear_what_was_seen_last() -> None:
    clear = of_twenty(990, 1000)
    seen = DecisionInputs(30, 8, True, WAIT, Fit.FITS, clear, RARE)
    assert not decide(seen).odds_said
    assert not any("of 20" in reason for reason in decide(seen).reasons)


@pytest.mark.parametrize(
    ("judged", "trust", "outside", "fit"),
    [(0, 1.0, False, Fit.NOT_JUDGED), (3, 1.0, False, Fit.FITS), (3, 0.5, False, Fit.FITS),
     (3, 0.09, False, Fit.LOOSELY), (3, 1.0, True, Fit.OUTSIDE)],
)  # fmt: skip
def test_counts_are_said_to_fit_only_when_taken_at_half_their_word_or_more(
    judged: int, trust: float, outside: bool, fit: Fit
) -> None:
    assert fit_of(judged, trust, outside=outside) is fit
