"""What a person sees is not the truth: how likely are these counts in each history?

Between what is on a fish and what is written down stand four things, each a claim with a range:
how late in its residence a parasite can be seen, how many of those sit on skin and fins and not on
the gills, how many of these a person counts, and how much of a fish comes onto a slide. Counts
scatter about their expectation as a negative binomial.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import comb, log

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting
from tankside.claims.organism import Organism
from tankside.errors import BadInput
from tankside.lifecycle.inputs.forcing import spots_show
from tankside.lifecycle.inputs.parameters import parts_of
from tankside.lifecycle.inputs.types import Floats
from tankside.lifecycle.results.histories import Histories

MISTAKEN = setting(0.02, "a count of one is possible, though rare, on a clean fish: not impossible")
STRAY_DEATHS = setting(0.3, "deaths of another cause in a sick tank, per interval: not impossible")
_TINY = np.finfo(np.float64).tiny
EYE, SCRAPE, DEATHS = "spots", "scrape", "deaths"


@dataclass(frozen=True, slots=True)
class Sighting:
    """Counts made at one moment on some fish of one group.

    ``how``: "spots" (by eye, on skin and fins), "scrape" (parasites on a slide of skin or gill)
    or "deaths" (dead fish since the moment ``since_h``, one number). ``counts`` holds one number
    per fish looked at; when only the worst fish or the mean of the group was written down,
    ``kind`` says so ("each", "worst" or "mean") and ``fish_seen`` how many were looked at. Where
    only the fish that carry any were told apart, ``kind`` is "carrying", ``counts`` holds how many
    they were.
    """

    hour: int
    group: str
    how: str
    counts: tuple[float, ...]
    kind: str = "each"
    fish_seen: int = 0
    since_h: int = 0


def observe(histories: Histories, sightings: tuple[Sighting, ...]) -> Floats:
    """Return the log-likelihood of the sightings in each history, shape (R,).

    Args:
        histories: run with ``record_h`` at the hours of the sightings (the last moment not
            after a sighting is used).
        sightings: counts by group.

    Returns:
        Sum of log-likelihoods per history.

    Raises:
        BadInput: a sighting names a group, a way or a kind that is not known (E-FU-01).
    """
    total = np.zeros(histories.weights.size)
    for sighting in sightings:
        _check(histories, sighting)
        total += _one(histories, sighting)
    return total


def anything_seen(histories: Histories, sightings: tuple[Sighting, ...]) -> Floats:
    """Return the log-likelihood that each look that showed something did, shape (R,).

    How many were seen is left out: only that it was not nothing. Looks that showed nothing, and
    deaths, add nothing.

    Args:
        histories: run with ``record_h`` at the hours of the sightings.
        sightings: counts by group.
    """
    total = np.zeros(histories.weights.size)
    for sighting in sightings:
        if sighting.how == DEATHS or not any(sighting.counts):
            continue
        nothing = replace(sighting, counts=(0.0,) * len(sighting.counts))
        seen = -np.expm1(observe(histories, (nothing,)))
        total += np.log(np.maximum(np.where(_living(histories, sighting), seen, 0.0), _TINY))
    return total


def expected_counts(histories: Histories, hour: int, group: str, how: str) -> Floats:
    """Return the expected count on each watched fish of a group, shape (R, fish); dead are NaN.

    Args:
        histories: as run.
        hour: of the look.
        group: of fish.
        how: "spots" or "scrape".
    """
    moment = histories.moment(hour)
    fish = histories.fish_group == histories.groups.index(group)
    on_fish = histories.fish_visible if how == EYE else histories.fish_burden
    seen = on_fish[:, moment, fish] * seen_share(histories, how)[:, np.newaxis]
    return np.asarray(np.where(histories.fish_alive[:, moment, fish], seen, np.nan))


def seen_share(histories: Histories, how: str) -> Floats:
    """Return the part of the parasites (visible ones for spots) that is counted, shape (R,)."""
    if how == EYE:
        return _column(histories, "seen.body_share") * _column(histories, "seen.eye_detection")
    return _column(histories, "seen.scrape_share")


def way_of_looking(organism: Organism) -> str:
    """Return how this parasite is counted: "spots" where it shows on the fish, else "scrape"."""
    return EYE if spots_show(organism, parts_of(organism)) else SCRAPE


def chance_of_nothing(histories: Histories, hour: int, group: str, how: str, fish: int) -> Floats:
    """Return the chance in each history that a look at some fish counts nothing, shape (R,).

    Args:
        histories: as run.
        hour: of the look.
        group: whose fish are looked at.
        how: "spots" or "scrape".
        fish: how many are looked at, each any of the live ones.

    Returns:
        Chances; next to 0 where no fish of the group lives.
    """
    nothing = Sighting(hour, group, how, (0.0,) * fish)
    return np.asarray(np.exp(observe(histories, (nothing,))))


def negative_binomial_log(count: Floats, mean: Floats, size: Floats) -> Floats:
    """Return the log probability of a negative binomial count.

    P(k) = G(k + s) / (G(s) k!) (s / (s + m))^s (m / (s + m))^k with mean m and size s.
    """
    from scipy.special import gammaln

    together = np.log(size + mean)
    return np.asarray(
        gammaln(count + size)
        - gammaln(size)
        - gammaln(count + 1)
        + size * (np.log(size) - together)
        + count * (np.log(mean) - together)
    )


def _column(histories: Histories, key: str) -> Floats:
    if key in histories.draws.keys:
        return histories.draws.column(key)
    return np.ones(histories.weights.size)


def _dispersion(histories: Histories) -> Floats:
    key = "seen.dispersion"
    if key in histories.draws.keys:
        return histories.draws.column(key)
    return np.full(histories.weights.size, histories.dispersion)


def _check(histories: Histories, sighting: Sighting) -> None:
    comparable = (
        sighting.group in histories.groups
        and sighting.how in (EYE, SCRAPE, DEATHS)
        and sighting.kind in ("each", "worst", "mean", "carrying")
        and len(sighting.counts) > 0
    )
    if not comparable:
        raise BadInput(
            "E-FU-01",
            "That count cannot be compared with the forecast.",
            given=f"{sighting.group}, {sighting.how}, {sighting.kind}",
            needed=f"a group of {', '.join(histories.groups)}; spots, scrape or deaths",
            next_step="Correct the count in the case, or leave it out of the comparison.",
        )


def _one(histories: Histories, sighting: Sighting) -> Floats:
    size = _dispersion(histories)
    if sighting.how == DEATHS:
        return _deaths(histories, sighting, size)
    if sighting.kind == "each":
        return _each(histories, sighting, size)
    if sighting.kind == "carrying":
        return _carrying(histories, sighting, size)
    moment = histories.moment(sighting.hour)
    group = histories.groups.index(sighting.group)
    share = seen_share(histories, sighting.how)
    if sighting.kind == "worst" and sighting.how == EYE:
        mean = np.asarray(histories.worst_visible[:, moment, group] * share + MISTAKEN)
        return negative_binomial_log(np.asarray(sighting.counts[0]), mean, size)
    table = histories.visible if sighting.how == EYE else histories.burden
    alive = np.maximum(histories.alive[:, moment, group], 1)
    per_fish = np.asarray(table[:, moment, group] / alive * share + MISTAKEN)
    fish = max(sighting.fish_seen, 1)
    counted = np.asarray(float(np.round(sighting.counts[0] * fish)))
    return negative_binomial_log(counted, per_fish * fish, size * fish)


def _each(histories: Histories, sighting: Sighting, size: Floats) -> Floats:
    """Average over the watched live fish: any of them may be the one that was looked at."""
    expected = expected_counts(histories, sighting.hour, sighting.group, sighting.how)
    alive = np.isfinite(expected)
    mean = np.where(alive, expected, 0.0) + MISTAKEN
    number = np.maximum(alive.sum(axis=1), 1)
    total = np.zeros(size.size)
    for count in sighting.counts:
        each = np.exp(negative_binomial_log(np.asarray(count), mean, size[:, np.newaxis]))
        likely = np.where(alive, each, 0.0).sum(axis=1) / number
        total += np.log(np.maximum(likely, _TINY))
    return total


def _carrying(histories: Histories, sighting: Sighting, size: Floats) -> Floats:
    """Binomial: each fish looked at is any of the watched live ones, and shows any or none.

    P(k of n) = n! / (k! (n - k)!) q^(n - k) (1 - q)^k with q the mean chance that a fish shows
    none; k = 0 is the same as n counts of 0.
    """
    clean = Sighting(sighting.hour, sighting.group, sighting.how, (0.0,))
    none_shown = _each(histories, clean, size)
    shown = np.log(np.maximum(-np.expm1(none_shown), _TINY))
    carrying, fish = round(sighting.counts[0]), sighting.fish_seen
    ways = log(comb(fish, carrying)) if carrying <= fish else -np.inf
    likely = ways + (fish - carrying) * none_shown + carrying * shown
    return np.asarray(np.where(_living(histories, sighting), likely, fish * np.log(_TINY)))


def _living(histories: Histories, sighting: Sighting) -> NDArray[np.bool_]:
    """Return in which histories a fish of the group lives, shape (R,)."""
    moment, group = histories.moment(sighting.hour), histories.groups.index(sighting.group)
    return np.asarray(histories.alive[:, moment, group] > 0)


def _deaths(histories: Histories, sighting: Sighting, size: Floats) -> Floats:
    group = histories.groups.index(sighting.group)
    before = histories.alive[:, histories.moment(sighting.since_h), group]
    now = histories.alive[:, histories.moment(sighting.hour), group]
    dead = np.asarray((before - now) + STRAY_DEATHS)
    return negative_binomial_log(np.asarray(sighting.counts[0]), dead, size)
