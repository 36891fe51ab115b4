"""Is a count outside what the course can explain? Each is foretold from the counts before it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting, whole_setting
from tankside.follow.posterior import WeightedEnsemble
from tankside.lifecycle import Sighting, observe
from tankside.lifecycle.results.weighted import effective

Floats = NDArray[np.float64]

_ALARM = setting(0.05, "1 false alarm in 20 over all counts of a case together")
_GRID = whole_setting(48, "numbers tried for a foretold count, closer together when small")
_BEYOND = setting(6.0, "the grid ends at six times the larger of what is seen and foretold")
_LEAST = setting(8.0, "fewer effective histories foretell nothing")


@dataclass(frozen=True, slots=True)
class Predicted:
    """One count and what was to be expected of it.

    Args:
        sighting: the count.
        seen: the number seen (the mean of a tuple).
        low: low end of what was expected (1 in 20 lies below).
        high: high end (1 in 20 lies above).
        tail: chance of a count at least this far out, on its side.
    """

    sighting: Sighting
    seen: float
    low: float
    high: float
    tail: float


def predict(ensemble: WeightedEnsemble, sightings: tuple[Sighting, ...]) -> tuple[Predicted, ...]:
    """Foretell every count from the counts before it.

    The chance of each possible number is the weighted mean, over histories, of its likelihood;
    the weights are those after all earlier counts. Where too few histories are left, the later
    counts are not judged.
    """
    logs = tuple(np.zeros(len(part.weights)) for part in ensemble.parts)
    predicted: list[Predicted] = []
    for sighting in sorted(sightings, key=lambda s: s.hour):
        weights = ensemble.weigh(logs)
        if effective(weights) < _LEAST:
            break
        predicted.append(_foretold(ensemble, sighting, weights))
        logs = tuple(
            log + observe(part, (sighting,)) for log, part in zip(logs, ensemble.parts, strict=True)
        )
    return tuple(predicted)


def outside(predicted: tuple[Predicted, ...]) -> tuple[Predicted, ...]:
    """Return the counts that lie outside, sharing one false alarm in 20 among all of them."""
    limit = _ALARM / (2 * max(len(predicted), 1))
    return tuple(count for count in predicted if count.tail < limit)


def _foretold(ensemble: WeightedEnsemble, sighting: Sighting, weights: Floats) -> Predicted:
    seen = float(np.mean(sighting.counts))
    numbers = _grid(ensemble, sighting, seen)
    chance = np.empty(len(numbers))
    for place, number in enumerate(numbers):
        tried = replace(sighting, counts=(float(number),) * len(sighting.counts))
        log = np.concatenate([observe(part, (tried,)) for part in ensemble.parts])
        chance[place] = float(np.average(np.exp(log), weights=weights))
    width = np.diff(np.append(numbers, 2 * numbers[-1] - numbers[-2]))
    mass = chance * width
    heaped = np.cumsum(mass) / mass.sum()
    at = int(np.searchsorted(numbers, seen))
    below = float(heaped[min(at, len(numbers) - 1)])
    above = float(1 - heaped[at - 1]) if at > 0 else 1.0
    low = float(numbers[int(np.searchsorted(heaped, _ALARM))])
    high = float(numbers[min(int(np.searchsorted(heaped, 1 - _ALARM)), len(numbers) - 1)])
    return Predicted(sighting, seen, low, high, min(below, above))


def _grid(ensemble: WeightedEnsemble, sighting: Sighting, seen: float) -> Floats:
    """Return whole numbers from 0 to beyond anything likely, closer together when small.

    Of fish that carry any, every number up to all that were looked at.
    """
    if sighting.kind == "carrying":
        return np.arange(sighting.fish_seen + 1.0)
    part = ensemble.parts[0]
    moment, group = part.moment(sighting.hour), part.groups.index(sighting.group)
    there = float(part.worst_visible[:, moment, group].mean())
    top = max(_BEYOND * max(seen, there), 2.0 * _GRID)
    spaced = np.unique(np.round(np.geomspace(1, top + 1, _GRID) - 1))
    merged: Floats = np.unique(np.append(spaced, np.round(seen)))
    return merged
