"""What the entries of a case say went into each water and out of it, as one running account.

What was in the water before, salt put in to find its volume, amounts logged as given, part changes,
readings of copper and the steps of every course that was followed are entered in order of time.
An amount that was asked for and never answered may have gone in: it stands at the high edge alone.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from tankside.case import Amount, CaseView, Reading
from tankside.case.described import Event
from tankside.case.done import ActionDone
from tankside.case.medicine import DoseAsked
from tankside.case.system import SystemDescribed
from tankside.case.volume import SaltRise
from tankside.case.water_test import WaterTest
from tankside.course.amounts.water_account import WaterAccount
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.unnamed import is_unnamed
from tankside.course.bodies.volume import Volume
from tankside.intake.joined_waters import JoinedWaters
from tankside.quantity import Kind
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

COPPER = "copper_ionic"
"""The agent whose basis is the element, which a test reads."""
PROLONGED = "prolonged"
ANSWER_WITHIN_D = 3
"""Days within which an answer without a number belongs to an amount asked for before it."""
Placed = SystemDescribed | DoseAsked | ActionDone | WaterTest
"""An entry that always names its system."""
WaterAt = Callable[[str, Moment], Volume]
"""From a system and a moment to the water of the body it then belonged to."""
NameOf = Callable[[str], str]
"""From a name as typed to the id of an agent."""


@dataclass(frozen=True, slots=True)
class Movement:
    """What one entry does to the account of the water of one system.

    Args:
        at_h: elapsed hour.
        entry: number of the entry.
        system: the system into which it went or out of which it came.
        enter: what it does.
    """

    at_h: float
    entry: int
    system: str
    enter: Callable[[WaterAccount], None]


@dataclass(frozen=True, slots=True)
class CaseReader:
    """How names and strengths of a case are read.

    Args:
        name_of: from a name as typed to the id of an agent.
        in_water: from a name as typed to the id of what it puts into the water, named or not.
        factor_of: from a name and an amount told under it to the factor to the agent's basis.
        strength_of: from name and strength as typed to mg/L; None where it cannot be read.
        is_step: whether an entry tells of a step of a course that was followed.
    """

    name_of: NameOf
    in_water: NameOf
    factor_of: Callable[[str, Amount], float]
    strength_of: Callable[[str, str], float | None]
    is_step: Callable[[ActionDone], bool]


@dataclass(frozen=True, slots=True)
class AskedAmount:
    """An amount that was asked for, and what became of it.

    Args:
        entry: as asked.
        agent: id of the agent.
        was_given: True when it was logged as given, False when it was not; None while nobody said.
        done: the entry that answered.
    """

    entry: DoseAsked
    agent: str
    was_given: bool | None
    done: ActionDone | None = None


def entered_movements(
    view: CaseView,
    waters: JoinedWaters,
    systems: Collection[str],
    water_at: WaterAt,
    zero: Moment,
    read: CaseReader,
) -> Iterator[Movement]:
    """Yield what the entries of a case put into some waters and took out, courses apart."""
    yield from _salt_for_the_volume(view, systems, zero)
    yield from _asked_and_given(view, waters, systems, water_at, zero, read)
    yield from _changes(view, systems, zero, read)
    yield from _copper_read(view, systems, zero)


def asked_amounts(
    view: CaseView, waters: JoinedWaters, systems: Collection[str], name_of: NameOf
) -> tuple[AskedAmount, ...]:
    """Return every amount asked for in some waters, with the answer that came to it.

    An amount is answered in any water that was joined to the one it was asked for.
    """
    answers = [done for done in view.actions_done if _is_answer(done, name_of)]
    asked = []
    for entry in (dose for dose in view.doses if dose.system in systems):
        agent = name_of(entry.agent)
        body = waters.at(entry.system, entry.moment)
        there = [done for done in answers if done.system in body]
        answer = next((done for done in there if _answers(done, entry, agent, name_of)), None)
        if answer is not None:
            answers.remove(answer)
        was_given = None if answer is None else answer.state in ("done", "other_amount")
        asked.append(AskedAmount(entry, agent, was_given, answer))
    return tuple(asked)


def _is_answer(done: ActionDone, name_of: NameOf) -> bool:
    return bool(_agent_named(done, name_of)) or done.index is not None


def _agent_named(done: ActionDone, name_of: NameOf) -> str:
    """Return the agent an action names: by its own word, else by the words of the action."""
    return name_of(done.agent or done.action)


def _answers(done: ActionDone, entry: DoseAsked, agent: str, name_of: NameOf) -> bool:
    if done.index is not None and done.index == entry.id:
        return True
    waited_h = hours_between(entry.moment, done.moment)
    near = 0 <= waited_h <= ANSWER_WITHIN_D * HOURS_PER_DAY
    return near and done.id > entry.id and _agent_named(done, name_of) == agent


def _salt_for_the_volume(
    view: CaseView, systems: Collection[str], zero: Moment
) -> Iterator[Movement]:
    """Yield the salt that was put in to find the volume: it is still in the water."""
    for line in view.history:
        entry = line.current
        if not isinstance(entry, SystemDescribed) or entry.system not in systems:
            continue
        for method in entry.volume:
            if isinstance(method, SaltRise):
                mg = method.salt.measured(Kind.MASS).number("mg")
                yield _put_in(entry, zero, SALT, mg, mg)


def _asked_and_given(
    view: CaseView,
    waters: JoinedWaters,
    systems: Collection[str],
    water_at: WaterAt,
    zero: Moment,
    read: CaseReader,
) -> Iterator[Movement]:
    counted: set[int] = set()
    for asked in asked_amounts(view, waters, systems, read.name_of):
        if asked.entry.route != PROLONGED:
            counted |= set() if asked.done is None else {asked.done.id}
            continue
        mg = _asked_mg(asked, water_at(asked.entry.system, asked.entry.moment), read)
        low = mg if asked.was_given else 0.0
        if asked.done is not None:
            counted.add(asked.done.id)
            if asked.done.amount is not None and asked.was_given:
                yield _given(asked.done, asked.agent, zero, read)
                continue
        if asked.was_given is not False:
            yield _put_in(asked.done or asked.entry, zero, asked.agent, low, mg)
    for done in view.actions_done:
        if done.system not in systems or done.state not in ("done", "other_amount"):
            continue
        yield from _unnamed(done, zero, read)
        named = _agent_named(done, read.name_of)
        loose = done.id not in counted and not read.is_step(done)
        if loose and named:
            yield _given(done, named, zero, read)


def _asked_mg(asked: AskedAmount, water: Volume, read: CaseReader) -> float:
    """Return the mass asked for [mg]: a strength in the whole water, or in the part changed."""
    entry, strength = asked.entry, read.strength_of(asked.entry.agent, asked.entry.strength) or 0.0
    if entry.water_changed is not None:
        return strength * entry.water_changed.measured(Kind.VOLUME).number("L")
    return strength * water.point_l


def _unnamed(done: ActionDone, zero: Moment, read: CaseReader) -> Iterator[Movement]:
    """Yield what was logged as given under a name that no agent on file has, how much ever."""
    agent = "" if done.agent is None else read.in_water(done.agent)
    if is_unnamed(agent):
        yield _entered(done, zero, lambda account: account.put_in_unknown(agent))


def _given(done: ActionDone, agent: str, zero: Moment, read: CaseReader) -> Movement:
    """Return the movement of an amount that was logged; millilitres hide what they hold."""
    mg = None if done.amount is None else _mass_mg(done.amount)
    if mg is None or done.amount is None:
        return _entered(done, zero, lambda account: account.put_in_unknown(agent))
    mg *= read.factor_of(done.agent or "", done.amount)
    return _put_in(done, zero, agent, mg, mg)


def _mass_mg(amount: Amount) -> float | None:
    value = amount.measured(Kind.MASS, Kind.VOLUME)
    return value.number("mg") if value.kind is Kind.MASS else None


def _entered(entry: Placed, zero: Moment, enter: Callable[[WaterAccount], None]) -> Movement:
    return Movement(hours_between(zero, entry.moment), entry.id, entry.system, enter)


def _put_in(entry: Placed, zero: Moment, agent: str, low_mg: float, high_mg: float) -> Movement:
    return _entered(entry, zero, lambda account: account.put_in(agent, low_mg, high_mg))


def _changes(
    view: CaseView, systems: Collection[str], zero: Moment, read: CaseReader
) -> Iterator[Movement]:
    """Yield the part changes: told as an event, or logged outside any course."""
    entries: list[tuple[str, Event | ActionDone]] = [
        *((view.system_meant(event.system), event) for event in view.events),
        *(
            (done.system, done)
            for done in view.actions_done
            if done.state != "not_done" and not read.is_step(done)
        ),
    ]
    for system, entry in entries:
        if entry.water_changed is None or system not in systems:
            continue
        litres = entry.water_changed.measured(Kind.VOLUME).number("L")
        at_h = hours_between(zero, entry.moment)
        yield Movement(at_h, entry.id, system, _exchanging(litres))


def _exchanging(litres: float) -> Callable[[WaterAccount], None]:
    return lambda account: account.exchange(litres)


def _copper_read(view: CaseView, systems: Collection[str], zero: Moment) -> Iterator[Movement]:
    """Yield the readings of copper; they stand in place of what was reckoned to be there."""
    for test in view.water_tests:
        if test.system not in systems or test.sample != "tank":
            continue
        for line in test.readings:
            if line.what is Reading.COPPER and line.amount is not None:
                mg_l = line.amount.measured(Kind.COPPER).number("mg/L as Cu")
                yield _entered(test, zero, _reading(COPPER, mg_l))


def _reading(agent: str, mg_l: float) -> Callable[[WaterAccount], None]:
    return lambda account: account.read(agent, mg_l, mg_l)
