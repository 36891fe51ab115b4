"""Put the actions of a course in order and let each declare what it does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tankside.claims import Knowledge
from tankside.course.actions.course import Course, DayLine
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.label import LabelEntry
from tankside.course.amounts.ledger import Account
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
    """What a course declares: effects with their hours in order, events, amounts, lines."""

    effects: tuple[tuple[int, Effect], ...]
    events: tuple[TimedEvent, ...]
    amounts: tuple[PrintedAmount, ...]
    lines: tuple[DayLine, ...]
    cautions: tuple[Caution, ...]


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
    by_id = {system.id: system for system in systems}
    account = Account(by_id, {group.id: group for group in stock}, facts, labels)
    minutes: dict[str, float | None] = {}
    effects: list[tuple[int, Effect]] = []
    events: list[TimedEvent] = []
    amounts: list[PrintedAmount] = []
    lines: list[DayLine] = []
    cautions: list[Caution] = []
    order = sorted(range(len(course.actions)), key=lambda index: course.actions[index].at_h)
    for index in order:
        action = course.actions[index]
        for body in (action.body, getattr(action, "bath_body", action.body)):
            _check_place(action.at_h, body, course.days * HOURS_PER_DAY, by_id)
        account.action = index
        account.pass_to(action.at_h)
        declared = action.declare(account)
        for effect in declared.effects:
            account.apply(action.at_h, effect)
            effects.append((action.at_h, effect))
        first = len(amounts)
        amounts += declared.amounts
        events += declared.events
        cautions += declared.cautions
        if action.kind not in minutes:
            minutes[action.kind] = find_number(facts, f"practice.course.work_{action.kind}")
        if not declared.text:
            continue
        lines.append(
            DayLine(
                index,
                action.at_h,
                action.body,
                action.kind,
                declared.text,
                tuple(range(first, len(amounts))),
                minutes[action.kind],
            )
        )
    return Schedule(tuple(effects), tuple(events), tuple(amounts), tuple(lines), tuple(cautions))


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
