"""Every door of a case: the simulated answer where there is one, else the care of its causes.

A question about a parasite that was named stays refused when that parasite cannot be simulated.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from tankside import library
from tankside.course import LabelEntry
from tankside.errors import NotPossible
from tankside.intake import clock
from tankside.intake.assemble import midnight
from tankside.intake.course_codec import is_of_care
from tankside.intake.follow_setup import FollowRequest
from tankside.intake.forecast_setup import ForecastRequest
from tankside.intake.labels import labels_of, read_labels
from tankside.intake.plan_setup import PlanRequest, ToCompare, require_something_acts, to_compare
from tankside.intake.trial_setup import parasite_meant
from tankside.plan import DEFAULT_SIZES, Progress, Sizes
from tankside.quantity.moment import find_zone, parse_date
from tankside.records.case_store import read_case
from tankside.services.care_case import CareAnswer, care_of_case
from tankside.services.care_choice import care_entry
from tankside.services.comparison import (
    ChosenEntry,
    compared_entry,
    is_compared,
    save_chosen,
)
from tankside.services.follow import follow
from tankside.services.follow_answer import FollowAnswer
from tankside.services.forecast import forecast
from tankside.services.forecast_answer import ForecastAnswer
from tankside.services.plan import PlanAnswer, compare_for
from tankside.services.saving import Added
from tankside.services.today import TodayAnswer, today

CARED_FOR = frozenset({"E-FC-02", "E-DOSE-20", "E-PLAN-01", "E-PLAN-02", "E-PLAN-03", "E-PLAN-12"})
"""Refusals that leave something to be done: no life cycle, volume, fish, course or remedy."""


def plan_by_cause(
    path: str | Path,
    request: PlanRequest,
    progress: Progress | None = None,
    sizes: Sizes = DEFAULT_SIZES,
) -> PlanAnswer | CareAnswer:
    """Compare courses for a case, or say what is done where none can be simulated.

    Raises:
        BadInput: the case or an option cannot be read.
        NotPossible: a step or an amount must be answered first; the parasite that was named cannot
            be simulated.
    """
    prepared = compared_here(path, request)
    if isinstance(prepared, CareAnswer):
        return prepared
    return compare_for(prepared, progress, sizes)


def compared_here(path: str | Path, request: PlanRequest) -> ToCompare | CareAnswer:
    """Return the case ready to compare courses, or its care where none are compared.

    The same answer for whoever compares and for whoever chooses; nothing is searched.

    Raises:
        BadInput: the case or an option cannot be read.
        NotPossible: as for ``plan_by_cause``.
    """
    on = parse_date(request.on, field="on") if request.on else None
    refused: NotPossible | None = None
    if not _no_parasite_course(path, on, request.organism):
        try:
            return to_compare(read_case(path), library.load(), request)
        except NotPossible as not_ready:
            _refuse_unless_cared(not_ready, request.organism)
            refused = not_ready
    return care_of_case(path, on, refused, _labels(path, on, request))


def choose_by_cause(
    path: str | Path,
    name: str,
    request: PlanRequest,
    *,
    by: str,
    reason: str,
    role: str | None = None,
) -> Added:
    """Write a course into the case: one of a kept comparison, or of care where none is made.

    Raises:
        BadInput: E-PLAN-04 there is no such course.
        NotPossible: the course cannot be followed here.
        CouldNotSave: the case has moved on, or the disk refused.
    """
    return save_chosen(path, chosen_by_cause(path, name, request, reason), by=by, role=role)


def chosen_by_cause(
    path: str | Path, name: str, request: PlanRequest, reason: str = ""
) -> ChosenEntry:
    """Return the entry that chooses a course, not saved; raises like ``choose_by_cause``."""
    care = None if is_compared(path, name) else compared_here(path, request)
    if isinstance(care, CareAnswer):
        return care_entry(care, name, reason)
    return compared_entry(path, name, reason)


def _labels(path: str | Path, on: date | None, request: PlanRequest) -> Mapping[str, LabelEntry]:
    """Return the containers of the case with those that were typed, which replace them."""
    facts, view = library.load(), read_case(path).view()
    day = on or view.last_moment().day
    typed = read_labels(facts, request.labels, request.scale, request.syringe)
    return {**labels_of(view, facts, midnight(view, day)), **typed}


def follow_by_cause(
    path: str | Path, request: FollowRequest, progress: Progress | None = None
) -> FollowAnswer | CareAnswer:
    """Hold the counts of a case against its course, or what is seen against its protocol.

    Raises:
        BadInput: the case or the day cannot be read.
        NotPossible: as for ``plan_by_cause``.
    """
    on = parse_date(request.on, field="on") if request.on else None
    if care := _no_parasite_course(path, on, request.organism):
        return care
    try:
        if request.organism is None and not _follows_parasite_course(path):
            require_something_acts(parasite_meant(read_case(path).view(), library.load(), None))
        return follow(path, request, progress)
    except NotPossible as refused:
        return _cared(path, on, refused, request.organism)


def forecast_by_cause(
    path: str | Path, request: ForecastRequest, progress: Progress | None = None
) -> ForecastAnswer | CareAnswer:
    """Foretell a course, or say what the protocol of the cause expects.

    Raises:
        BadInput: the case cannot be read.
        NotPossible: as for ``plan_by_cause``.
    """
    if care := _no_parasite_course(path, None, request.organism):
        return care
    try:
        return forecast(path, request, progress)
    except NotPossible as refused:
        return _cared(path, None, refused, request.organism)


def today_by_cause(path: str | Path, typed: str | None = None) -> TodayAnswer | CareAnswer:
    """Return one day of the course a case follows, or of the care of its causes.

    Raises:
        BadInput: the case or the day cannot be read.
        NotPossible: E-COURSE-03 the day lies outside the course.
    """
    try:
        return today(path, typed)
    except NotPossible as refused:
        on = parse_date(typed, field="date") if typed else _present_day(path)
        return _cared(path, on, refused, None)


def care_of_day(path: str | Path) -> CareAnswer | None:
    """Return the care of the present day of a case without a course; None where one is followed.

    Raises:
        BadInput: the case cannot be read.
    """
    if read_case(path).view().course is not None:
        return None
    answer = today_by_cause(path)
    return answer if isinstance(answer, CareAnswer) else None


def _no_parasite_course(path: str | Path, on: date | None, named: str | None) -> CareAnswer | None:
    """Return the care of a case beside which no parasite is treated unasked; None for others.

    A course against a parasite that the case follows already goes on to be answered.
    """
    if named is not None or _follows_parasite_course(path):
        return None
    care = care_of_case(path, on)
    return care if care.no_parasite_course else None


def _follows_parasite_course(path: str | Path) -> bool:
    course = read_case(path).view().course
    return course is not None and not is_of_care(course.course)


def _present_day(path: str | Path) -> date:
    view = read_case(path).view()
    here = clock.now().astimezone(find_zone(view.opened.zone)).date()
    return max(here, view.opened.moment.day)


def _cared(
    path: str | Path, on: date | None, refused: NotPossible, named: str | None
) -> CareAnswer:
    _refuse_unless_cared(refused, named)
    return care_of_case(path, on, refused)


def _refuse_unless_cared(refused: NotPossible, named: str | None) -> None:
    if refused.code not in CARED_FOR or (named is not None and refused.code == "E-FC-02"):
        raise refused
