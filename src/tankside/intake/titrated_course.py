"""A course that goes by test, as its readings leave it: the steps that follow from each of them.

The schedule that was chosen stays in the case. What follows from the readings is worked out anew
each time: a reading stands in place of the account from its hour on, the steps after it start from
it, and a day that does not count moves the end (``days_at_strength``). Steps of the chosen course
keep their places; what is added stands behind them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from math import ceil

from tankside.case import CaseView
from tankside.case.done import ActionDone
from tankside.claims import Knowledge, setting
from tankside.claims.substance_names import named_in, resolve
from tankside.course import Course
from tankside.course.actions import Titrate
from tankside.course.actions.action import Action
from tankside.course.actions.lived import agent_of_step
from tankside.course.amounts.titration import Titration, titration
from tankside.intake.chosen_course import Chosen
from tankside.intake.days_at_strength import AtStrength, ReadDays, at_its_length, removal_h
from tankside.intake.joined_waters import joined_waters
from tankside.intake.step_names import names_of_steps, same_name
from tankside.intake.strength_readings import CopperReading, copper_readings, kit_reading
from tankside.present.clock import CaseClock
from tankside.quantity.moment import Moment, find_zone, hours_between
from tankside.quantity.per import HOURS_PER_DAY

_SLACK = setting(1e-9, "a reading exactly at an end of the range is inside it")
WORDS = ("dose", "medicine")


@dataclass(frozen=True, slots=True)
class _Read:
    """A reading as the course takes it.

    Args:
        hour: first hour at which a step can follow it.
        at_h: elapsed hour at which it was taken.
        mg_l: strength on the agent's basis [mg/L].
        is_sure: False where so much may be there at most.
    """

    hour: int
    at_h: float
    mg_l: float
    is_sure: bool


@dataclass(frozen=True, slots=True)
class _Loop:
    """One agent that one water is titrated with."""

    body: str
    agent: str
    how: Titration
    target_mg_l: float
    full_h: int
    needed: int
    reads: tuple[_Read, ...]
    answered_h: tuple[float, ...]

    def is_own(self, action: Action) -> bool:
        """Whether an action is a step of this agent in this water."""
        of_this = (self.body, self.agent)
        return isinstance(action, Titrate) and (action.body, action.agent) == of_this

    def step(self, hour: int, to_mg_l: float) -> Titrate:
        """Return a step that the course did not plan."""
        low_mg_l, high_mg_l = self.how.low_mg_l, self.how.high_mg_l
        return Titrate(hour, self.body, self.agent, to_mg_l, low_mg_l, high_mg_l, self.needed)

    def days(self, now_h: float) -> ReadDays:
        """Return what was read day by day."""
        lowest: dict[int, float] = {}
        for read in self.reads:
            day = int(read.at_h // HOURS_PER_DAY)
            mg_l = read.mg_l if read.is_sure else 0.0
            lowest[day] = min(mg_l, lowest.get(day, mg_l))
        first_day = self.full_h // HOURS_PER_DAY + 1
        return ReadDays(
            self.body, self.agent, self.how.low_mg_l, self.needed, first_day, lowest, now_h
        )


def by_readings(
    view: CaseView, facts: Knowledge, picked: Chosen, now: Moment
) -> tuple[Chosen, tuple[AtStrength, ...]]:
    """Return a chosen course as its readings leave it, and how long each agent was at strength.

    Args:
        view: the case.
        facts: what is known.
        picked: the chosen course.
        now: the moment it is asked; days before it without a test do not count.
    """
    stands: list[AtStrength] = []
    clock = CaseClock(picked.starts.when, find_zone(view.opened.zone))
    now_h = hours_between(picked.starts, now)
    course = picked.course
    for loop in _loops(view, facts, picked):
        course, stand = at_its_length(course, loop.days(now_h), clock)
        stands.append(stand)
        end_h = removal_h(course, loop.body)
        for read in loop.reads:
            course = _after(course, loop, read, end_h)
    return replace(picked, course=course), tuple(stands)


def _loops(view: CaseView, facts: Knowledge, picked: Chosen) -> Iterator[_Loop]:
    waters = joined_waters(view)
    titrated = [action for action in picked.course.actions if isinstance(action, Titrate)]
    for body, agent in dict.fromkeys((action.body, action.agent) for action in titrated):
        steps = [step for step in titrated if (step.body, step.agent) == (body, agent)]
        place = view.systems.get(body)
        water = None if place is None else place.description.water
        how = titration(facts, agent, water or view.opened.water)
        if how is None:
            continue
        target_mg_l = max(step.to_mg_l for step in steps)
        full_h = min(step.at_h for step in steps if step.to_mg_l >= target_mg_l)
        parts = waters.now(body)
        answered_h = _answered_h(view, facts, picked, parts, agent)
        taken = [
            _taken(reading, facts, agent, how, hours_between(picked.starts, reading.moment))
            for reading in copper_readings(view, facts, parts)
        ]
        reads = sorted((read for read in taken if read is not None), key=lambda read: read.at_h)
        yield _Loop(body, agent, how, target_mg_l, full_h, steps[0].days, tuple(reads), answered_h)


def _answered_h(
    view: CaseView, facts: Knowledge, picked: Chosen, parts: Collection[str], agent: str
) -> tuple[float, ...]:
    """Return the hours at which the case says what became of a step of the agent."""
    names = names_of_steps(view, picked)
    return tuple(
        hours_between(picked.starts, entry.moment)
        for entry in view.actions_done
        if entry.system in parts and _tells_of(entry, facts, picked.course, names, agent)
    )


def _tells_of(
    entry: ActionDone, facts: Knowledge, course: Course, names: tuple[str, ...], agent: str
) -> bool:
    """Whether an entry tells of a step of the agent: by its name or number, else by a word.

    A name that the chosen course does not have is that of a step which a test added to it.
    """
    if entry.step is not None:
        step = same_name(entry.step)
        return step not in names or agent_of_step(course.actions[names.index(step)]) == agent
    if entry.index is not None and entry.index < len(course.actions):
        return agent_of_step(course.actions[entry.index]) == agent
    named = None if entry.agent is None else resolve(facts, entry.agent).agent
    agents = named_in(facts, entry.action) if named is None else frozenset((named.id,))
    return agent in agents or (not agents and any(word in entry.action.lower() for word in WORDS))


def _taken(
    reading: CopperReading,
    facts: Knowledge,
    agent: str,
    how: Titration,
    at_h: float,
) -> _Read | None:
    """Return a reading of the course; None before it, and where it does not tell.

    What total copper shows is free at most: above the range it stands, else it says nothing.
    """
    read = kit_reading(facts.agents[agent])
    edges = None if read is None else reading.of(read[0])
    if read is None or edges is None or at_h < 0:
        return None
    low_mg_l, high_mg_l = (edge * read[1] for edge in edges)
    is_sure = low_mg_l == high_mg_l
    if not is_sure and not high_mg_l > how.high_mg_l * (1 + _SLACK):
        return None
    return _Read(ceil(at_h), at_h, high_mg_l, is_sure)


def _after(course: Course, loop: _Loop, read: _Read, end_h: int) -> Course:
    """Return the course with one reading entered, and the steps that follow from it.

    Below the range the steps start anew from what was read, none larger than a planned one; from
    ``end_h`` on, when the agent is taken out, nothing more is put in.
    """
    actions = list(course.actions)
    ahead = [place for place, action in enumerate(actions) if _is_ahead(action, loop, read)]
    ahead.sort(key=lambda place: actions[place].at_h)
    is_low = read.mg_l < loop.how.low_mg_l * (1 - _SLACK)
    more: list[Titrate] = []
    if read.mg_l > loop.how.high_mg_l * (1 + _SLACK):
        more.append(loop.step(read.hour, loop.target_mg_l))
    steps = loop.how.steps_mg_l(loop.target_mg_l, read.mg_l) if is_low else ()
    hour = read.hour
    for number, to_mg_l in enumerate(steps):
        if number < len(ahead):
            hour = max(hour, actions[ahead[number]].at_h)
            actions[ahead[number]] = loop.step(hour, to_mg_l)
        else:
            more.append(loop.step(hour, to_mg_l))
        hour += loop.how.every_h
    for place in ahead[len(steps) :]:
        actions[place] = loop.step(max(actions[place].at_h, read.hour), loop.target_mg_l)
    within = (action for action in more if action.at_h < end_h)
    return Course(course.name, course.days, (*actions, *within))


def _is_ahead(action: Action, loop: _Loop, read: _Read) -> bool:
    """Whether a step follows a reading: later, or of the same day and not yet answered."""
    if not loop.is_own(action) or action.at_h >= read.hour:
        return loop.is_own(action)
    day = read.hour // HOURS_PER_DAY
    answered = any(day * HOURS_PER_DAY <= at <= read.at_h for at in loop.answered_h)
    return action.at_h // HOURS_PER_DAY == day and not answered
