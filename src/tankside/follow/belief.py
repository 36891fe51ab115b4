"""What is believed to be there now: the same random model, held against the counts.

Importance weighting: histories are played from the start under what was really done, each is
weighted by how likely its truth makes the counts, and rounds are added until the effective
number of histories is large enough, or it is said that none of them explains the counts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting, whole_setting
from tankside.lifecycle import Histories, Sighting, observe
from tankside.plan import OfTwenty, Progress
from tankside.plan.score import EDGES, effective, quantiles, share

Floats = NDArray[np.float64]
Play = Callable[[int, int, tuple[int, ...]], Histories]
"""``play(round, histories, record_h)`` plays one round from hour 0."""

_MIDDLE = setting(0.5, "the middle of the belief")
_WEAK = setting(0.02, "below 2 effective runs in 100 the belief rests on too few histories")


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to look for histories that fit.

    Args:
        histories: histories per round.
        rounds: rounds at most.
        enough: effective histories at which no further round is played.
        least: effective histories below which the counts are called unexplained.
    """

    histories: int = whole_setting(512, "one round takes about a second")
    rounds: int = whole_setting(6, "the wait stays short; more rounds seldom find more")
    enough: float = setting(100.0, "standard error of a share at most 0.05, one run of 20")
    least: float = setting(10.0, "fewer histories than this say nothing")


DEFAULT_EFFORT = Effort()


@dataclass(frozen=True, slots=True)
class Believed:
    """A number believed to be there now: low, middle, high of 18 in 20 weighted histories."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class Cloud:
    """Weighted histories of all rounds played.

    Args:
        parts: histories of each round, looked at at ``record_h``.
        log_likelihood: of the counts, by round.
        record_h: hours looked at.
    """

    parts: tuple[Histories, ...]
    log_likelihood: tuple[Floats, ...]
    record_h: tuple[int, ...]

    @property
    def weights(self) -> Floats:
        """Weights of all histories, the largest being near 1."""
        return weigh(self.parts, self.log_likelihood)

    @property
    def histories(self) -> int:
        """Histories played."""
        return sum(len(part.weights) for part in self.parts)

    @property
    def effective(self) -> float:
        """Effective number of histories."""
        return effective(self.weights)

    def share(self, flags: Callable[[Histories], NDArray[np.bool_]]) -> OfTwenty:
        """Return the weighted share of histories for which something holds."""
        return share(np.concatenate([flags(part) for part in self.parts]), self.weights)

    def believed(self, number: Callable[[Histories], NDArray[np.int64]]) -> Believed:
        """Return the weighted low, middle and high of a number of every history."""
        values = np.concatenate([number(part) for part in self.parts])
        low, middle, high = quantiles(values, self.weights, (EDGES[0], _MIDDLE, EDGES[1]))
        return Believed(low, middle, high)


def weigh(parts: tuple[Histories, ...], log_likelihood: tuple[Floats, ...]) -> Floats:
    """Return prior weight times likelihood of every history, scaled to a largest of about 1."""
    together = np.concatenate(log_likelihood)
    top = float(together.max(initial=-np.inf))
    if not np.isfinite(top):
        return np.zeros(len(together))
    prior = np.concatenate([part.weights / part.weights.mean() for part in parts])
    weights: Floats = prior * np.exp(together - top)
    return weights


def believe(
    play: Play,
    sightings: tuple[Sighting, ...],
    record_h: tuple[int, ...],
    effort: Effort = DEFAULT_EFFORT,
    progress: Progress | None = None,
) -> Cloud:
    """Play rounds of histories until enough of them explain the counts.

    Args:
        play: plays one round.
        sightings: counts, with their hours; only those at hours looked at can weigh.
        record_h: further hours to look at (now, the end).
        effort: how hard to look.
        progress: told after each round.

    Returns:
        The weighted histories. With no sighting every history keeps its own weight.
    """
    hours = tuple(sorted({*record_h, *(s.hour for s in sightings), *_since(sightings)}))
    parts: list[Histories] = []
    logs: list[Floats] = []
    for number in range(effort.rounds):
        played = play(number, effort.histories, hours)
        parts.append(played)
        logs.append(observe(played, sightings) if sightings else np.zeros(len(played.weights)))
        if progress is not None:
            progress("holding histories against the counts", number + 1, effort.rounds)
        if effective(weigh(tuple(parts), tuple(logs))) >= effort.enough:
            break
    return Cloud(tuple(parts), tuple(logs), hours)


def degenerate(cloud: Cloud, effort: Effort = DEFAULT_EFFORT) -> bool:
    """Whether too few histories explain the counts for the belief to mean anything."""
    return cloud.effective < min(effort.least, _WEAK * cloud.histories)


def _since(sightings: tuple[Sighting, ...]) -> tuple[int, ...]:
    return tuple(s.since_h for s in sightings if s.how == "deaths")
