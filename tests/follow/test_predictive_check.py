"""Each count foretold from the counts before it, held to the Poisson law of another library.

Histories are hand-made: in each a count is Poisson about one known mean, so that what may be
expected is a mixture of Poisson laws that scipy works out by itself. Above ten not every
number is tried, so that the chance of a high count comes out a little too large.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.stats import poisson

from tankside.follow import Predicted, WeightedEnsemble, outside, predict, predictive_check
from tankside.lifecycle import Sighting

GRID = 0.004
"""How far a chance may be off: one number tried stands for itself and those up to the next."""


@pytest.fixture(autouse=True)
def poisson_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    def observe(part: SimpleNamespace, sightings: tuple[Sighting, ...]) -> np.ndarray:
        counts = [count for sighting in sightings for count in sighting.counts]
        log: np.ndarray = sum(poisson.logpmf(count, part.mean) for count in counts)
        return log

    monkeypatch.setattr(predictive_check, "observe", observe)


def histories(*means: float) -> WeightedEnsemble:
    """Return one part with a history for each mean, all equally believed."""
    mean = np.asarray(means)
    part: Any = SimpleNamespace(
        weights=np.ones(mean.size), mean=mean, groups=("a",), moment=lambda hour: 0,
        worst_visible=mean[:, np.newaxis, np.newaxis],
    )  # fmt: skip
    return WeightedEnsemble((part,), (np.zeros(mean.size),), (np.zeros(mean.size),))


def seen(*numbers: float) -> tuple[Sighting, ...]:
    return tuple(Sighting(24 * day, "a", "spots", (n,)) for day, n in enumerate(numbers))


def test_what_may_be_expected_of_a_count_holds_18_of_20() -> None:
    (count,) = predict(histories(*[5.0] * 10), seen(4))
    assert (count.low, count.high) == (poisson.ppf(0.05, 5), poisson.ppf(0.95, 5))
    assert count.seen == 4


@pytest.mark.parametrize(("mean", "number"), [(4, 8), (4, 9), (4, 10), (6, 11)])
def test_the_tail_of_a_high_count_is_the_chance_of_one_at_least_as_high(
    mean: float, number: int
) -> None:
    (count,) = predict(histories(*[mean] * 10), seen(number))
    assert count.tail == pytest.approx(poisson.sf(number - 1, mean), abs=GRID)


@pytest.mark.parametrize("number", [0, 1, 2])
def test_the_tail_of_a_low_count_is_the_chance_of_one_at_most_as_high(number: int) -> None:
    (count,) = predict(histories(*[6.0] * 10), seen(number))
    assert count.tail == pytest.approx(poisson.cdf(number, 6), abs=GRID)


def test_a_count_is_foretold_from_the_counts_before_it_and_not_from_itself() -> None:
    means = [2.0] * 20 + [8.0] * 20
    first, second = predict(histories(*means), seen(8, 0))
    before = (poisson.sf(7, 2) + poisson.sf(7, 8)) / 2
    assert first.tail == pytest.approx(before, abs=4 * GRID)
    # After 8 was seen, means 2 and 8 stand as their chances of 8; then 0 is foretold from those.
    weights = np.asarray([poisson.pmf(8, 2), poisson.pmf(8, 8)])
    expected = float(np.average([poisson.pmf(0, 2), poisson.pmf(0, 8)], weights=weights))
    assert second.tail == pytest.approx(expected, abs=GRID)


def test_counts_are_taken_in_order_of_time() -> None:
    late, early = Sighting(48, "a", "spots", (3.0,)), Sighting(0, "a", "spots", (5.0,))
    predicted = predict(histories(*[4.0] * 10), (late, early))
    assert [count.sighting for count in predicted] == [early, late]


def test_the_mean_of_several_fish_is_what_was_seen() -> None:
    three = Sighting(0, "a", "spots", (2.0, 4.0, 9.0))
    (count,) = predict(histories(*[4.0] * 10), (three,))
    assert count.seen == 5


def test_fewer_than_eight_histories_foretell_nothing() -> None:
    assert predict(histories(*[4.0] * 7), seen(4)) == ()
    assert len(predict(histories(*[4.0] * 8), seen(4))) == 1


def test_counts_after_one_that_leaves_too_few_histories_are_not_judged() -> None:
    means = [1.0] * 50 + [60.0] * 5
    predicted = predict(histories(*means), seen(60, 60, 60))
    assert [count.seen for count in predicted] == [60]


def with_tail(tail: float) -> Predicted:
    return Predicted(seen(1)[0], 1, 0, 3, tail)


def test_all_counts_of_a_case_share_one_false_alarm_in_twenty() -> None:
    # One alarm in 20 over both sides: 0.025 for a single count, 0.0125 for each of two.
    assert outside((with_tail(0.024),)) == (with_tail(0.024),)
    assert outside((with_tail(0.026),)) == ()
    assert outside((with_tail(0.024), with_tail(0.5))) == ()
    assert outside((with_tail(0.012), with_tail(0.5))) == (with_tail(0.012),)
    assert outside(()) == ()
