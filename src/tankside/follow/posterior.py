"""What is believed to be there now: the same random model, held against the counts.

Importance weighting in two steps: a wide search over kinds of beginnings, up to now, finds where
histories that explain the counts lie; then more are played from there, to the end, each weighed
by how likely its truth makes the counts. When too few explain them, that is said.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting, whole_setting
from tankside.follow.proposal import Proposal, allotted, narrowed
from tankside.lifecycle import (
    Draws,
    Histories,
    InitialState,
    OfTwenty,
    Sighting,
    anything_seen,
    observe,
)
from tankside.lifecycle.results.endpoints import EDGES
from tankside.lifecycle.results.weighted import effective, quantiles, share
from tankside.plan import Progress

Floats = NDArray[np.float64]
Play = Callable[[InitialState, Draws, int, tuple[int, ...]], Histories]
"""``play(start, claims, round, record_h)`` plays one history per row of claims from hour 0."""

_MIDDLE = setting(0.5, "the middle of the belief")
_ENOUGH = setting(40.0, "standard error of a share at most 0.08, 1.6 runs of 20")
_STEP = setting(0.9, "each step of taking the counts less at their word")
_LEAST_TRUST = setting(0.05, "counts taken at a twentieth of their word say nothing")
_FINAL_ROUND = whole_setting(100, "luck of its own, unseen by the search")


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to look for histories that fit.

    Args:
        search: histories of each kind of beginning in the search, played up to now.
        final: histories played to the end from where the search found them.
        least: trust in the counts below which they are called unexplained.
        drop: kinds of beginnings with a smaller share of the evidence are not played on.
    """

    search: int = whole_setting(256, "enough to find where the fitting histories lie")
    final: int = whole_setting(768, "some tens of them remain after weighing")
    least: float = setting(
        0.06, "counts that must be taken at a sixteenth of their word do not fit"
    )
    drop: float = setting(0.02, "less than one history in fifty")


DEFAULT_EFFORT = Effort()


@dataclass(frozen=True, slots=True)
class PosteriorRange:
    """A number believed to be there now: low, middle, high of 18 in 20 weighted histories."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class WeightedEnsemble:
    """Weighted histories of all rounds played.

    Args:
        parts: histories of each round.
        offsets: log weight of each history before the counts, by round.
        log_likelihood: of the counts, by round.
        log_seen: of the looks that showed something having done so, by round; a part of
            ``log_likelihood``, left out where no look did.
    """

    parts: tuple[Histories, ...]
    offsets: tuple[Floats, ...]
    log_likelihood: tuple[Floats, ...]
    log_seen: tuple[Floats, ...] = ()

    @property
    def weights(self) -> Floats:
        """Weights of all histories after the counts, the largest being near 1."""
        return self._trusting(self.trust)

    @property
    def trust(self) -> float:
        """How far the counts are taken at their word: 1 in full, less where few runs fit.

        The model is coarser than a tank and counts are made by eye; where taking every count at
        its word would leave hardly a history, their likelihood is raised to a power below 1
        until enough histories remain. A low value means that the counts are unexplained. How
        many were seen is taken less at its word, never that something was: more seen must not
        let histories back in that hold nothing to see.
        """
        power = 1.0
        while power > _LEAST_TRUST:
            if effective(self._trusting(power)) >= _ENOUGH:
                break
            power *= _STEP
        return power

    def _trusting(self, power: float) -> Floats:
        """Return the weights with how many were seen taken at a power of its likelihood."""
        seen = self.log_seen or tuple(np.zeros(log.size) for log in self.log_likelihood)
        both = zip(self.log_likelihood, seen, strict=True)
        return self.weigh(tuple(some + power * (log - some) for log, some in both))

    def weigh(self, log_likelihood: tuple[Floats, ...]) -> Floats:
        """Return the weights under another likelihood (that of the earlier counts only)."""
        together = np.concatenate(
            [o + log for o, log in zip(self.offsets, log_likelihood, strict=True)]
        )
        top = float(together.max(initial=-np.inf))
        if not np.isfinite(top):
            return np.zeros(len(together))
        prior = np.concatenate([part.weights / part.weights.mean() for part in self.parts])
        weights: Floats = prior * np.exp(together - top)
        return weights

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

    def posterior_range(self, number: Callable[[Histories], NDArray[np.int64]]) -> PosteriorRange:
        """Return the weighted low, middle and high of a number of every history."""
        values = np.concatenate([number(part) for part in self.parts])
        low, middle, high = quantiles(values, self.weights, (EDGES[0], _MIDDLE, EDGES[1]))
        return PosteriorRange(low, middle, high)


def search(
    play: Play,
    starts: tuple[InitialState, ...],
    claims: Draws,
    sightings: tuple[Sighting, ...],
    effort: Effort = DEFAULT_EFFORT,
    progress: Progress | None = None,
) -> tuple[tuple[Proposal, ...], WeightedEnsemble]:
    """Find the beginnings from which histories explain the counts.

    Args:
        play: plays one round up to now.
        starts: kinds of beginnings, all equally believed before the counts.
        claims: many rows of claim values, as believed before the counts.
        sightings: counts, with their hours.
        effort: how hard to look.
        progress: told after each kind.

    Returns:
        The beginnings to play on from, narrowed, and the histories of the search.
    """
    hours = _hours(sightings, ())
    even = 1 / len(starts)
    proposals = tuple(Proposal(start, start, even, even, claims) for start in starts)
    sizes = (effort.search,) * len(starts)
    wide = _played(play, proposals, sightings, hours, sizes, 0, progress)
    fitting = _narrowed(proposals, wide, effort)
    again = tuple(effort.search for _ in fitting)
    near = _played(play, fitting, sightings, hours, again, len(starts), progress)
    return _narrowed(fitting, near, effort), wide


def _narrowed(
    proposals: tuple[Proposal, ...], ensemble: WeightedEnsemble, effort: Effort
) -> tuple[Proposal, ...]:
    """Return the proposals with evidence behind them, narrowed, sharing what is played next."""
    logs = [o + log for o, log in zip(ensemble.offsets, ensemble.log_likelihood, strict=True)]
    top = max(float(log.max()) for log in logs)
    top = top if np.isfinite(top) else 0.0
    evidence = {
        kind: proposals[kind].share * float(np.exp(log - top).mean())
        for kind, log in enumerate(logs)
    }
    shares = allotted(evidence, effort.drop)
    return tuple(
        replace(narrowed(proposals[kind], ensemble.parts[kind], logs[kind]), share=share)
        for kind, share in shares.items()
    )


def sample_posterior(
    play: Play,
    proposals: tuple[Proposal, ...],
    sightings: tuple[Sighting, ...],
    record_h: tuple[int, ...],
    effort: Effort = DEFAULT_EFFORT,
    progress: Progress | None = None,
) -> WeightedEnsemble:
    """Play histories to the end from where they fit, and weigh them by the counts.

    Args:
        play: plays one round to the end.
        proposals: beginnings, from :func:`search`.
        sightings: counts, with their hours.
        record_h: further hours to look at (now, the end).
        effort: how many histories.
        progress: told after each beginning.
    """
    hours = _hours(sightings, record_h)
    sizes = tuple(max(1, round(effort.final * proposal.share)) for proposal in proposals)
    return _played(play, proposals, sightings, hours, sizes, _FINAL_ROUND, progress)


def degenerate(ensemble: WeightedEnsemble, effort: Effort = DEFAULT_EFFORT) -> bool:
    """Whether hardly a history explains the counts taken at their word."""
    return ensemble.trust < effort.least


def _played(
    play: Play,
    proposals: tuple[Proposal, ...],
    sightings: tuple[Sighting, ...],
    hours: tuple[int, ...],
    sizes: tuple[int, ...],
    first_stream: int,
    progress: Progress | None,
) -> WeightedEnsemble:
    parts: list[Histories] = []
    for number, (proposal, size) in enumerate(zip(proposals, sizes, strict=True)):
        round_ = first_stream + number
        parts.append(play(proposal.start, proposal.rows(round_, size), round_, hours))
        if progress is not None:
            progress("comparing histories with the counts", number + 1, len(proposals))
    return WeightedEnsemble(
        tuple(parts),
        tuple(p.offset(part) for p, part in zip(proposals, parts, strict=True)),
        tuple(observe(part, sightings) for part in parts),
        tuple(anything_seen(part, sightings) for part in parts),
    )


def _hours(sightings: tuple[Sighting, ...], more: tuple[int, ...]) -> tuple[int, ...]:
    since = (s.since_h for s in sightings if s.how == "deaths")
    return tuple(sorted({*more, *since, *(s.hour for s in sightings)}))
