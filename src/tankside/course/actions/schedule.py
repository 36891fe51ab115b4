"""Put the actions of a course in order and let each declare what it does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from tankside.claims import Knowledge
from tankside.course.actions.action import Action
from tankside.course.actions.course import Course, DayLine
from tankside.course.actions.lived import (
    StepBound,
    agent_of_step,
    declared_as_lived,
    declared_within,
    planned_add_mg_l,
)
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.label import LabelEntry
from tankside.course.amounts.ledger import Account
from tankside.course.amounts.same_in_water import as_put_in, logged_as_put_in
from tankside.course.bodies.caution import Caution
from tankside.course.bodies.effects import Effect
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.system import System
from tankside.course.bodies.tank_hours import TimedEvent
from tankside.errors import BadInput
from tankside.quantity.per import HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class Schedule:
    """What a course declares: effects with their hours in order, events, amounts, lines.

    ``of_step`` names for each effect the place of its step (None for what was logged beside the
    course); ``added`` tells what each step meant to add and the strength it came to.
    """

    effects: tuple[tuple[int, Effect], ...]
    events: tuple[TimedEvent, ...]
    amounts: tuple[PrintedAmount, ...]
    lines: tuple[DayLine, ...]
    cautions: tuple[Caution, ...]
    of_step: tuple[int | None, ...] = ()
    added: Mapping[int, StepBound] = field(default_factory=dict)


def declare_all(
    systems: Sequence[System],
    stock: Sequence[StockGroup],
    course: Course,
    facts: Knowledge,
    labels: Mapping[str, LabelEntry],
) -> Schedule:
    """Declare every action in order of time (ties in the order given).

    Raises:
        BadInput: E-COURSE-01 an action outside the course or at a body that is not there;
            E-COURSE-02 a move of animals or to a tank that are not part of the case.
    """
    put_in = put_in_by(course)
    by_id = {system.id: as_put_in(facts, system, put_in) for system in systems}
    hours = course.days * HOURS_PER_DAY
    for action in course.actions:
        for body in (action.body, getattr(action, "bath_body", action.body)):
            _check_place(action.at_h, body, hours, by_id)
    account = Account(by_id, {group.id: group for group in stock}, facts, labels)
    under_way = _Declaring(course, account)
    lived = course.lived
    happens: list[tuple[float, int, int | None, Effect | None]] = [
        (hour, 0, None, logged_as_put_in(facts, effect, put_in))
        for hour, effect in lived.logged
        if 0 <= hour < hours
    ]
    for index, action in enumerate(course.actions):
        step = lived.steps.get(index)
        hour = action.at_h if step is None else min(max(step.at_h, 0.0), hours - 1.0)
        happens.append((hour, 1, index, None))
    for hour, _, index_or_none, effect_or_none in sorted(happens, key=lambda h: h[:2]):
        if index_or_none is not None:
            under_way.step(index_or_none, int(hour))
        elif effect_or_none is not None:
            under_way.enter(int(hour), effect_or_none, None)
    return under_way.schedule()


@dataclass(slots=True)
class _Declaring:
    """The schedule of a course while it is being declared."""

    course: Course
    account: Account
    minutes: dict[str, float | None] = field(default_factory=dict)
    effects: list[tuple[int, Effect]] = field(default_factory=list)
    of_step: list[int | None] = field(default_factory=list)
    events: list[TimedEvent] = field(default_factory=list)
    amounts: list[PrintedAmount] = field(default_factory=list)
    lines: list[DayLine] = field(default_factory=list)
    cautions: list[Caution] = field(default_factory=list)
    added: dict[int, StepBound] = field(default_factory=dict)

    def enter(self, hour: int, effect: Effect, index: int | None) -> None:
        """Enter one effect into the account and the schedule."""
        self.account.pass_to(hour)
        self.account.apply(hour, effect)
        self.effects.append((hour, effect))
        self.of_step.append(index)

    def step(self, index: int, hour: int) -> None:
        """Declare one step, as it was lived or as it is planned."""
        action, lived = self.course.actions[index], self.course.lived
        self.account.action = index
        self.account.pass_to(hour)
        self._note_meant(index, action)
        step = lived.steps.get(index)
        bound = lived.bounds.get(index)
        declared = (
            declared_within(bound, action, self.account)
            if step is None
            else declared_as_lived(replace(step, at_h=hour), bound, action, self.account)
        )
        for effect in declared.effects:
            self.enter(hour, effect, index)
        first = len(self.amounts)
        self.amounts += declared.amounts
        self.events += declared.events
        self.cautions += declared.cautions
        kind = action.kind
        if kind not in self.minutes:
            work = find_number(self.account.facts, f"practice.course.work_{kind}")
            self.minutes[kind] = work
        if not declared.text:
            return
        of_it = tuple(range(first, len(self.amounts)))
        self.lines.append(
            DayLine(index, action.at_h, action.body, kind, declared.text, of_it, self.minutes[kind])
        )

    def _note_meant(self, index: int, action: Action) -> None:
        """Note what a step means to add and the strength it then comes to."""
        agent = agent_of_step(action)
        there = self.account.may_be_mg_l(action.body, agent) if agent else None
        add = None if there is None else planned_add_mg_l(action, there)
        if there is not None and add is not None:
            self.added[index] = StepBound(add, there + add)

    def schedule(self) -> Schedule:
        """Return all that was declared; lines stand where the plan has them."""
        return Schedule(
            tuple(self.effects),
            tuple(self.events),
            tuple(self.amounts),
            tuple(sorted(self.lines, key=lambda line: line.hour)),
            tuple(self.cautions),
            tuple(self.of_step),
            self.added,
        )


def put_in_by(course: Course) -> tuple[str, ...]:
    """Return the ids of the agents that the steps of a course name."""
    named = {agent_of_step(action) for action in course.actions}
    return tuple(sorted(named - {""}))


def _check_place(at_h: int, body: str, hours: int, by_id: Mapping[str, System]) -> None:
    if 0 <= at_h < hours and body in by_id:
        return
    raise BadInput(
        "E-COURSE-01",
        "A step lies outside the course or at a tank that is not part of it.",
        given=f"hour {at_h} at {body}",
        needed=f"an hour from 0 to {hours - 1} at one of: {', '.join(by_id)}",
        next_step="Move the step or lengthen the course.",
        field="course",
    )
