"""Successive halving: give every candidate a few runs, the better half more, and so on.

All candidates of a round are played with common random numbers: a difference is the candidate.
Generic: nothing here knows what a candidate is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Losses = NDArray[np.float64]
Play = Callable[[int, int, int], Losses]
"""``play(candidate, round, histories)`` returns one loss per history; lower is better."""

Progress = Callable[[str, int, int], None]
"""``progress(what, done, total)`` is told how far a long step has come."""


@dataclass(frozen=True, slots=True)
class RaceRules:
    """How a race is run.

    Args:
        first: histories per candidate in the first round; doubled every round.
        keep: how many candidates the race leaves, besides the best of each kind.
        most: histories per candidate in a round at most.
    """

    first: int
    keep: int
    most: int


@dataclass(frozen=True, slots=True)
class Race:
    """The outcome: who is left, best first, and what it cost.

    ``played`` is by candidate, over all its rounds.
    """

    left: tuple[int, ...]
    played: tuple[int, ...]

    @property
    def histories(self) -> int:
        """Histories played in all."""
        return sum(self.played)


def race(
    kinds: Sequence[str], play: Play, rules: RaceRules, progress: Progress | None = None
) -> Race:
    """Run candidates against each other until ``rules.keep`` are left.

    The best of each kind is never dropped, so that what is left still shows the choice; there
    may then be more than ``keep``. One that stays for its kind alone, below the better half, is
    not played again: nothing more is decided by it.

    Args:
        kinds: kind of each candidate (for example the main agent).
        play: plays one candidate for a number of histories.
        rules: sizes of the race.
        progress: told after each candidate.

    Returns:
        The candidates left, best first.
    """
    count = len(kinds)
    sums, played = np.zeros(count), np.zeros(count, dtype=np.int64)
    alive = list(range(count))
    settled: list[int] = []
    histories, number = rules.first, 0
    least = rules.keep + len(set(kinds))
    total = _plays(count, rules.keep, len(set(kinds)))
    done = 0
    while len(alive) + len(settled) > least:
        for candidate in alive:
            sums[candidate] += float(play(candidate, number, histories).sum())
            played[candidate] += histories
            done += 1
            if progress is not None:
                progress("comparing courses", min(done, total), total)
        means = sums[alive] / played[alive]
        ordered = [alive[place] for place in np.argsort(means, kind="stable")]
        better = max(rules.keep, (len(alive) + len(settled)) // 2)
        survivors = _survivors(ordered, kinds, better)
        if len(survivors) == len(alive):
            break
        of_kind = Counter(kinds[candidate] for candidate in survivors)
        done_with = [each for each in survivors[better:] if of_kind[kinds[each]] == 1]
        settled += done_with
        alive, number = [each for each in survivors if each not in done_with], number + 1
        histories = min(histories * 2, rules.most)
    means_all = np.divide(sums, played, out=np.full(count, np.inf), where=played > 0)
    ordered = sorted(alive, key=lambda candidate: (means_all[candidate], candidate))
    left = [*_survivors(ordered, kinds, rules.keep), *settled]
    left.sort(key=lambda candidate: (means_all[candidate], candidate))
    return Race(tuple(left), tuple(map(int, played)))


def _survivors(ordered: list[int], kinds: Sequence[str], keep: int) -> list[int]:
    """Return the best ``keep`` and the best of every kind, best first."""
    seen: set[str] = set()
    kept = []
    for place, candidate in enumerate(ordered):
        if place < keep or kinds[candidate] not in seen:
            kept.append(candidate)
        seen.add(kinds[candidate])
    return kept


def _plays(count: int, keep: int, kinds: int) -> int:
    """Return how many plays a race takes at most, for the progress line."""
    total = 0
    while count > keep + kinds:
        total += count
        after = max(keep, count // 2) + kinds
        if after >= count:
            break
        count = after
    return max(total, 1)
