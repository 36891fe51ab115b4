"""A chosen course up to one hour: what of it took place and how, and what lies ahead."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from tankside.case import CaseView
from tankside.case.done import ActionDone
from tankside.course import Course
from tankside.course.actions import Carbon
from tankside.course.actions.action import Action, at_hour
from tankside.course.actions.happened import Happened
from tankside.course.actions.lived import Lived, StepBound, StepLived
from tankside.course.bodies.effects import Effect
from tankside.follow import DosingStep, Rescheduled
from tankside.intake.course_steps import FollowedSteps
from tankside.intake.lived_course import LivedCourse
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

PUT_IN = ("salt", "dose", "titrate")


@dataclass(frozen=True, slots=True)
class DoneStep:
    """A step that took place.

    Args:
        action: the step at its planned hour.
        lived: how it took place; None for as planned.
        bound: what it was held to.
    """

    action: Action
    lived: StepLived | None = None
    bound: StepBound | None = None


@dataclass(frozen=True, slots=True)
class CourseAsDone:
    """A course as it was lived up to one hour.

    Args:
        took_place: steps up to that hour that took place.
        ahead: steps after that hour, as planned.
        marks: what became of the steps of the past, by their place in the course.
        stopped_h: hour at which the course was stopped; None while it goes on.
        logged: what went in and out beside the course, with its hour.
    """

    took_place: tuple[DoneStep, ...]
    ahead: tuple[Action, ...]
    marks: dict[int, Happened]
    stopped_h: int | None
    logged: tuple[tuple[float, Effect], ...] = ()

    @property
    def done(self) -> tuple[Action, ...]:
        """The steps that took place, as they were planned."""
        return tuple(step.action for step in self.took_place)

    @property
    def carbon_in(self) -> bool | None:
        """Whether carbon is in the water after the last step that touched it."""
        last = [action for action in self.done if isinstance(action, Carbon)]
        return last[-1].in_water if last else None

    def course(self, name: str, days: int, after: Iterable[Action]) -> Course:
        """Return what took place and the steps ``after`` it, those left out that lie too late."""
        end = days * HOURS_PER_DAY
        took_place = [step for step in self.took_place if step.action.at_h < end]
        actions = (*(step.action for step in took_place), *(a for a in after if a.at_h < end))
        lived = Lived(
            {place: step.lived for place, step in enumerate(took_place) if step.lived},
            self.logged,
            {place: step.bound for place, step in enumerate(took_place) if step.bound},
        )
        return Course(name, days, actions, lived)


def course_as_done(
    view: CaseView,
    lived: LivedCourse,
    logged: Iterable[tuple[float, Effect]],
    shift_h: int,
    now_h: int,
    zero: Moment,
) -> CourseAsDone:
    """Return the course as it was lived, in hours since ``zero``.

    A step of the past of which nobody told is taken as done as planned. One not done, or not
    known, did not take place; one done twice took place twice; another amount replaces the
    planned one. After a decision to stop nothing of the course takes place.

    Args:
        view: the case.
        lived: the chosen course with what became of its steps.
        logged: what went in and out beside it, with the hour since ``zero``.
        shift_h: hours from ``zero`` to hour 0 of the course.
        now_h: hour at which it is asked.
        zero: the moment of hour 0.
    """
    followed, entered = lived.followed, lived.course.lived
    actions = moved(followed.picked.course.actions, shift_h)
    stopped = _stopped(view, zero, shift_h, now_h)
    end = now_h if stopped is None else min(stopped, now_h)
    marks = {
        place: happened
        for place, step in enumerate(followed.steps)
        if (happened := step.happened) is not None
        and actions[place].at_h <= end
        and _is_told(step.entries, zero, now_h)
    }
    took_place = []
    for place, action in enumerate(actions):
        if action.at_h > end or marks.get(place) in (Happened.MISSED, Happened.NOT_KNOWN):
            continue
        step = entered.steps.get(place) if place in marks else None
        if step is not None:
            step = replace(step, at_h=step.at_h + shift_h)
        took_place.append(DoneStep(action, step, entered.bounds.get(place)))
    ahead = () if stopped is not None else tuple(a for a in actions if a.at_h > now_h)
    order = tuple(sorted(took_place, key=lambda step: step.action.at_h))
    return CourseAsDone(order, ahead, marks, stopped, tuple(logged))


def _is_told(entries: list[ActionDone], zero: Moment, now_h: int) -> bool:
    """Whether a step was told of up to a day after it is asked."""
    hours = (hours_between(zero, entry.moment) for entry in entries)
    return any(hour <= now_h + HOURS_PER_DAY for hour in hours)


def steps(
    followed: FollowedSteps, marks: dict[int, Happened], shift_h: int, now_h: int
) -> tuple[DosingStep, ...]:
    """Return the steps that put an agent in, with what became of them, for re-dating."""
    put_in = []
    for place, action in enumerate(moved(followed.picked.course.actions, shift_h)):
        if action.kind in PUT_IN:
            past = action.at_h <= now_h
            happened = marks.get(place, Happened.DONE) if past else marks.get(place)
            name = followed.steps[place].name
            put_in.append(DosingStep(place, action.at_h, happened, name))
    return tuple(put_in)


def moved(actions: Iterable[Action], by_h: int) -> tuple[Action, ...]:
    """Return the actions with their hours counted from another hour 0."""
    return tuple(at_hour(action, action.at_h + by_h) for action in actions)


def _stopped(view: CaseView, zero: Moment, shift_h: int, now_h: int) -> int | None:
    """Return the hour of the last decision, when it was to stop; None while the course goes on."""
    stopped: int | None = None
    for decision in view.decisions:
        hour = round(hours_between(zero, decision.moment))
        if shift_h <= hour <= now_h:
            if decision.what in ("stop", "end"):
                stopped = hour
            elif decision.what in ("go_on", "start", "extend", "change"):
                stopped = None
    return stopped


def rescheduled_course(course: Course, new: Rescheduled, shift_h: int, now_h: int) -> Course:
    """Return the course with its steps at their new hours.

    Args:
        course: as it was chosen.
        new: new hours and dropped steps, in hours since the follow-up's hour 0.
        shift_h: hours from that hour 0 to hour 0 of the course.
        now_h: hour at which it was asked.
    """
    actions = []
    for place, action in enumerate(course.actions):
        if place in new.dropped:
            continue
        if place in new.hours:
            actions.append(at_hour(action, new.hours[place] - shift_h))
        elif action.at_h + shift_h > now_h:
            actions.append(at_hour(action, action.at_h + new.later_h))
        else:
            actions.append(action)
    ordered = tuple(sorted(actions, key=lambda action: action.at_h))
    return Course(course.name, course.days + -(-new.later_h // HOURS_PER_DAY), ordered)
