"""Go on, change, or: a stop may be discussed. Never more than that, and never at zero alone."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tankside.claims import setting
from tankside.follow.not_before import NotBefore
from tankside.lifecycle import OfTwenty

_FEW_RETURNS = setting(0.05, "fewer than 1 of 20 come back: the least that is ever said")


class Advice(StrEnum):
    """What stands first on the follow-up page; stopping is never one of them."""

    GO_ON = "go on"
    LOOK_AGAIN = "look again before anything is changed"
    MAY_DISCUSS = "go on to the check; a stop may be discussed"
    COUNT_FIRST = "count first"


@dataclass(frozen=True, slots=True)
class DecisionInputs:
    """What the decision rests on.

    Args:
        today: day on which it is asked.
        counted_today: day of the latest count; None when there is none.
        seen_at_latest: whether the latest count showed anything.
        not_before: earliest day and its reasons.
        unexpected: whether the counts lie outside what the course can explain.
        clear_now: share of runs clear now; None when it could not be worked out.
        returns_if_stopped: share of runs that come back when stopped today.
    """

    today: int
    counted_today: int | None
    seen_at_latest: bool
    not_before: NotBefore
    unexpected: bool
    clear_now: OfTwenty | None
    returns_if_stopped: OfTwenty | None


@dataclass(frozen=True, slots=True)
class Decided:
    """The advice and its reasons, in the order in which they weigh."""

    advice: Advice
    reasons: tuple[str, ...]


def decide(standing: DecisionInputs) -> Decided:
    """Return what stands first, and why.

    A stop may be discussed only when the day has come, the latest look was clean and no later
    than that day, and the counts fit the course. It is never advised.
    """
    if standing.counted_today is None:
        return Decided(Advice.COUNT_FIRST, ("No count yet: the course cannot be judged.",))
    if standing.unexpected:
        words = "The counts are not what this course explains: find out why before going on blind."
        return Decided(Advice.LOOK_AGAIN, (words, *_waiting(standing)))
    waiting = _waiting(standing)
    if waiting:
        return Decided(Advice.GO_ON, waiting)
    words = (
        "The wait is over and the latest look was clean. Zero seen is not zero there: look at as "
        "many fish as can be caught, gills too, before the keeper and you decide."
    )
    return Decided(Advice.MAY_DISCUSS, (words, *_odds(standing)))


def _waiting(standing: DecisionInputs) -> tuple[str, ...]:
    """Return every reason to go on."""
    reasons = []
    day = standing.not_before.day
    if standing.seen_at_latest:
        reasons.append("Parasites were seen at the latest look.")
    if standing.not_before.last_seen is not None and (day is None or standing.today < day):
        reasons.append(standing.not_before.words)
    elif day is not None and (standing.counted_today or 0) < day:
        reasons.append(f"Nobody has looked since day {day}: count on or after that day first.")
    if not standing.seen_at_latest and reasons:
        reasons.append(
            "No spots today is expected while the parasite is off the fish; it means little."
        )
    return (*reasons, *_odds(standing)) if reasons else ()


def _odds(standing: DecisionInputs) -> tuple[str, ...]:
    returns = standing.returns_if_stopped
    if returns is None:
        return ()
    word = "" if returns.share > _FEW_RETURNS else " That is the least this program ever says."
    return (f"Stopped today it comes back in {returns.words} such tanks.{word}",)
