"""What one course came to over many histories: clear, fish lost, days, work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.claims import setting
from tankside.course import DayLine
from tankside.lifecycle import Histories, OfTwenty
from tankside.lifecycle.results.endpoints import EDGES, clear_at, lost, useful
from tankside.lifecycle.results.weighted import quantiles, share

MIDDLE = setting(0.5, "the middle run")


@dataclass(frozen=True, slots=True)
class Score:
    """The outcome of one course.

    Args:
        clear: share of runs in which nothing is left on a live fish, on the bottom or in the
            water at the end of the time looked at, and at least one fish lives.
        lost_low: fish lost, low end (1 run in 20 loses fewer).
        lost_middle: fish lost in the middle run.
        lost_high: fish lost, high end (1 run in 20 loses more).
        stock: fish at the start.
        deaths_known: whether parameters say what kills a fish; else no loss is said.
        days: length of the course.
        work_min_per_day: work as far as its time is known; None when no time is known.
    """

    clear: OfTwenty
    lost_low: int
    lost_middle: int
    lost_high: int
    stock: int
    deaths_known: bool
    days: int
    work_min_per_day: float | None

    @property
    def losses_useful(self) -> bool:
        """Whether losses are in the histories and narrow enough to say anything."""
        return self.deaths_known and useful(self.lost_low, self.lost_high, self.stock)


def work_per_day(lines: Sequence[DayLine], days: int) -> float | None:
    """Return minutes of work a day, over the lines whose time is known; None when none is."""
    minutes = [line.minutes for line in lines if line.minutes is not None]
    return sum(minutes) / max(days, 1) if minutes else None


def score(
    histories: Histories, lines: Sequence[DayLine], days: int, *, deaths_known: bool
) -> Score:
    """Summarise the histories of one course.

    Args:
        histories: played to the end of the time looked at.
        lines: what is done.
        days: length of the course itself.
        deaths_known: whether parameters say what kills a fish.
    """
    levels = (EDGES[0], MIDDLE, EDGES[1])
    low, middle, high = quantiles(lost(histories), histories.weights, levels)
    return Score(
        clear=share(clear_at(histories), histories.weights),
        lost_low=round(low),
        lost_middle=round(middle),
        lost_high=round(high),
        stock=int(histories.alive[0, 0].sum()),
        deaths_known=deaths_known,
        days=days,
        work_min_per_day=work_per_day(lines, days),
    )
