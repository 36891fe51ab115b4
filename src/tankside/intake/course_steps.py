"""Every step of every course that a case has followed, with the entries that tell of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import lru_cache

from tankside.case import CaseView
from tankside.case.done import ActionDone, Decision
from tankside.claims import Knowledge
from tankside.claims.substance_names import named_in, resolve
from tankside.course.actions.action import Action
from tankside.course.actions.happened import Happened
from tankside.course.actions.lived import agent_of_step
from tankside.intake import clock
from tankside.intake.chosen_course import Chosen, every_course
from tankside.intake.joined_waters import joined_waters
from tankside.intake.step_names import names_of_steps, same_name
from tankside.intake.titrated_course import by_readings
from tankside.quantity.moment import Moment
from tankside.quantity.per import HOURS_PER_DAY

NAMES: dict[str, tuple[str, ...]] = {
    "carbon": ("carbon",),
    "uv": ("uv",),
    "air": ("air",),
    "siphon": ("siphon", "change", "take out"),
    "water_change": ("change", "take out", "water"),
    "salt": ("salt",),
    "dose": ("dose", "medicine"),
    "titrate": ("dose", "medicine"),
    "warm": ("warm", "heat", "cool"),
    "transfer": ("move", "transfer"),
    "fine_filter": ("fine filter",),
    "care": ("care",),
}
"""Words by which a keeper names a step of each kind."""


@dataclass(slots=True)
class CourseStep:
    """One step of a course.

    Args:
        name: its short name, unique in the case.
        action: what it is.
        at: the moment it is planned for, in UTC.
        dropped: whether its course was replaced or stopped before its time came.
        entries: what was told of it, in order of time.
    """

    name: str
    action: Action
    at: datetime
    dropped: bool
    entries: list[ActionDone] = field(default_factory=list)

    @property
    def is_open(self) -> bool:
        """Whether an answer to it is still waited for."""
        return not self.entries and not self.dropped

    @property
    def happened(self) -> Happened | None:
        """What became of it; None while nobody told."""
        if not self.entries:
            return None
        last = self.entries[-1]
        if last.state == "not_done":
            return Happened.MISSED
        if last.state == "keeper_does_not_know":
            return Happened.NOT_KNOWN
        put_in = [e for e in self.entries if e.state in ("done", "other_amount")]
        if len(put_in) > 1:
            return Happened.TWICE
        return Happened.OTHER_AMOUNT if last.state == "other_amount" else Happened.DONE


@dataclass(frozen=True, slots=True)
class FollowedSteps:
    """The steps of one course by their place in it.

    Args:
        picked: the course.
        steps: its steps; one that it took over from the course it re-dates is that very step.
        taken_over: places of the steps it took over.
    """

    picked: Chosen
    steps: tuple[CourseStep, ...]
    taken_over: frozenset[int]


def followed_steps(
    view: CaseView, facts: Knowledge, answering: frozenset[int] = frozenset()
) -> tuple[FollowedSteps, ...]:
    """Return the steps of every course of a case, the first course first.

    Args:
        view: the case.
        facts: what substances are called.
        answering: entries that answer an amount asked for, and so no step.
    """
    return _followed(view, facts, answering, clock.this_minute())


@lru_cache(maxsize=32)
def _followed(
    view: CaseView, facts: Knowledge, answering: frozenset[int], minute: datetime
) -> tuple[FollowedSteps, ...]:
    """Return the steps as they stand; asked again within a minute they are not read again."""
    del minute
    courses = _courses(view, facts)
    waters = joined_waters(view)
    for entry in view.actions_done:
        if entry.id in answering and entry.step is None:
            continue
        step = _step_of(facts, courses, entry, waters.now(entry.system)[0])
        if step is not None:
            step.entries.append(entry)
    return courses


def step_named(courses: tuple[FollowedSteps, ...], typed: str) -> CourseStep | None:
    """Return the step of a name, or None."""
    wanted = same_name(typed)
    every = (step for course in courses for step in course.steps)
    return next((step for step in every if step.name == wanted), None)


def system_of_step(view: CaseView, facts: Knowledge, typed: str) -> str:
    """Return the system in which a step is done, "" where the case has no such step."""
    step = step_named(_courses(view, facts), typed)
    return "" if step is None else step.action.body


def _courses(view: CaseView, facts: Knowledge) -> tuple[FollowedSteps, ...]:
    chosen = every_course(view)
    now = Moment(clock.now().isoformat())
    order = [by_readings(view, facts, picked, now)[0] for picked in chosen]
    courses: list[FollowedSteps] = []
    for number, picked in enumerate(order):
        later = order[number + 1] if number + 1 < len(order) else None
        until = None if later is None or later.chosen_at is None else later.chosen_at.utc
        planned = chosen[number]
        added = picked.course.actions[len(planned.course.actions) :]
        names = names_of_steps(view, planned, added)
        before = dict(_taken_over(courses[-1], picked)) if courses else {}
        steps = []
        for place, action in enumerate(picked.course.actions):
            at = picked.starts.utc + timedelta(hours=action.at_h)
            dropped = until is not None and at >= until
            dropped = dropped or stopped_at(view, picked, at) is not None
            steps.append(before.get(place) or CourseStep(names[place], action, at, dropped))
        courses.append(FollowedSteps(picked, tuple(steps), frozenset(before)))
    return tuple(courses)


def _taken_over(old: FollowedSteps, new: Chosen) -> Iterator[tuple[int, CourseStep]]:
    """Yield the steps before its choosing that a course shares with the one it re-dates."""
    if old.picked.starts.utc != new.starts.utc or new.chosen_at is None:
        return
    free = list(old.steps)
    for place, action in enumerate(new.course.actions):
        past = new.starts.utc + timedelta(hours=action.at_h) < new.chosen_at.utc
        step = next((s for s in free if past and s.action == action), None)
        if step is not None:
            free.remove(step)
            yield place, step


def stopped_at(view: CaseView, picked: Chosen, upto: datetime | None = None) -> Decision | None:
    """Return the decision by which a course stands stopped; None while it goes on.

    Args:
        view: the case.
        picked: the course.
        upto: the last moment that counts, in UTC; None for all of them.
    """
    stopped = None
    for decision in view.decisions:
        when = decision.moment.utc
        if picked.starts.utc <= when and (upto is None or when <= upto):
            if decision.what in ("stop", "end"):
                stopped = decision
            elif decision.what in ("go_on", "start", "extend", "change"):
                stopped = None
    return stopped


def _step_of(
    facts: Knowledge, courses: tuple[FollowedSteps, ...], entry: ActionDone, body: str
) -> CourseStep | None:
    """Return the step an entry tells of: by its name, else by its words and nearest in time.

    A substance that the entry names, by whatever name, is that of the step; where it names none
    that is on file, the words alone decide.
    """
    if entry.step is not None:
        return step_named(courses, entry.step)
    if entry.answers is not None:
        return None
    followed = [course for course in courses if course.picked.entry < entry.id]
    if entry.index is not None and followed and entry.index < len(followed[-1].steps):
        return followed[-1].steps[entry.index]
    words = f"{entry.action} {entry.agent or ''}".lower()
    agents = _agents_named(facts, entry)
    near = [
        step
        for course in followed
        for place, step in enumerate(course.steps)
        if place not in course.taken_over
        and not step.dropped
        and step.action.body == body
        and _hours_off(step, entry) <= HOURS_PER_DAY
        and _fits(step.action, agents, words)
    ]
    return min(near, key=lambda step: _hours_off(step, entry), default=None)


def _hours_off(step: CourseStep, entry: ActionDone) -> float:
    return abs((step.at - entry.moment.utc) / timedelta(hours=1))


def _agents_named(facts: Knowledge, entry: ActionDone) -> frozenset[str]:
    agent = None if entry.agent is None else resolve(facts, entry.agent).agent
    return named_in(facts, entry.action) if agent is None else frozenset((agent.id,))


def _fits(action: Action, agents: frozenset[str], words: str) -> bool:
    if agents and agent_of_step(action):
        return agent_of_step(action) in agents
    return any(word in words for word in NAMES.get(action.kind, ()))
