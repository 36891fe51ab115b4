"""The earliest day on which a stop may be discussed: last seen plus one slow cycle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, isfinite

from tankside.lifecycle import StageDurations


@dataclass(frozen=True, slots=True)
class DayLooked:
    """Whether anything was seen on one day.

    Args:
        day: day of the case (0 = first).
        seen: whether any parasite or spot was counted on any fish.
    """

    day: int
    seen: bool


@dataclass(frozen=True, slots=True)
class NotBefore:
    """The date and where it comes from.

    Args:
        day: earliest day on which a stop may be discussed; None when the parasite does not
            develop at this temperature, so that no date can be given.
        last_seen: day of the last positive count; None when nothing was ever seen.
        slow_cycle_d: slow end of release to release at the measured temperature [d].
        temperature_c: that temperature.
        cycle_words: what the cycle is.
        left_out: what it leaves out, as a sentence.
    """

    day: int | None
    last_seen: int | None
    slow_cycle_d: float
    temperature_c: float
    cycle_words: str
    left_out: str

    @property
    def words(self) -> str:
        """Return the date, what it is made of, and what it leaves out."""
        if self.last_seen is None:
            return "No count has shown a parasite yet, so there is no date to wait for."
        if self.day is None:
            return (
                f"No date: at {self.temperature_c:g} C the parasite does not develop on the "
                "bottom, so a clean fish says nothing about what waits there."
            )
        return (
            f"Not before day {self.day}: last seen on day {self.last_seen}, and the slow end of "
            f"{self.cycle_words} is {self.slow_cycle_d:.1f} days at {self.temperature_c:g} C. "
            f"{self.left_out}"
        )


def not_before(
    looks: Sequence[DayLooked], stage_durations: StageDurations, today: int
) -> NotBefore:
    """Return the earliest day on which a stop may be discussed, as known on ``today``.

    Whole calendar days: the day of the last positive count plus the slow cycle rounded up. A
    later positive count starts the wait again.

    Args:
        looks: days on which fish were looked at, in any order; later ones are not used.
        stage_durations: stays at the temperature measured.
        today: day on which it is asked.
    """
    seen = [look.day for look in looks if look.seen and look.day <= today]
    slow = stage_durations.cycle[2]
    last = max(seen, default=None)
    day = None if last is None or not isfinite(slow) else last + ceil(slow)
    return NotBefore(
        day,
        last,
        slow,
        stage_durations.temperature_c,
        stage_durations.cycle_words,
        stage_durations.left_out,
    )
