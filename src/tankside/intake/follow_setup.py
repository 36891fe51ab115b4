"""Set up a case for the follow-up: counts as sightings, the course as lived, both ways on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from math import ceil

from tankside import library
from tankside.case import CaseView
from tankside.claims.organism import Organism
from tankside.course import Course
from tankside.course.actions import Carbon, WaterChange
from tankside.course.actions.action import Action
from tankside.course.actions.lived import Lived
from tankside.course.bodies.effects import Effect
from tankside.follow import Rescheduled, initial_states, reschedule
from tankside.intake.assemble import Assembled, assemble, day_asked, midnight
from tankside.intake.bodies_of_water import courses_of, logged_in
from tankside.intake.chosen_course import Chosen, chosen
from tankside.intake.counts import ANIMALS, DUST, group_counts, sightings
from tankside.intake.course_as_done import CourseAsDone, course_as_done, moved, rescheduled_course
from tankside.intake.course_as_done import steps as dosing_steps
from tankside.intake.course_steps import FollowedSteps
from tankside.intake.days_at_strength import AtStrength
from tankside.intake.lived_course import LivedCourse
from tankside.intake.lived_courses import logged_beside
from tankside.intake.parasite_looks import ParasiteLooks
from tankside.intake.titrated_course import by_readings
from tankside.intake.trial_setup import looks_of, parasite_meant, set_up
from tankside.lifecycle import InitialState, Sighting, StageDurations
from tankside.lifecycle.results.observation_model import EYE, SCRAPE
from tankside.plan import Trial, read_levers
from tankside.plan.timing import round_litres
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

CYCLES_TO_RETURN = 2
"""Slow cycles after today within which a return shows itself."""


@dataclass(frozen=True, slots=True)
class FollowRequest:
    """What is asked of a follow-up, as typed.

    Args:
        on: day it is asked on; None for the latest day of the case.
        organism: organism id; None to take it from the case.
        seed: of chance; None to derive it from the case.
    """

    on: str | None = None
    organism: str | None = None
    seed: int | None = None


@dataclass(frozen=True, slots=True)
class FollowSetup:
    """The case at the hour it is asked, in hours since the first count or the course."""

    view: CaseView
    case: Assembled
    zero: Moment
    now_h: int
    day: date
    looked: ParasiteLooks
    seen: tuple[Sighting, ...]
    trial: Trial
    stage_durations: StageDurations
    course_as_done: CourseAsDone | None
    rescheduled: Rescheduled | None
    name: str
    starts: tuple[InitialState, ...]
    at_strength: tuple[AtStrength, ...] = ()
    logged: tuple[tuple[float, Effect], ...] = ()


def follow_setup(view: CaseView, request: FollowRequest) -> FollowSetup:
    """Return a case at the hour it is asked.

    Raises:
        BadInput: the day cannot be read.
        NotPossible: something is missing (volume, temperature, stock, life cycle).
    """
    facts = library.load()
    day = day_asked(view, request.on)
    now = _now(view, day)
    picked = chosen(view) if view.course is not None and view.course.course else None
    picked, stands = (None, ()) if picked is None else by_readings(view, facts, picked, now)
    parasite = parasite_meant(view, facts, request.organism)
    counted = [look.at for look in ParasiteLooks(view, facts, parasite).looks if look.counted]
    zero = _zero(view, picked, counted)
    now_h = max(round(hours_between(zero, now)), 1)
    start = picked.chosen_at if picked is not None and picked.chosen_at is not None else zero
    first = min(counted, key=lambda moment: moment.utc, default=start)
    begun = max(start, _end_of_day(view, first), key=lambda moment: moment.utc)
    followed = None if picked is None else picked.course
    case = assemble(view, facts, zero, at_start=True, placed=start, followed=followed)
    trial = set_up(
        case,
        organism=request.organism,
        seed=request.seed,
        labels={} if picked is None else picked.labels,
        start=begun,
        work=zero,
    )
    looked = looks_of(case, parasite)
    seen = _countable(trial.organism, sightings(looked, case.hosts, zero), now_h)
    past, rescheduled = _course_as_done(case, picked, now_h)
    logged = () if picked is not None else _logged(case, None, ())
    counts = group_counts(looked, case.hosts, begun)
    starts = initial_states(counts, case.hosts, trial.organism, facts)
    return FollowSetup(
        view, case, zero, now_h, day, looked, seen, trial,
        trial.situation.stage_durations, past, rescheduled,
        "no course" if picked is None else picked.name, starts, stands, logged,
    )  # fmt: skip


def _countable(organism: Organism, seen: tuple[Sighting, ...], now_h: int) -> tuple[Sighting, ...]:
    """Return the sightings up to now that say a number: dust by eye says where it is, no number.

    Big animals have one share that is found, whether looked for by eye or lifted off.
    """
    big = organism.seen_by == ANIMALS
    return tuple(
        replace(sighting, how=SCRAPE) if big and sighting.how == EYE else sighting
        for sighting in seen
        if sighting.hour <= now_h and not (organism.seen_by == DUST and sighting.how == EYE)
    )


def _zero(view: CaseView, picked: Chosen | None, counted: Sequence[Moment]) -> Moment:
    """Return the midnight before the first count or the start of the course, the earlier."""
    days = [moment.day for moment in counted]
    if picked is not None:
        days.append(picked.starts.day)
    return midnight(view, min(days, default=view.opened.moment.day))


def _end_of_day(view: CaseView, moment: Moment) -> Moment:
    return midnight(view, moment.day + timedelta(days=1))


def _now(view: CaseView, day: date) -> Moment:
    """Return the last moment of the day asked on that the case tells of, else its end."""
    last = view.last_moment(day)
    return last if last.day == day else midnight(view, day + timedelta(days=1))


def _course_as_done(
    case: Assembled, picked: Chosen | None, now_h: int
) -> tuple[CourseAsDone | None, Rescheduled | None]:
    if picked is None:
        return None, None
    view, facts, zero = case.view, case.facts, case.zero
    shift = round(hours_between(zero, picked.starts))
    *before, lived = courses_of(view, facts)
    logged = _logged(case, lived.followed, tuple(before))
    past = course_as_done(view, lived, logged, shift, now_h, zero)
    marked = dosing_steps(lived.followed, past.marks, shift, now_h)
    new = reschedule(marked, now_h)
    if not new.words or past.stopped_h is not None:
        return past, None
    course = rescheduled_course(picked.course, new, shift, now_h)
    ahead = tuple(a for a in moved(course.actions, shift) if a.at_h >= now_h)
    return replace(past, ahead=ahead), new


def _logged(
    case: Assembled, followed: FollowedSteps | None, before: tuple[LivedCourse, ...]
) -> tuple[tuple[float, Effect], ...]:
    """Return what went in and out beside a course, or without any, with its hour."""
    entered = partial(logged_in, case.view, case.facts)
    return tuple(logged_beside(case.systems, case.zero, before, followed, entered))


def end_hour(setup: FollowSetup) -> int:
    """Return the hour up to which a return is waited for."""
    ahead = (
        []
        if setup.course_as_done is None
        else [action.at_h for action in setup.course_as_done.ahead]
    )
    slow = ceil(CYCLES_TO_RETURN * setup.stage_durations.cycle[2]) * HOURS_PER_DAY
    return max([setup.now_h, *ahead]) + slow


def course_from(setup: FollowSetup, days: int, *, going_on: bool) -> Course:
    """Return what was done so far, and either the steps ahead or the removal that a stop means.

    Steps after the last of ``days`` days are left out.
    """
    name = setup.name if going_on else f"{setup.name}, stopped"
    if setup.course_as_done is None:
        return setup.case.lived(Course(name, days, (), Lived(logged=setup.logged)))
    after = setup.course_as_done.ahead if going_on else _taking_out(setup)
    return setup.case.lived(setup.course_as_done.course(name, days, after))


def _taking_out(setup: FollowSetup) -> tuple[Action, ...]:
    """Return what a keeper does on stopping: carbon back, and changes that put nothing back."""
    if (
        setup.course_as_done is None
        or setup.course_as_done.stopped_h is not None
        or not setup.course_as_done.done
    ):
        return ()
    levers = read_levers(setup.case.facts)
    body = setup.case.main
    litres = round_litres(levers.usual_change * body.volume.point_l, body.volume.point_l)
    changes = tuple(
        WaterChange(setup.now_h + n * HOURS_PER_DAY, body.id, litres, put_back=False)
        for n in range(levers.removal_changes)
    )
    return (Carbon(setup.now_h, body.id, True), *changes)
