"""Clearance as it is believed at the least: as seen, and had a look that showed something not.

More seen must never make a tank clearer. Within the belief it can: a spot seen early says that the
wave is an older one, or that the eyes are sharp, and then a later zero is worth more. What is said
of clearance is therefore the least over the looks as they were and, for each look that showed
something, over the same looks with nothing seen on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from tankside.follow.posterior import WeightedEnsemble
from tankside.lifecycle import Sighting, anything_seen, observe
from tankside.lifecycle.results.observation_model import DEATHS


def as_if_unseen(
    ensemble: WeightedEnsemble, sightings: tuple[Sighting, ...]
) -> Iterator[WeightedEnsemble]:
    """Yield the histories weighed as if one look that showed something had shown nothing.

    Only where the histories explain that at least as well as what was seen: they were played to
    explain what was seen, and where they do not reach what was not, they say nothing of it.

    Args:
        ensemble: weighed by the sightings.
        sightings: counts, with their hours.
    """
    trust = ensemble.trust
    for place, sighting in enumerate(sightings):
        if sighting.how == DEATHS or not any(sighting.counts):
            continue
        nothing = replace(sighting, counts=(0.0,) * len(sighting.counts))
        looks = (*sightings[:place], nothing, *sightings[place + 1 :])
        other = replace(
            ensemble,
            log_likelihood=tuple(observe(part, looks) for part in ensemble.parts),
            log_seen=tuple(anything_seen(part, looks) for part in ensemble.parts),
        )
        if other.trust >= trust:
            yield other
