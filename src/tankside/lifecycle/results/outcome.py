"""What many histories come to, day by day: quantiles of every count, and how many are clear."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tankside.claims import setting
from tankside.lifecycle.inputs.types import Floats
from tankside.lifecycle.results.endpoints import EDGES, clear_at, left_at, living, useful
from tankside.lifecycle.results.histories import Histories
from tankside.lifecycle.results.observation_model import EYE, seen_share
from tankside.lifecycle.results.of_twenty import TWENTY, OfTwenty
from tankside.lifecycle.results.weighted import Numbers, quantiles, share
from tankside.quantity.per import HOURS_PER_DAY

LEVELS = (
    EDGES[0],
    setting(0.25, "a quarter of the runs lie below"),
    setting(0.5, "the middle run"),
    setting(0.75, "a quarter of the runs lie above"),
    EDGES[1],
)


@dataclass(frozen=True, slots=True)
class Quantiles:
    """A number over all runs: 5, 25, 50, 75 and 95 % quantiles (infinite: not that often)."""

    low: float
    lower: float
    middle: float
    upper: float
    high: float


@dataclass(frozen=True, slots=True)
class DayOutcome:
    """All runs at one moment.

    ``burden``, ``counted`` and ``countable`` are over the runs in which a fish lives, None when
    there is none.

    Args:
        hour: since hour 0.
        burden: parasites on a fish, mean over the live fish of each run.
        counted: what a person is expected to count: spots on the worst fish, or parasites on one
            slide of the group that carries most.
        countable: part of the parasites on all fish that an eye can count; None where the
            parasite is not seen by eye.
        worst_visible: parasites on the worst fish that are large enough to be seen, gills too.
        on_fish: parasites on all fish together.
        bottom: stages on the bottom.
        swimmers: free stages in the water.
        alive: fish alive, by group.
        all_alive: fish alive together.
        clear: share of runs with a live fish and no parasite anywhere.
        left: share of runs with a live fish and parasites left.
        no_fish: share of runs in which no fish is left.
    """

    hour: int
    burden: Quantiles | None
    counted: Quantiles | None
    countable: Quantiles | None
    worst_visible: Quantiles
    on_fish: Quantiles
    bottom: Quantiles
    swimmers: Quantiles
    alive: Mapping[str, Quantiles]
    all_alive: Quantiles
    clear: OfTwenty
    left: OfTwenty
    no_fish: OfTwenty

    @property
    def day(self) -> int:
        """Whole days since hour 0."""
        return int(self.hour // HOURS_PER_DAY)


def spread(values: Numbers, weights: Floats) -> Quantiles:
    """Return the quantiles of one number per run."""
    return Quantiles(*quantiles(values, weights, LEVELS))


def spread_where(values: Floats, weights: Floats) -> Quantiles | None:
    """Return the quantiles over the runs in which the number is defined; None when none is."""
    defined = ~np.isnan(values)
    return spread(values[defined], weights[defined]) if defined.any() else None


def daily(histories: Histories, how: str) -> tuple[DayOutcome, ...]:
    """Summarise every moment looked at.

    Args:
        histories: as run.
        how: "spots" or "scrape", how this parasite is counted.
    """
    return tuple(_at(histories, place, how) for place in range(len(histories.at_h)))


def burden_per_fish(histories: Histories, moment: int) -> Floats:
    """Return parasites per live fish in each run; NaN when no fish lives."""
    return _per(histories.burden[:, moment].sum(axis=-1), histories.alive[:, moment].sum(axis=-1))


def counted_on_worst(histories: Histories, moment: int, how: str) -> Floats:
    """Return what a person is expected to count in each run; NaN when no fish lives.

    By eye: visible parasites on the worst fish x share on skin and fins x share a person counts.
    On a slide: parasites per live fish of the group that carries most x share on the slide.
    """
    if how == EYE:
        there = histories.worst_visible[:, moment].max(axis=-1).astype(np.float64)
    else:
        each = _per(histories.burden[:, moment], histories.alive[:, moment])
        there = np.where(np.isnan(each), 0.0, each).max(axis=-1)
    seen = there * seen_share(histories, how)
    return np.where(living(histories, moment), seen, np.nan)


def countable_share(histories: Histories, moment: int) -> Floats:
    """Return the part of all parasites on the fish that an eye can count; NaN when none is on."""
    visible = histories.visible[:, moment].sum(axis=-1)
    return _per(visible * seen_share(histories, EYE), histories.burden[:, moment].sum(axis=-1))


def _per(number: Numbers, of: Numbers) -> Floats:
    return np.where(of > 0, number / np.where(of > 0, of, 1), np.nan)


def _at(histories: Histories, place: int, how: str) -> DayOutcome:
    weights, alive = histories.weights, histories.alive[:, place]
    return DayOutcome(
        hour=int(histories.at_h[place]),
        burden=spread_where(burden_per_fish(histories, place), weights),
        counted=spread_where(counted_on_worst(histories, place, how), weights),
        countable=spread_where(countable_share(histories, place), weights) if how == EYE else None,
        worst_visible=spread(histories.worst_visible[:, place].max(axis=-1), weights),
        on_fish=spread(histories.burden[:, place].sum(axis=-1), weights),
        bottom=spread(histories.bottom[:, place], weights),
        swimmers=spread(histories.swimmers[:, place], weights),
        alive={g: spread(alive[:, k], weights) for k, g in enumerate(histories.groups)},
        all_alive=spread(alive.sum(axis=-1), weights),
        clear=share(clear_at(histories, place), weights),
        left=share(left_at(histories, place), weights),
        no_fish=share(~living(histories, place), weights),
    )


def twenty_runs(values: Numbers, weights: Floats) -> tuple[float, ...]:
    """Return the numbers of 20 runs that stand for all: the middles of 20 equal shares."""
    middles = [(number + 1 / 2) / TWENTY for number in range(TWENTY)]
    return quantiles(values, weights, middles)


def shown(quantiles: Quantiles, stock: int) -> bool:
    """Return whether a spread of fish is narrow enough, against the stock, to be shown."""
    return useful(quantiles.low, quantiles.high, stock)
