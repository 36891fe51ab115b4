"""The earliest day on which a stop may be discussed: the latest of its named dates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, isfinite

from tankside.lifecycle import PrintedTail, StageDurations


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
class Waits:
    """What is waited for beside one cycle.

    Args:
        house_d: whole days that are always waited after a parasite was last seen.
        tail: the longest life in print for the organism; None when none is printed.
        course_ends: day of the case on which the course that is followed ends; None without one.
    """

    house_d: int = 0
    tail: PrintedTail | None = None
    course_ends: int | None = None


@dataclass(frozen=True, slots=True)
class NamedDate:
    """One of the dates that have to be over.

    Args:
        day: day of the case.
        words: what it is, as it stands behind the day.
    """

    day: int
    words: str


@dataclass(frozen=True, slots=True)
class NotBefore:
    """The date and where it comes from.

    Args:
        day: earliest day on which a stop may be discussed; None when the parasite does not
            develop at this temperature, so that no date can be given.
        last_seen: day of the last positive count; None when nothing was ever seen.
        slow_cycle_d: slow end of release to release at the measured temperature [d].
        temperature_c: that temperature.
        left_out: what a cycle leaves out, as a sentence.
        dates: every date that has to be over, the latest first; ``day`` is that of the first.
        course_ends: day on which the course that is followed ends; None without one.
    """

    day: int | None
    last_seen: int | None
    slow_cycle_d: float
    temperature_c: float
    left_out: str
    dates: tuple[NamedDate, ...] = ()
    course_ends: int | None = None

    @property
    def words(self) -> str:
        """Return the date, every date it is the latest of, and what a cycle leaves out."""
        if self.last_seen is None:
            return "No count has shown a parasite yet, so there is no date to wait for."
        if self.day is None:
            return (
                f"No date: at {self.temperature_c:g} C the parasite does not develop on the "
                "bottom, so a clean fish says nothing about what waits there."
            )
        first, *others = self.dates
        rest = "; ".join(f"day {named.day}, {named.words}" for named in others)
        shorter = f" To be over by then as well: {rest}." if rest else ""
        ends = self.course_ends
        course = "" if ends is None else f" The course that is followed goes on to day {ends}."
        return (
            f"Not before day {self.day}: last seen on day {self.last_seen}, and {first.words}."
            f"{shorter}{course} {self.left_out}"
        )


def not_before(
    looks: Sequence[DayLooked],
    stage_durations: StageDurations,
    today: int,
    waits: Waits | None = None,
) -> NotBefore:
    """Return the earliest day on which a stop may be discussed, as known on ``today``.

    The latest of whole calendar days: the day of the last positive count plus the slow cycle, plus
    the longest life in print, plus what is always waited. A later positive count starts the wait
    again. The end of the course that is followed is told beside it and moves it not: counts may
    allow a stop to be discussed before.

    Args:
        looks: days on which fish were looked at, in any order; later ones are not used.
        stage_durations: stays at the temperature measured.
        today: day on which it is asked.
        waits: what is waited for beside one cycle; None for nothing.
    """
    seen = [look.day for look in looks if look.seen and look.day <= today]
    slow = stage_durations.cycle[2]
    last = max(seen, default=None)
    dates: tuple[NamedDate, ...] = ()
    if last is not None and isfinite(slow):
        dates = _named(last, stage_durations, waits or Waits())
    return NotBefore(
        dates[0].day if dates else None,
        last,
        slow,
        stage_durations.temperature_c,
        stage_durations.left_out,
        dates,
        None if waits is None else waits.course_ends,
    )


def _named(last: int, durations: StageDurations, waits: Waits) -> tuple[NamedDate, ...]:
    """Return every date that has to be over, the latest first; on one day, the cycle first."""
    slow = durations.cycle[2]
    cycle = (
        f"the slow end of {durations.cycle_words} is {slow:.1f} days at "
        f"{durations.temperature_c:g} C"
    )
    dates = [NamedDate(last + ceil(slow), cycle)]
    if waits.tail is not None:
        dates.append(NamedDate(last + ceil(waits.tail.days), waits.tail.words))
    if waits.house_d:
        always = f"{waits.house_d} days are always waited, in any water"
        dates.append(NamedDate(last + waits.house_d, always))
    return tuple(sorted(dates, key=lambda named: -named.day))
