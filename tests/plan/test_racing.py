"""The race finds the better candidates with fewer runs, and never drops a whole kind."""

from __future__ import annotations

import numpy as np

from tankside.plan import RaceRules, race


class Noisy:
    """Candidates with known true losses, played under common random numbers."""

    def __init__(self, truths: list[float]) -> None:
        self.truths = truths
        self.calls: list[tuple[int, int, int]] = []

    def __call__(self, candidate: int, number: int, histories: int) -> np.ndarray:
        self.calls.append((candidate, number, histories))
        noise = np.random.default_rng(number).normal(0, 1, histories)
        return self.truths[candidate] + noise


def test_the_best_of_many_is_found_with_far_fewer_runs_than_a_full_search() -> None:
    truths = [float(value) for value in np.random.default_rng(1).permutation(64)]
    outcome = race(["a"] * 64, Noisy(truths), RaceRules(8, 4, 512))
    assert truths[outcome.left[0]] == 0
    full_search = 64 * max(outcome.played)
    assert outcome.histories < full_search / 3


def test_everyone_in_a_round_meets_the_same_luck() -> None:
    play = Noisy([0.0, 1.0, 2.0, 3.0])
    race(["a"] * 4, play, RaceRules(8, 1, 512))
    first = [call for call in play.calls if call[1] == 0]
    assert {call[2] for call in first} == {8}
    assert {call[0] for call in first} == {0, 1, 2, 3}


def test_the_best_of_each_kind_stays_even_when_it_is_worst() -> None:
    truths = [0.0, 1.0, 2.0, 3.0, 50.0, 60.0]
    outcome = race(["a", "a", "a", "a", "b", "b"], Noisy(truths), RaceRules(8, 2, 512))
    assert 4 in outcome.left
    assert 5 not in outcome.left


def test_few_candidates_are_not_raced() -> None:
    outcome = race(["a", "b"], Noisy([1.0, 2.0]), RaceRules(8, 5, 512))
    assert set(outcome.left) == {0, 1}
    assert outcome.histories == 0


class Certain:
    """Candidates whose every history has the same loss."""

    def __init__(self, losses: list[float]) -> None:
        self.losses = losses
        self.calls: list[tuple[int, int, int]] = []

    def __call__(self, candidate: int, number: int, histories: int) -> np.ndarray:
        self.calls.append((candidate, number, histories))
        return np.full(histories, self.losses[candidate])


def test_each_round_halves_the_field_and_doubles_the_runs_up_to_the_most() -> None:
    """Sixteen of one kind, two kept: 16 play 4, 8 play 8, 4 play 10 (16 is more than the most).

    Then the two best are left, with the best of its kind among them: 64 + 64 + 40 plays.
    """
    play = Certain([float(n) for n in range(16)])
    outcome = race(["a"] * 16, play, RaceRules(first=4, keep=2, most=10))
    assert play.calls == [
        *((n, 0, 4) for n in range(16)),
        *((n, 1, 8) for n in range(8)),
        *((n, 2, 10) for n in range(4)),
    ]
    assert outcome.left == (0, 1)
    assert outcome.played == (22,) * 4 + (12,) * 4 + (4,) * 8
    assert outcome.histories == 64 + 64 + 40


def test_the_last_order_is_by_the_mean_over_all_rounds() -> None:
    """The first loses 1 in 4 runs and 4 in 8: a mean of 3, less than the 3.1 of the second."""
    steady = [0.0, 3.1, 10.0, 10.0, 11.0, 11.0, 11.0, 11.0]

    def play(candidate: int, number: int, histories: int) -> np.ndarray:
        turning = 1.0 if number == 0 else 4.0
        return np.full(histories, steady[candidate] or turning)

    outcome = race(["a"] * 8, play, RaceRules(first=4, keep=2, most=512))
    assert outcome.played[:2] == (12, 12)
    assert outcome.left == (0, 1)


def test_of_equal_candidates_the_first_comes_first() -> None:
    outcome = race(["a"] * 8, Certain([1.0] * 8), RaceRules(first=2, keep=2, most=2))
    assert outcome.left == (0, 1)


def test_progress_is_told_after_each_play_and_never_passes_its_total() -> None:
    steps: list[tuple[str, int, int]] = []
    rules = RaceRules(first=4, keep=2, most=10)
    race(
        ["a"] * 16, Certain([float(n) for n in range(16)]), rules, lambda *step: steps.append(step)
    )
    assert [done for _, done, _ in steps] == list(range(1, 29))
    assert {what for what, _, _ in steps} == {"comparing courses"}
    assert {total for _, _, total in steps} == {16 + 9 + 5}  # half of each round and one of a kind


def test_a_race_that_one_round_ends_tells_its_plays_alone() -> None:
    """Four of two kinds, one kept: one round of four, after which three are left."""
    steps: list[tuple[str, int, int]] = []
    rules = RaceRules(first=4, keep=1, most=4)
    race(["a", "a", "b", "b"], Certain([1.0, 2.0, 3.0, 4.0]), rules, lambda *s: steps.append(s))
    assert steps == [("comparing courses", done, 4) for done in (1, 2, 3, 4)]


def test_as_many_as_may_be_left_are_not_raced() -> None:
    """Two kept and the best of one kind: three need no race, four do."""
    rules = RaceRules(first=4, keep=2, most=4)
    assert race(["a"] * 3, Certain([3.0, 2.0, 1.0]), rules).histories == 0
    assert race(["a"] * 4, Certain([4.0, 3.0, 2.0, 1.0]), rules).left == (3, 2)


def test_one_that_stays_for_its_kind_alone_is_not_played_again() -> None:
    losses = [float(n) for n in range(16)] + [90.0, 95.0, 99.0]
    kinds = ["a"] * 16 + ["b", "b", "c"]
    play = Certain(losses)
    outcome = race(kinds, play, RaceRules(4, 2, 8))
    assert outcome.left == (0, 1, 16, 18)
    rounds = {candidate: sum(call[0] == candidate for call in play.calls) for candidate in (0, 18)}
    assert rounds[0] > 2
    assert rounds[18] == 1
