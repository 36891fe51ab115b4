"""Weighted histories on tiny hand-made sets: every weight, share and power worked out by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tankside.follow import (
    Effort,
    WeightedEnsemble,
    degenerate,
    posterior,
    sample_posterior,
    search,
)
from tankside.lifecycle import Draws, InitialState, Sighting

NEVER = -np.inf


def part(weights: list[float], **more: object) -> Any:
    """Stand in for histories: their weights, and what a test asks of them."""
    return SimpleNamespace(weights=np.asarray(weights, dtype=float), **more)


def holding(histories: Any) -> np.ndarray:
    return np.asarray(histories.holds)


def numbered(histories: Any) -> np.ndarray:
    return np.asarray(histories.number)


def of_first_kind(histories: Any) -> np.ndarray:
    return np.asarray(histories.kind)


def ensemble(*parts: tuple[Any, list[float], list[float]]) -> WeightedEnsemble:
    """Gather parts, each with log weights before the counts and log likelihoods of them."""
    histories, offsets, logs = zip(*parts, strict=True)
    return WeightedEnsemble(
        histories, tuple(map(np.asarray, offsets)), tuple(map(np.asarray, logs))
    )


def alike(number: int, logs: list[float]) -> WeightedEnsemble:
    return ensemble((part([1.0] * number), [0.0] * number, logs))


def test_a_weight_is_prior_times_offset_times_likelihood() -> None:
    # Priors of a part are taken about their mean: (1, 3) -> (1/2, 3/2); (1, 1) -> (1, 1).
    # Offset times likelihood: 1, 1/2 | 2 x 1/4, 2 x 0. So 1/2, 3/4 | 1/2, 0.
    two = ensemble(
        (part([1, 3]), [0, 0], [0, np.log(1 / 2)]),
        (part([1, 1]), [np.log(2), np.log(2)], [np.log(1 / 4), NEVER]),
    )
    assert two.weigh(two.log_likelihood) == pytest.approx([0.5, 0.75, 0.5, 0.0])
    assert two.histories == 4


def test_weights_are_about_the_likeliest_history_so_that_none_is_lost_to_rounding() -> None:
    far = alike(2, [-5000.0, -5000.0 + np.log(1 / 4)])
    assert far.weigh(far.log_likelihood) == pytest.approx([1.0, 0.25])


def test_where_no_history_is_possible_no_weight_is_left() -> None:
    none = alike(3, [NEVER] * 3)
    assert none.weigh(none.log_likelihood).tolist() == [0.0, 0.0, 0.0]


def test_counts_that_fit_enough_histories_are_taken_in_full() -> None:
    assert alike(100, [-2.0] * 100).trust == 1.0
    assert alike(100, [-2.0] * 100).effective == pytest.approx(100)
    assert alike(100, [0.0] * 41 + [NEVER] * 59).trust == 1.0


def test_counts_are_taken_less_at_their_word_until_40_histories_are_left() -> None:
    # 20 histories fit, 380 are e^-10 times as likely. At power p, with x = e^(-10 p), they are
    # worth (20 + 380 x)^2 / (20 + 380 x^2); that is 40 at x = 0.022147, p = 0.3810. The steps of
    # nine tenths are 0.3874 (too high) and then 0.3487.
    few = alike(400, [0.0] * 20 + [-10.0] * 380)
    assert few.trust == pytest.approx(0.9**10)
    assert few.effective >= 40
    x = np.exp(-10 * 0.9**10)
    assert few.effective == pytest.approx((20 + 380 * x) ** 2 / (20 + 380 * x * x))
    assert not degenerate(few)


def test_counts_that_hardly_a_history_explains_are_called_so() -> None:
    single = alike(500, [0.0] + [-1000.0] * 499)
    assert single.trust == pytest.approx(0.9**29)  # the first step at or below a twentieth
    assert degenerate(single)
    assert not degenerate(single, Effort(least=0.04))


def test_a_share_is_the_weight_of_the_histories_for_which_it_holds() -> None:
    # 60 of 100 histories hold, at likelihood 1; 40 do not, at likelihood 1/2: 60 of 80 by weight,
    # worth 80^2 / (60 + 10) = 91.43 histories, so (3/4 x 91.43 + 1/2) / 92.43.
    holds = np.asarray([True] * 60 + [False] * 40)
    flagged = ensemble((part([1.0] * 100, holds=holds), [0.0] * 100,
                        [0.0] * 60 + [np.log(1 / 2)] * 40))  # fmt: skip
    share = flagged.share(holding)
    runs = 80**2 / 70
    assert share.runs == pytest.approx(runs)
    assert share.share == pytest.approx((0.75 * runs + 0.5) / (runs + 1))


def test_a_range_holds_18_of_20_by_weight_over_all_parts() -> None:
    low = part([1.0] * 50, number=np.arange(50))
    high = part([1.0] * 50, number=np.arange(50, 100))
    both = ensemble((low, [0.0] * 50, [0.0] * 50), (high, [0.0] * 50, [0.0] * 50))
    number = both.posterior_range(numbered)
    assert (number.low, number.middle, number.high) == (4, 49, 94)  # the 5th, 50th and 95th
    tilted = ensemble((low, [0.0] * 50, [0.0] * 50), (high, [0.0] * 50, [NEVER] * 50))
    number = tilted.posterior_range(numbered)
    assert (number.low, number.middle, number.high) == (2, 24, 47)  # 2.5, 25 and 47.5 of 50


RANGE = (2.0, 30.0, 900.0)
KINDS = tuple(InitialState(per_fish={"a": RANGE}, age=age) for age in (None, 0.5))
LIKELY = {None: 0.3, 0.5: 0.1}
"""How likely the counts are under each kind of beginning, whatever the burden."""
CLAIMS = Draws(("claim",), np.linspace(0, 1, 512)[:, np.newaxis], np.ones(512), 1)
COUNTS = (Sighting(30, "a", "spots", (4.0,)), Sighting(54, "a", "deaths", (1.0,), since_h=12))


class Player:
    """Plays nothing: draws burdens from the range asked for, and notes what was asked."""

    def __init__(self) -> None:
        self.rounds: list[tuple[float | None, int, int]] = []
        self.hours: set[tuple[int, ...]] = set()

    def __call__(
        self, start: InitialState, claims: Draws, number: int, hours: tuple[int, ...]
    ) -> Any:
        count = len(claims.weights)
        self.rounds.append((start.age, number, count))
        self.hours.add(hours)
        low, middle, high = np.log(start.per_fish["a"])
        luck = np.random.default_rng(number).random(count)
        burden = np.exp(np.where(
            luck < 0.5, low + (middle - low) * 2 * luck,
            middle + (high - middle) * (2 * luck - 1),
        ))  # fmt: skip
        drawn = np.column_stack([claims.values[:, 0], burden])
        draws = Draws(("claim", "per_fish.a"), drawn, np.ones(count), 1)
        return part([1.0] * count, draws=draws, kind=np.full(count, start.age is None),
                    log=np.full(count, np.log(LIKELY[start.age])))  # fmt: skip


@pytest.fixture
def player(monkeypatch: pytest.MonkeyPatch) -> Player:
    monkeypatch.setattr(posterior, "observe", lambda histories, _: histories.log)
    monkeypatch.setattr(posterior, "anything_seen", lambda histories, _: 0 * histories.log)
    return Player()


def test_kinds_of_beginnings_are_believed_by_bayes_rule(player: Player) -> None:
    # Both kinds are believed alike before: 0.3 / (0.3 + 0.1) = 3/4 for the first one after.
    effort = Effort(search=128, final=4000)
    proposals, wide = search(player, KINDS, CLAIMS, COUNTS, effort)
    first_kind = np.concatenate([of_first_kind(part) for part in wide.parts])
    weights = wide.weigh(wide.log_likelihood)
    assert float(np.average(first_kind, weights=weights)) == pytest.approx(0.75)
    assert [proposal.share for proposal in proposals] == pytest.approx([0.75, 0.25], abs=0.05)
    final = sample_posterior(player, proposals, COUNTS, (), effort)
    assert final.share(of_first_kind).share == pytest.approx(0.75, abs=0.02)


def test_a_kind_with_next_to_no_evidence_is_not_played_on(
    player: Player, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(LIKELY, 0.5, 0.3 / 99)  # 1 in 100 of the evidence, below 2 in 100
    proposals, _ = search(player, KINDS, CLAIMS, COUNTS, Effort(search=64))
    assert [proposal.start.age for proposal in proposals] == [None]


def test_every_round_has_luck_of_its_own_and_the_hours_that_are_needed(player: Player) -> None:
    effort = Effort(search=64, final=400)
    steps: list[tuple[str, int, int]] = []
    proposals, _ = search(player, KINDS, CLAIMS, COUNTS, effort, lambda *step: steps.append(step))
    assert [(age, number) for age, number, _ in player.rounds] == [
        (None, 0), (0.5, 1), (None, 2), (0.5, 3),
    ]  # fmt: skip
    assert {count for _, _, count in player.rounds} == {64}
    assert player.hours == {(12, 30, 54)}  # both counts, and the hour the deaths are since
    assert [step[1:] for step in steps] == [(1, 2), (2, 2), (1, 2), (2, 2)]
    player.rounds, player.hours = [], set()
    final = sample_posterior(player, proposals, COUNTS, (60, 200), effort)
    assert [number for _, number, _ in player.rounds] == [100, 101]
    assert player.hours == {(12, 30, 54, 60, 200)}
    assert final.histories == pytest.approx(400, abs=1)
