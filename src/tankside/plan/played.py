"""A course of a comparison once more, looked at every day: what its card says only of the end."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.course import CourseRun
from tankside.lifecycle import Histories, OfTwenty
from tankside.lifecycle.results.endpoints import clear_at
from tankside.lifecycle.results.rival_sides import agreed_share, rival_sides
from tankside.plan.candidate import Candidate
from tankside.plan.compare import FINAL_ROUND
from tankside.plan.trial import Trial
from tankside.quantity.per import HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class PlayedDaily:
    """A course with its histories at every midnight and at the end.

    Args:
        candidate: the course.
        run: its water, amounts and lines.
        histories: the very histories its card was made from.
        clear: in how many runs it is clear in the end, as on its card.
    """

    candidate: Candidate
    run: CourseRun
    histories: Histories
    clear: OfTwenty


def day_by_day(trial: Trial, candidate: Candidate, days: int, histories: int) -> PlayedDaily:
    """Play a course as its comparison did, under the same luck, and look at it every day.

    Args:
        trial: case, knowledge and starting state of the comparison.
        candidate: the course.
        days: how long every course of the comparison is followed [d].
        histories: how many the comparison played of each course that it shows.
    """
    run = trial.water(candidate.course(days))
    looked_at = (*range(0, days * HOURS_PER_DAY, HOURS_PER_DAY), days * HOURS_PER_DAY - 1)
    played = trial.play(trial.compile(run), FINAL_ROUND, histories, looked_at)
    sides = rival_sides(trial.organism, played.draws, histories)
    clear = agreed_share(clear_at(played), played.weights, sides)
    return PlayedDaily(candidate, run, played, clear)
