"""What a follow-up answers: belief, advice, the date to wait for, what fits, new dates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tankside.follow import (
    Decided,
    NotBefore,
    PosteriorRange,
    Predicted,
    Rescheduled,
    ToExamine,
)
from tankside.intake.assemble import Assembled
from tankside.intake.course_as_done import CourseAsDone
from tankside.intake.days_at_strength import AtStrength
from tankside.intake.fishless import FishlessTank
from tankside.lifecycle import OfTwenty, StageDurations


@dataclass(frozen=True, slots=True)
class PosteriorNow:
    """What is believed to be there now."""

    on_fish: PosteriorRange
    on_bottom: PosteriorRange
    in_water: PosteriorRange


@dataclass(frozen=True, slots=True)
class Belief:
    """What the weighted histories say; nothing without a count.

    Args:
        posterior: what is believed to be there now.
        clear_now: share of runs clear now.
        returns_if_stopped: share of runs that come back when stopped today.
        returns_going_on: the same when the course is gone through.
        effective: effective number of runs.
        trust: how far the counts could be taken at their word (1 in full).
        played: runs played.
        predicted: every count with what was to be expected.
        explained: whether enough runs explain the counts at all.
    """

    posterior: PosteriorNow | None = None
    clear_now: OfTwenty | None = None
    returns_if_stopped: OfTwenty | None = None
    returns_going_on: OfTwenty | None = None
    effective: float = 0.0
    trust: float = 1.0
    played: int = 0
    predicted: tuple[Predicted, ...] = ()
    explained: bool = True


@dataclass(frozen=True, slots=True)
class LatestCleanLook:
    """The latest look, when it showed nothing: fish looked at, of how many at the start."""

    examined: int
    population: int


@dataclass(frozen=True, slots=True)
class FollowAnswer:
    """The whole answer.

    Args:
        case: the assembled case.
        day: day it is asked on.
        day_number: the same, counted from the first day of the case.
        stage_durations: stays at the measured temperature.
        not_before: earliest day of a stop.
        belief: what the histories that fit the counts say.
        unexpected: counts outside; the five reasons are then in ``examine``.
        examine: reasons to look into, when something does not fit.
        clean_look: the latest look; None when it was not clean, or nobody looked.
        decided: advice and reasons.
        next_check: day of the next look.
        look: what is to be looked at then.
        looked: whether anybody has looked at fish at all.
        rescheduled: new hours of the steps ahead after one was missed or done twice.
        course_as_done: the course as it was lived.
        now_h: hour at which it was asked, since the first count or the course.
        seed: of chance.
        seconds: taken.
        at_strength: how long each agent given by test has been at strength.
        water: what the readings of the water warn of.
        fishless: tanks that all fish have left.
    """

    case: Assembled
    day: date
    day_number: int
    stage_durations: StageDurations
    not_before: NotBefore
    belief: Belief
    unexpected: tuple[Predicted, ...]
    examine: tuple[ToExamine, ...]
    clean_look: LatestCleanLook | None
    decided: Decided
    next_check: date
    look: str
    looked: bool
    rescheduled: Rescheduled | None
    course_as_done: CourseAsDone | None
    now_h: int
    seed: int
    seconds: float
    at_strength: tuple[AtStrength, ...] = ()
    water: tuple[str, ...] = ()
    fishless: tuple[FishlessTank, ...] = ()

    @property
    def steps_ahead(self) -> bool:
        """Whether any step of the course lies ahead."""
        return self.course_as_done is not None and bool(self.course_as_done.ahead)
