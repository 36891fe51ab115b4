"""Follow-up of a cause without a life cycle: what is seen against what its protocol expects.

Days are whole days since the care began. Deaths come first, then what the protocol expects to be
gone by its days, then the end; an end is named only where the protocol prints days for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from tankside.claims import setting, whole_setting

_LATELY_D = whole_setting(3, "deaths of the last three days say that it goes on")
_DOUBLE_D = whole_setting(2, "deaths are held against those of the two days before")
_DOUBLED = setting(2.0, "twice as many is doubled")
_READ_SAFE = whole_setting(2, "readings of two days say that water stays safe")
_FEWEST = whole_setting(2, "a single death is no rise")


class CareAdvice(StrEnum):
    """What stands first in a follow-up by protocol."""

    CALL = "call the veterinarian"
    LOOK_AGAIN = "look again at the cause"
    GO_ON = "go on"
    MAY_BE_OVER = "may be called over"


@dataclass(frozen=True, slots=True)
class CareLook:
    """What was seen on one day.

    Args:
        day: day since the care began.
        sign: whether any sign was seen.
    """

    day: int
    sign: bool


@dataclass(frozen=True, slots=True)
class ProtocolInputs:
    """What a follow-up by protocol rests on.

    Args:
        today: day it is asked on.
        due: days on which the protocol has the animals looked at, rising; empty when none is
            printed.
        looks: days on which somebody looked, rising, up to today.
        dead: deaths by day, up to today.
        water_fault: whether the last readings of the water prove a fault.
        water_measured: days on which the water was measured since care began, rising.
        of_water: whether the cause is a fault of the water, so that readings end it.
        parasites_gone: whether parasites were counted before and the latest look shows none.
        authority: whether an authority says when it is over.
    """

    today: int
    due: tuple[int, ...]
    looks: tuple[CareLook, ...]
    dead: Mapping[int, int]
    water_fault: bool
    water_measured: tuple[int, ...]
    of_water: bool
    parasites_gone: bool
    authority: bool

    @property
    def dead_lately(self) -> int:
        """Deaths of the last three days."""
        return sum(n for day, n in self.dead.items() if day > self.today - _LATELY_D)

    @property
    def last_due(self) -> int | None:
        """The last day of the rule."""
        return self.due[-1] if self.due else None


@dataclass(frozen=True, slots=True)
class JudgedByProtocol:
    """The advice, why, and when to look next.

    Args:
        advice: what to do.
        reasons: why, in sentences.
        next_look: day since the care began on which to look next.
    """

    advice: CareAdvice
    reasons: tuple[str, ...]
    next_look: int


def judge(seen: ProtocolInputs) -> JudgedByProtocol:
    """Return the advice that the protocol's own days and the deaths give.

    Args:
        seen: what was seen up to today.
    """
    tomorrow = seen.today + 1
    if called := tuple(_calls(seen)):
        return JudgedByProtocol(CareAdvice.CALL, called, tomorrow)
    if again := tuple(_again(seen)):
        return JudgedByProtocol(CareAdvice.LOOK_AGAIN, again, tomorrow)
    lacking = tuple(_lacking(seen))
    if not lacking:
        return JudgedByProtocol(CareAdvice.MAY_BE_OVER, (_over(seen),), tomorrow)
    return JudgedByProtocol(CareAdvice.GO_ON, lacking, next_due(seen))


def next_due(seen: ProtocolInputs) -> int:
    """Return the next day to look: now when a look is due, tomorrow while it is bad."""
    looked_today = any(look.day == seen.today for look in seen.looks)
    if _missed(seen) and not looked_today:
        return seen.today
    if seen.dead_lately or seen.water_fault or _missed(seen):
        return seen.today + 1
    return next((day for day in seen.due if day > seen.today), seen.today + 1)


def _calls(seen: ProtocolInputs) -> Iterator[str]:
    """Yield what means a call, whatever the plan says."""
    now = _died(seen, seen.today - _DOUBLE_D, seen.today)
    before = _died(seen, seen.today - 2 * _DOUBLE_D, seen.today - _DOUBLE_D)
    if now >= _FEWEST and now >= _DOUBLED * before:
        yield (
            f"{now} died in the last {_DOUBLE_D} days, {before} in the {_DOUBLE_D} before: they "
            "doubled."
        )
    if seen.last_due is not None and seen.today > seen.last_due and seen.dead_lately:
        yield f"{seen.dead_lately} died lately, after the last day on which it should be quiet."


def _died(seen: ProtocolInputs, after: int, upto: int) -> int:
    return sum(number for day, number in seen.dead.items() if after < day <= upto)


def _again(seen: ProtocolInputs) -> Iterator[str]:
    """Yield what sends back to the examination."""
    if seen.parasites_gone and seen.dead_lately:
        yield (
            f"No parasites are seen any more and {seen.dead_lately} died lately: the parasites are "
            "not what kills."
        )
    last = seen.looks[-1] if seen.looks else None
    due = seen.last_due
    if last is not None and last.sign and due is not None and last.day >= due:
        yield f"Signs were still there on day {last.day}, and should be gone by day {due}."


def _missed(seen: ProtocolInputs) -> tuple[int, ...]:
    """Return the days that are past on which, or after which, nobody looked before the next."""
    missed = []
    ends = (*seen.due[1:], *([None] if seen.due else []))
    for day, until in zip(seen.due, ends, strict=True):
        made = any(look.day >= day and (until is None or look.day < until) for look in seen.looks)
        if day <= seen.today and not made:
            missed.append(day)
    return tuple(missed)


def _lacking(seen: ProtocolInputs) -> Iterator[str]:
    """Yield what is still missing before it may be called over."""
    if seen.last_due is None:
        yield "No end can be named, because no source prints days for it."
        return
    if seen.today < seen.last_due:
        yield f"The rule runs to day {seen.last_due}; today is day {seen.today}."
    yield from (f"Nobody looked on day {day}, or before the next look." for day in _missed(seen))
    if seen.dead_lately:
        yield f"{seen.dead_lately} died in the last {_LATELY_D} days."
    last = seen.looks[-1] if seen.looks else None
    if last is not None and last.sign:
        yield f"Signs were seen on day {last.day}."
    if seen.water_fault:
        yield "The last readings of the water are not safe."
    elif seen.of_water and max(seen.water_measured, default=-1) < seen.last_due:
        yield f"The water was not measured on day {seen.last_due} or later."
    elif seen.of_water and len(set(seen.water_measured) - {0}) < _READ_SAFE:
        yield "The water was measured on a single day since: safe once is not yet safe to stay."
    if seen.authority:
        yield "The authority says when it is over, not this program."


def _over(seen: ProtocolInputs) -> str:
    return (
        f"Every look of the rule to day {seen.last_due} was made and showed nothing, and nothing "
        "died lately. Whoever decides may call it over; what to watch stays below."
    )
