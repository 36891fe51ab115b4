"""When something happens for the first time: first spot, first death, spots gone, clear."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tankside.lifecycle.inputs.types import Flags, Floats
from tankside.lifecycle.results.endpoints import clear_at, living, useful_time
from tankside.lifecycle.results.histories import Histories
from tankside.lifecycle.results.of_twenty import OfTwenty
from tankside.lifecycle.results.outcome import Quantiles, burden_per_fish, spread
from tankside.lifecycle.results.weighted import share

NEVER = float("inf")


@dataclass(frozen=True, slots=True)
class FirstPassage:
    """When something first happens, over all runs.

    Args:
        what: its key, see ``PASSAGES``.
        happens: share of runs in which it happens in the time looked at.
        days: quantiles of its day over all runs, infinite where it does not happen that often.
    """

    what: str
    happens: OfTwenty
    days: Quantiles

    @property
    def useful(self) -> bool:
        """Whether 18 of 20 runs agree on the date within a factor of three."""
        return useful_time(self.days.low, self.days.high)


def first_day(histories: Histories, holds: Flags) -> Floats:
    """Return the first day on which something holds in each run, infinite when it never does.

    Args:
        histories: as run.
        holds: for each run and moment looked at, shape (R, D).
    """
    days = histories.days[np.argmax(holds, axis=1)]
    return np.where(holds.any(axis=1), days, NEVER)


def first_visible(histories: Histories) -> Floats:
    """Return the first day on which any fish carries a parasite large enough to be seen."""
    return first_day(histories, histories.visible.sum(axis=-1) > 0)


def first_death(histories: Histories) -> Floats:
    """Return the first day on which a fish is missing."""
    alive = histories.alive.sum(axis=-1)
    return first_day(histories, alive < alive[:, :1])


def peak(histories: Histories) -> Floats:
    """Return the day of the highest burden per live fish; infinite when there never is any."""
    moments = range(len(histories.at_h))
    each = np.stack([burden_per_fish(histories, moment) for moment in moments], axis=1)
    each = np.where(np.isnan(each), 0.0, each)
    return np.where(each.max(axis=1) > 0, histories.days[np.argmax(each, axis=1)], NEVER)


def seen_free(histories: Histories) -> Floats:
    """Return the first day, once there were spots, on which no live fish shows any.

    Nothing is said of the bottom, the water, the gills or the young: see ``clear_when_seen_free``.
    """
    return first_day(histories, _seen_free(histories))


def no_fish_left(histories: Histories) -> Floats:
    """Return the first day on which no fish is alive."""
    return first_day(histories, histories.alive.sum(axis=-1) == 0)


def day_of_clearance(histories: Histories) -> Floats:
    """Return the first day from which a run stays clear to its end, with a fish alive."""
    return np.where(clear_at(histories), histories.clear_day.astype(np.float64), NEVER)


PASSAGES: dict[str, Callable[[Histories], Floats]] = {
    "first_spot": first_visible,
    "first_death": first_death,
    "peak": peak,
    "seen_free": seen_free,
    "clear": day_of_clearance,
    "no_fish": no_fish_left,
}
BY_EYE = ("first_spot", "seen_free")
"""These say nothing of a parasite that shows no spots."""
OF_DEATH = ("first_death", "no_fish")
"""These say nothing where no parameter says what kills a fish."""


def first_passages(histories: Histories, *, spots: bool, deaths: bool) -> tuple[FirstPassage, ...]:
    """Summarise every first passage.

    Args:
        histories: as run.
        spots: whether this parasite is seen by eye; else those of ``BY_EYE`` are left out.
        deaths: whether fish can die in these histories; else those of ``OF_DEATH`` are left out.
    """
    rows = []
    left_out = (*(() if spots else BY_EYE), *(() if deaths else OF_DEATH))
    for what, day_of in PASSAGES.items():
        if what in left_out:
            continue
        days, weights = day_of(histories), histories.weights
        rows.append(FirstPassage(what, share(days < NEVER, weights), spread(days, weights)))
    return tuple(rows)


def clear_when_seen_free(histories: Histories) -> OfTwenty | None:
    """Return the share of runs, of those whose spots go, that are clear on that very day."""
    flags = _seen_free(histories)
    gone = flags.any(axis=1)
    if not gone.any():
        return None
    rows, first = np.flatnonzero(gone), np.argmax(flags[gone], axis=1)
    return share(histories.clear[rows, first], histories.weights[gone])


def _seen_free(histories: Histories) -> Flags:
    visible = histories.visible.sum(axis=-1)
    before = np.maximum.accumulate(visible, axis=1) > 0
    fish = np.stack([living(histories, k) for k in range(len(histories.at_h))], axis=1)
    flags: Flags = before & (visible == 0) & fish
    return flags
