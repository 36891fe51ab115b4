"""What one course came to over many histories: clear, fish lost, days, work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting
from tankside.course import DayLine
from tankside.lifecycle import Histories
from tankside.plan.of_twenty import OfTwenty, of_twenty

EDGES = (
    setting(0.05, "19 of 20 runs lie above the low end"),
    setting(0.95, "19 of 20 runs lie below the high end"),
)
_USEFUL = setting(0.6, "an interval of losses wider than 60 % of the stock tells nothing useful")


@dataclass(frozen=True, slots=True)
class Score:
    """The outcome of one course.

    Args:
        clear: share of runs in which nothing is left on a live fish, on the bottom or in the
            water at the end of the time looked at, and at least one fish lives.
        lost_low: fish lost, low end (1 run in 20 loses fewer).
        lost_high: fish lost, high end (1 run in 20 loses more).
        stock: fish at the start.
        days: length of the course.
        work_min_per_day: work as far as its time is known; None when no time is known.
    """

    clear: OfTwenty
    lost_low: int
    lost_high: int
    stock: int
    days: int
    work_min_per_day: float | None

    @property
    def losses_useful(self) -> bool:
        """Whether the interval of losses is narrow enough to say anything."""
        return useful(self.lost_low, self.lost_high, self.stock)


def useful(low: float, high: float, stock: int) -> bool:
    """Return whether an interval of fish is narrow enough, against the stock, to be shown."""
    return high - low <= _USEFUL * max(stock, 1)


def cleared(histories: Histories) -> NDArray[np.bool_]:
    """Return for each history whether it ends clear with at least one fish alive."""
    return clear_at(histories, -1)


def clear_at(histories: Histories, moment: int) -> NDArray[np.bool_]:
    """Return for each history whether it is clear at a moment with at least one fish alive."""
    living = histories.alive[:, moment].sum(axis=-1) > 0
    flags: NDArray[np.bool_] = histories.clear[:, moment] & living
    return flags


def lost(histories: Histories) -> NDArray[np.int64]:
    """Return the fish lost in each history."""
    gone: NDArray[np.int64] = (histories.alive[:, 0] - histories.alive[:, -1]).sum(axis=-1)
    return gone


def effective(weights: NDArray[np.float64]) -> float:
    """Return the effective number of weighted runs: (sum w)^2 / sum w^2."""
    total = float(weights.sum())
    return 0.0 if total <= 0 else total * total / float((weights * weights).sum())


def share(flags: NDArray[np.bool_], weights: NDArray[np.float64]) -> OfTwenty:
    """Return the weighted share of histories for which ``flags`` holds."""
    total, runs = float(weights.sum()), effective(weights)
    hits = 0.0 if total <= 0 else float(weights[flags].sum()) / total * runs
    return of_twenty(hits, runs)


def quantiles(
    values: NDArray[np.int64] | NDArray[np.float64],
    weights: NDArray[np.float64],
    edges: Sequence[float],
) -> tuple[float, ...]:
    """Return weighted quantiles (inverse of the weighted distribution function)."""
    order = np.argsort(values, kind="stable")
    heaped = np.cumsum(weights[order])
    last = len(values) - 1
    places = np.searchsorted(heaped, np.asarray(edges) * heaped[-1])
    return tuple(float(values[order[min(int(place), last)]]) for place in places)


def work_per_day(lines: Sequence[DayLine], days: int) -> float | None:
    """Return minutes of work a day, over the lines whose time is known; None when none is."""
    known = [line.minutes for line in lines if line.minutes is not None]
    return sum(known) / max(days, 1) if known else None


def score(histories: Histories, lines: Sequence[DayLine], days: int) -> Score:
    """Summarise the histories of one course.

    Args:
        histories: played to the end of the time looked at.
        lines: what is done.
        days: length of the course itself.
    """
    low, high = quantiles(lost(histories), histories.weights, EDGES)
    return Score(
        clear=share(cleared(histories), histories.weights),
        lost_low=round(low),
        lost_high=round(high),
        stock=int(histories.alive[0, 0].sum()),
        days=days,
        work_min_per_day=work_per_day(lines, days),
    )
