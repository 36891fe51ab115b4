"""Check a course before it starts, as if it were chosen; start it once nothing bears danger."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tankside import library
from tankside.case import CaseView, fold
from tankside.course import Caution
from tankside.errors import BadInput, Mistake, NotPossible
from tankside.intake.course_codec import is_of_care
from tankside.intake.followed_course import Running, running
from tankside.intake.plan_setup import PlanRequest
from tankside.records.case_store import read_case
from tankside.records.stored_case import StoredCase
from tankside.services.by_cause import chosen_by_cause
from tankside.services.care_choice import stops_of_care
from tankside.services.cases import Writer, number_on
from tankside.services.comparison import ChosenEntry, save_chosen
from tankside.services.saving import Added

NO_WATER = "E-DOSE-20"
NO_FISH = "E-PLAN-02"


@dataclass(frozen=True, slots=True)
class StartCheck:
    """A course as it would run from now on.

    Args:
        stored: the case, the course not in it.
        view: the case with the course in it.
        name: by which the course is chosen.
        entry: what starting it would write.
        followed: the course over its water; None for care without measured water or fish.
    """

    stored: StoredCase
    view: CaseView
    name: str
    entry: ChosenEntry
    followed: Running | None

    @property
    def stops(self) -> tuple[Caution, ...]:
        """What bears danger: a course with any of these is not started.

        Bad water does not forbid the care that puts it right.
        """
        if self.followed is None:
            return ()
        course = self.view.course
        of_care = course is not None and is_of_care(course.course)
        run = self.followed.run
        return stops_of_care(run) if of_care else run.blocked

    @property
    def weighs(self) -> bool:
        """Whether anything is weighed or measured out."""
        return self.followed is not None and bool(self.followed.run.amounts)


@dataclass(frozen=True, slots=True)
class Agreed:
    """What was seen and said before a course starts, as typed.

    Args:
        label_read: the containers were read again and say what stands there.
        second: who worked the sums out a second time.
        stop_signs: at which signs the keeper stops and calls.
        reason: why this course, and who checked it.
    """

    label_read: bool = False
    second: str = ""
    stop_signs: str = ""
    reason: str = ""


def start_check(path: str | Path, name: str, by: str) -> StartCheck:
    """Return a course as it would run; nothing is saved.

    Args:
        path: the case.
        name: by which the course is chosen.
        by: who would start it.

    Raises:
        BadInput: E-PLAN-04 there is no such course.
        NotPossible: E-PLAN-05, E-PLAN-07 or E-WATER-04, as when it is chosen.
        CouldNotSave: E-WEB-04 the case has moved on since it was compared.
    """
    stored = read_case(path)
    entry = chosen_by_cause(path, name, PlanRequest())
    view = fold((*stored.entries, *number_on(stored, [entry.fields], Writer(by))))
    followed: Running | None = None
    try:
        followed = running(view, library.load())
    except Mistake as lacking:
        if lacking.code not in (NO_WATER, NO_FISH):
            raise
    return StartCheck(stored, view, name, entry, followed)


def start_course(path: str | Path, name: str, agreed: Agreed, *, by: str) -> Added:
    """Write a course into the case once every check is in order.

    Args:
        path: the case.
        name: by which the course is chosen.
        agreed: what was seen and said.
        by: who starts it.

    Raises:
        NotPossible: E-PLAN-08 a check bears danger.
        BadInput: E-PLAN-09 a check was not answered.
        CouldNotSave: the case has moved on, or the disk refused.
    """
    check = start_check(path, name, by)
    for stop in check.stops:
        raise NotPossible(
            "E-PLAN-08",
            f"This course is not started: {stop.words}",
            given=str(check.entry.fields["name"]),
            needed=stop.why or "a course that animals and water bear",
            next_step=stop.what_instead or "Choose another course.",
            field="name",
        )
    if check.weighs:
        _refuse_unchecked(agreed)
    fields = dict(check.entry.fields)
    fields |= {"reason": agreed.reason} if agreed.reason else {}
    fields |= {"stop_signs": agreed.stop_signs} if agreed.stop_signs else {}
    return save_chosen(path, ChosenEntry(fields, check.entry.version), by=by)


def _refuse_unchecked(agreed: Agreed) -> None:
    """Refuse to start while a container was not read again or one person alone did the sums."""
    if not agreed.label_read:
        raise BadInput(
            "E-PLAN-09",
            "The containers were not read again.",
            given="left open",
            needed="each container in the hand, read against what stands here",
            next_step="Read them, tick it and start; nothing was saved.",
            field="label_read",
        )
    if not agreed.second:
        raise BadInput(
            "E-PLAN-09",
            "Nobody is named who worked the sums out a second time.",
            given="left open",
            needed="the name of a second person who worked them out apart from the first",
            next_step="Have it done, write the name and start; nothing was saved.",
            field="second",
        )
