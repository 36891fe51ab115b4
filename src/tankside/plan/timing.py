"""When things are done: course length from the slow end of the cycle, intervals from the fast."""

from __future__ import annotations

from math import ceil, floor, isfinite, log10

from tankside.claims import setting, whole_setting
from tankside.errors import NotPossible
from tankside.lifecycle import StageDurations
from tankside.quantity.per import HOURS_PER_DAY

_LONGEST_D = whole_setting(180, "a course of more than half a year is not simulated")
_BUCKET = setting(0.05, "litres are told in round steps of at most about 5 % of the water")
_ROUND = (setting(1, "litre marks"), setting(2, "litre marks"), setting(5, "litre marks"))


def course_days(stage_durations: StageDurations, cycles: float, tail_d: float = 0.0) -> int:
    """Return the length of a course of ``cycles`` slow release-to-release cycles [d].

    Never shorter than the longest life in print, which a stop has to wait for too.

    Args:
        stage_durations: stays at the temperature of the water.
        cycles: slow cycles.
        tail_d: the longest life in print [d]; 0 where none is printed.

    Raises:
        NotPossible: E-PLAN-01 the stages do not develop at this temperature, or so slowly that
            no course ends within half a year.
    """
    slow = stage_durations.cycle[2]
    if not isfinite(slow) or cycles * slow > _LONGEST_D:
        raise NotPossible(
            "E-PLAN-01",
            "At this temperature the parasite develops so slowly that no course has an end.",
            given=f"{stage_durations.temperature_c:g} C",
            needed="a water temperature at which every stage develops",
            next_step="Check the thermometer; consider warming within the limits of the fish.",
            field="temperature",
        )
    return max(ceil(cycles * slow), min(ceil(tail_d), int(_LONGEST_D)))


def redose_every_d(stage_durations: StageDurations, choices: tuple[int, ...]) -> tuple[int, ...]:
    """Return the intervals that do not let a fast generation pass between two doses.

    The swimmers of a fast cyst must meet the agent: the interval may not exceed the fast end of
    the residence time on the fish plus the fast cyst; the shortest choice always stays.
    """
    fast = stage_durations.cycle[0]
    return tuple(every for every in choices if every <= fast) or choices[:1]


def after_hatching_d(window_d: tuple[float, float] | None, least_d: int) -> tuple[int, ...]:
    """Return the whole days after a dose on which the next is tried where eggs were spared.

    The first and the last whole day of the window (:func:`tankside.lifecycle.egg_window_days`).

    Args:
        window_d: first and last day after a dose [d]; None where there is no such time.
        least_d: the shortest usual interval of the agent [d].
    """
    if window_d is None:
        return ()
    first, last = max(ceil(window_d[0]), least_d), floor(window_d[1])
    return tuple(dict.fromkeys((first, last))) if first <= last else ()


def round_litres(litres: float, volume_l: float) -> float:
    """Return litres rounded down to marks a keeper can read on a bucket (at least one mark)."""
    power: float = 10 ** floor(log10(volume_l * _BUCKET))
    mark = max(step * power for step in _ROUND if step * power <= volume_l * _BUCKET)
    return max(mark, mark * floor(litres / mark))


def evenings(first_h: int, every_d: int, days: int) -> tuple[int, ...]:
    """Return hours ``every_d`` days apart from ``first_h`` to the end of the course."""
    return tuple(range(first_h, days * HOURS_PER_DAY, every_d * HOURS_PER_DAY))
