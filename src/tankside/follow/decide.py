"""Go on, change, or: a stop may be discussed. Never more than that, and never at zero alone.

One record, from which the advice, the fit, the chances that may be said and their words are all
taken, so that no two statements of a page can be of different minds.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tankside.claims import setting
from tankside.follow.not_before import NotBefore
from tankside.lifecycle import OfTwenty

_FEW_RETURNS = setting(0.05, "fewer than 1 of 20 come back: the least that is ever said")
_MORE_OFTEN = setting(
    0.5, "a stop after which it comes back more often than not is none to discuss"
)
_FIRMLY = setting(0.5, "counts taken at less than half their word are not said to fit")
_GO_ON_DYING = setting(2.0, "two dead in three days: one may have been ill before")


class Advice(StrEnum):
    """What stands first on the follow-up page; stopping is never one of them."""

    GO_ON = "go on"
    LOOK_AGAIN = "look again before anything is changed"
    FIND_CAUSE = "look for the cause again before anything is changed"
    MAY_DISCUSS = "go on to the check; a stop may be discussed"
    COUNT_FIRST = "count first"


class Fit(StrEnum):
    """How the counts stand to the course."""

    NOT_JUDGED = "not judged"
    FITS = "fits"
    LOOSELY = "fits loosely"
    OUTSIDE = "does not fit"


def fit_of(judged: int, trust: float, *, outside: bool) -> Fit:
    """Return how the counts stand to the course.

    Args:
        judged: how many counts were held against it.
        trust: how far they could be taken at their word (1 in full).
        outside: whether any lies outside, or hardly a history explains them together.
    """
    if outside:
        return Fit.OUTSIDE
    if not judged:
        return Fit.NOT_JUDGED
    return Fit.FITS if trust >= _FIRMLY else Fit.LOOSELY


@dataclass(frozen=True, slots=True)
class DecisionInputs:
    """What the decision rests on.

    Args:
        today: day on which it is asked.
        looked: day of the latest look at fish; None when there was none.
        seen_at_latest: whether it showed anything.
        not_before: earliest day and its reasons.
        fit: how the counts stand to the course.
        clear_now: share of runs clear now; None when it could not be worked out.
        returns_if_stopped: share of runs that come back when stopped today.
        dead_lately: how many died on this day and the days just before it.
        lately_d: how many days these are.
        parasites_down: whether fewer are seen now than before.
    """

    today: int
    looked: int | None
    seen_at_latest: bool
    not_before: NotBefore
    fit: Fit
    clear_now: OfTwenty | None
    returns_if_stopped: OfTwenty | None
    dead_lately: int = 0
    lately_d: int = 0
    parasites_down: bool = False

    @property
    def deaths_go_on(self) -> bool:
        """Whether animals go on dying although fewer parasites are seen."""
        return self.parasites_down and self.dead_lately >= _GO_ON_DYING

    @property
    def seen_and_not_looked_again(self) -> bool:
        """Whether the runs alone would call a tank clear in which parasites were seen last."""
        clear = self.clear_now
        return self.seen_at_latest and clear is not None and clear.share > _MORE_OFTEN


@dataclass(frozen=True, slots=True)
class Decided:
    """The advice and its reasons, in the order in which they weigh, and what may be said beside.

    Args:
        advice: what stands first.
        reasons: why.
        fit: how the counts stand to the course.
        odds_said: whether the chances of being clear and of coming back may be told.
    """

    advice: Advice
    reasons: tuple[str, ...]
    fit: Fit
    odds_said: bool


def decide(standing: DecisionInputs) -> Decided:
    """Return what stands first, and why.

    A stop may be discussed only when the day has come, the latest look was clean and no later
    than that day, the counts fit the course, nothing died lately, and it does not come back more
    often than not. It is never advised.
    """
    advice, reasons = _advised(standing)
    said = standing.looked is not None and not standing.seen_and_not_looked_again
    return Decided(advice, reasons, standing.fit, said)


def _advised(standing: DecisionInputs) -> tuple[Advice, tuple[str, ...]]:
    if standing.looked is None:
        return Advice.COUNT_FIRST, ("No count yet: the course cannot be judged.",)
    waiting = _waiting(standing)
    if standing.deaths_go_on:
        words = (
            f"Fewer parasites are seen, yet {standing.dead_lately} animals died within "
            f"{standing.lately_d} days: something else may be killing them. Measure the water, "
            "open a fresh body, and ask again what fits."
        )
        return Advice.FIND_CAUSE, (words, *waiting)
    if standing.fit is Fit.OUTSIDE:
        words = "The counts are not what this course explains: find out why before going on blind."
        return Advice.LOOK_AGAIN, (words, *waiting)
    if waiting:
        return Advice.GO_ON, waiting
    never = standing.not_before.last_seen is None
    over = "No look has shown any" if never else "The wait is over and the latest look was clean"
    words = (
        f"{over}. Zero seen is not zero there: look at as many fish as can be caught, gills too, "
        "before the keeper and you decide."
    )
    return Advice.MAY_DISCUSS, (words, *_odds(standing))


def _waiting(standing: DecisionInputs) -> tuple[str, ...]:
    """Return every reason to go on."""
    reasons = []
    earliest, looked = standing.not_before, standing.looked or 0
    day = earliest.day
    if standing.seen_at_latest:
        reasons.append(f"Parasites were seen at the latest look, on day {looked}.")
    if earliest.last_seen is not None and (day is None or standing.today < day):
        reasons.append(earliest.words)
        if not standing.seen_at_latest and looked == standing.today:
            reasons.append(
                "Seeing nothing today is expected while the parasite is off the fish; it means "
                "little."
            )
    elif day is not None and looked < day:
        reasons.append(f"Nobody has looked since day {day}: count on or after that day first.")
    if standing.dead_lately:
        reasons.append(
            f"{standing.dead_lately} died within {standing.lately_d} days: no stop is discussed "
            "while animals die."
        )
    returns = standing.returns_if_stopped
    often = returns is not None and returns.share > _MORE_OFTEN
    return (*reasons, *_odds(standing)) if reasons or often else ()


def _odds(standing: DecisionInputs) -> tuple[str, ...]:
    returns = standing.returns_if_stopped
    if returns is None or standing.seen_and_not_looked_again:
        return ()
    word = "" if returns.share > _FEW_RETURNS else " That is the least this program ever says."
    return (f"Stopped today it comes back in {returns.words} such tanks.{word}",)
