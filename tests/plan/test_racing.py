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
    outcome = race(["one"] * 64, Noisy(truths), RaceRules(8, 4, 512))
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


def test_the_same_race_gives_the_same_answer() -> None:
    truths = [3.0, 1.0, 2.0, 0.5, 4.0, 0.6]
    first = race(["a"] * 6, Noisy(truths), RaceRules(4, 2, 512))
    again = race(["a"] * 6, Noisy(truths), RaceRules(4, 2, 512))
    assert first == again


def test_few_candidates_are_not_raced() -> None:
    outcome = race(["a", "b"], Noisy([1.0, 2.0]), RaceRules(8, 5, 512))
    assert set(outcome.left) == {0, 1}
    assert outcome.histories == 0
