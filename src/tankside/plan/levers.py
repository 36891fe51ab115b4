"""The values a plan may try for each lever, read from claims."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims import Knowledge

PREFIX = "practice.levers."


@dataclass(frozen=True, slots=True)
class Levers:
    """Values of the levers (``practice.levers.*``).

    Args:
        change_shares: shares of the water taken out at a part change, smallest first.
        usual_change: the usual share.
        change_every_d: days between changes, shortest first.
        lengths: course lengths tried, in slow cycles, shortest first.
        warm_rises_c: rises above the measured temperature tried, smallest first.
        warm_per_day_c: usual speed of warming [C/d].
        salt_step_g_l: most salt added at one time [g/L].
        salt_step_every_h: hours between steps.
        removal_changes: changes without putting back at the end of a course.
        morning_h: hour of the day for looking and measuring.
        evening_h: hour of the day for work at the tank.
        latest_h: hour of the day after which the first step waits for the next day.
        count_every_d: days between counts.
        few_doses: doses tried where each meets the worms from eggs that the last one spared.
    """

    change_shares: tuple[float, ...]
    usual_change: float
    change_every_d: tuple[int, ...]
    lengths: tuple[float, ...]
    warm_rises_c: tuple[float, ...]
    warm_per_day_c: float
    salt_step_g_l: float
    salt_step_every_h: int
    removal_changes: int
    morning_h: int
    evening_h: int
    latest_h: int
    count_every_d: int
    few_doses: tuple[int, ...] = ()


def read_levers(facts: Knowledge) -> Levers:
    """Read the levers from the knowledge.

    Raises:
        KeyError: a lever's claim is missing.
    """
    return Levers(
        change_shares=levels(facts, "change_share"),
        usual_change=facts.number(PREFIX + "change_share"),
        change_every_d=tuple(round(every) for every in levels(facts, "change_every")),
        lengths=levels(facts, "length_in_slow_cycles"),
        warm_rises_c=levels(facts, "warm_rise"),
        warm_per_day_c=facts.number(PREFIX + "warm_per_day"),
        salt_step_g_l=facts.number(PREFIX + "salt_step"),
        salt_step_every_h=_whole(facts, "salt_step_every"),
        removal_changes=_whole(facts, "removal_changes"),
        morning_h=_whole(facts, "morning_hour"),
        evening_h=_whole(facts, "evening_hour"),
        latest_h=_whole(facts, "latest_hour"),
        count_every_d=_whole(facts, "count_every"),
        few_doses=tuple(round(doses) for doses in levels(facts, "doses_after_hatching")),
    )


def levels(facts: Knowledge, short: str) -> tuple[float, ...]:
    """Return low, value and high of a lever, each once, in rising order."""
    claim = facts.claim(PREFIX + short)
    return tuple(sorted({*claim.bounds(), claim.number()}))


def _whole(facts: Knowledge, short: str) -> int:
    return round(facts.number(PREFIX + short))
