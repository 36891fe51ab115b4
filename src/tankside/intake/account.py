"""What the entries of a case say went into each water and out of it, as one running account.

What was in the water before, salt put in to find its volume, amounts logged as given, part changes,
readings of copper and the steps of every course that was followed are entered in order of time.
An amount that was asked for and never answered may have gone in: it stands at the high edge alone.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import islice

from tankside.case import Amount, CaseView
from tankside.case.described import Event
from tankside.case.done import ActionDone
from tankside.case.medicine import DoseAsked
from tankside.case.system import SystemDescribed
from tankside.case.volume import SaltRise
from tankside.case.water_test import WaterTest
from tankside.claims import Knowledge
from tankside.course.amounts.water_account import Edges, WaterAccount
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.unnamed import is_unnamed
from tankside.intake.inflow import told_flows
from tankside.intake.joined_waters import JoinedWaters, joined_waters
from tankside.intake.salt_readings import salt_read
from tankside.intake.strength_readings import (
    FREE,
    TOTAL,
    agents_read,
    copper_readings,
    enter_reading,
)
from tankside.quantity import Kind
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

PUT_IN_WORDS = ("put in", "add", "added", "gave", "given", "give", "dose", "dosed", "poured")
"""Words by which a keeper says that something went into the water."""
PROLONGED = "prolonged"
FEED = "feed"
ANSWER_WITHIN_D = 3
"""Days within which an answer without a number belongs to an amount asked for before it."""
Placed = SystemDescribed | DoseAsked | ActionDone | WaterTest
"""An entry that always names its system."""
CarbonTold = tuple[float, bool | None]
"""Elapsed hour, and whether carbon is in the filter from then on; None: nobody knows."""
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
        source: the system that it came from with the water carried over, "" where it did not.
        pour: what it does to that one and to this.
    """

    at_h: float
    entry: int
    system: str
    enter: Callable[[WaterAccount], None]
    source: str = ""
    pour: Callable[[WaterAccount, WaterAccount], None] | None = None


@dataclass(frozen=True, slots=True)
class CaseReader:
    """How names and strengths of a case are read.

    Args:
        name_of: from a name as typed to the id of an agent.
        in_water: from a name as typed to the id of what it puts into the water, named or not.
        poured_mg: from a name, its agent, an amount told under it and a moment to the least and the
            most that it holds [mg]; None where nobody knows.
        shown_mg: from an amount asked for to the least and the most that was shown [mg]; None
            where nobody knows.
        fed_days: on how many days food that carries an agent is fed.
        said_in: from the words of an action to the ids of the agents that they name.
        is_step: whether an entry tells of a step of a course that was followed.
    """

    name_of: NameOf
    in_water: NameOf
    poured_mg: Callable[[str, str, Amount, Moment], Edges | None]
    shown_mg: Callable[[DoseAsked], Edges | None]
    fed_days: Callable[[DoseAsked], float]
    said_in: Callable[[str], frozenset[str]]
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


def carbon_told(view: CaseView, system: str, zero: Moment) -> tuple[CarbonTold, ...]:
    """Return when carbon was said to be in the filter of one water, or out, in order of time."""
    standing = (line.current for line in view.history)
    entries = [
        entry
        for entry in standing
        if isinstance(entry, SystemDescribed) and entry.system == system and entry.carbon
    ]
    entries.sort(key=lambda entry: (entry.moment.utc, entry.id))
    answers = {"yes": True, "no": False}
    hours = (hours_between(zero, entry.moment) for entry in entries)
    return tuple(
        (hour, answers.get(entry.carbon or "")) for hour, entry in zip(hours, entries, strict=True)
    )


def entered_movements(
    view: CaseView,
    facts: Knowledge,
    waters: JoinedWaters,
    systems: Collection[str],
    zero: Moment,
    read: CaseReader,
) -> Iterator[Movement]:
    """Yield what the entries of a case put into some waters and took out, courses apart."""
    yield from _salt_for_the_volume(view, systems, zero)
    yield from _asked_and_given(view, waters, systems, zero, read)
    yield from _changes(view, systems, zero, read)
    yield from _copper_read(view, facts, systems, zero)
    yield from (_entered(test, zero, enter) for test, enter in salt_read(view, systems))
    for system in systems:
        for flow in told_flows(view, system):
            at_h = hours_between(zero, flow.entry.moment)
            yield Movement(at_h, flow.entry.id, system, _running(system, flow.edges_l_h))


def answering(view: CaseView, name_of: NameOf) -> frozenset[int]:
    """Return the entries that answer an amount that was asked for."""
    asked_in = {entry.system for entry in view.doses}
    every = asked_amounts(view, joined_waters(view), asked_in, name_of)
    return frozenset(asked.done.id for asked in every if asked.done is not None)


def asked_amounts(
    view: CaseView, waters: JoinedWaters, systems: Collection[str], name_of: NameOf
) -> tuple[AskedAmount, ...]:
    """Return every amount asked for in some waters, with the answer that came to it.

    An answer belongs to the asking whose number it names, else to the latest one before it of the
    same agent that nobody answered yet, in its water or in one that was joined to it when asked.
    """
    doses = [dose for dose in view.doses if dose.system in systems]
    answers: dict[int, ActionDone] = {}
    for done in (done for done in view.actions_done if _is_answer(done, name_of)):
        still_open = (dose for dose in reversed(doses) if dose.id not in answers)
        meant = (dose for dose in still_open if _answers(view, waters, done, dose, name_of))
        answers.update({dose.id: done for dose in islice(meant, 1)})
    return tuple(_asked_amount(dose, name_of(dose.agent), answers.get(dose.id)) for dose in doses)


def _asked_amount(entry: DoseAsked, agent: str, answer: ActionDone | None) -> AskedAmount:
    was_given = None if answer is None else answer.state in ("done", "other_amount")
    return AskedAmount(entry, agent, was_given, answer)


def _asking_of(view: CaseView, done: ActionDone) -> DoseAsked | None:
    """Return the amount asked for that an action names by its number."""
    number = done.index if done.answers is None else done.answers
    return None if done.step else next((d for d in view.doses if d.id == number), None)


def _water_of(view: CaseView, done: ActionDone) -> str:
    """Return the system an action concerns: that of the asking whose number it names."""
    asking = _asking_of(view, done)
    return done.system if asking is None else asking.system


def _is_answer(done: ActionDone, name_of: NameOf) -> bool:
    named = bool(_agent_named(done, name_of))
    return done.step is None and (named or done.answers is not None or done.index is not None)


def _agent_named(done: ActionDone, name_of: NameOf) -> str:
    """Return the agent an action names: by its own word, else by the words of the action."""
    return name_of(done.agent or done.action)


def _answers(
    view: CaseView, waters: JoinedWaters, done: ActionDone, entry: DoseAsked, name_of: NameOf
) -> bool:
    asking = _asking_of(view, done)
    if asking is not None:
        return asking.id == entry.id
    waited_h = hours_between(entry.moment, done.moment)
    near = 0 <= waited_h <= ANSWER_WITHIN_D * HOURS_PER_DAY
    here = done.system in waters.at(entry.system, entry.moment)
    named = _agent_named(done, name_of) == name_of(entry.agent)
    return near and here and named and done.id > entry.id


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
                yield _put_in(entry, entry.system, zero, SALT, mg, mg)


def _asked_and_given(
    view: CaseView,
    waters: JoinedWaters,
    systems: Collection[str],
    zero: Moment,
    read: CaseReader,
) -> Iterator[Movement]:
    counted: set[int] = set()
    for asked in asked_amounts(view, waters, systems, read.name_of):
        done = asked.done
        if done is not None:
            counted.add(done.id)
        if asked.entry.route != PROLONGED or asked.was_given is False:
            continue
        system = asked.entry.system if done is None else _water_of(view, done)
        if done is not None and done.amount is not None:
            yield _given(done, system, asked.agent, zero, read)
        else:
            yield _as_asked(done or asked.entry, system, asked, zero, read)
    for done in view.actions_done:
        system = _water_of(view, done)
        if system not in systems or done.state not in ("done", "other_amount"):
            continue
        yield from _unnamed(done, zero, read)
        if done.id not in counted and not read.is_step(done):
            yield from _given_beside(view, done, system, zero, read)


def _as_asked(
    at: DoseAsked | ActionDone, system: str, asked: AskedAmount, zero: Moment, read: CaseReader
) -> Movement:
    """Return the amount that was shown: all of it may be there, and is where it was given."""
    low_mg, high_mg = read.shown_mg(asked.entry) or (None, None)
    return _put_in(at, system, zero, asked.agent, low_mg if asked.was_given else 0.0, high_mg)


def _given_beside(
    view: CaseView, done: ActionDone, system: str, zero: Moment, read: CaseReader
) -> Iterator[Movement]:
    """Yield what was logged as given and answers nothing, or what was answered already.

    A bath beside the water leaves nothing in it. Said once more without a number, it may have been
    given twice; said without a number or an asking, nobody knows how much.
    """
    asking = _asking_of(view, done)
    named = _agent_named(done, read.name_of) or (asking and read.name_of(asking.agent)) or ""
    asking = asking or _food_of(view, done, named, read)
    if asking is not None and asking.route != PROLONGED:
        return
    if not named:
        yield from _told_in_words(done, zero, read)
        return
    if done.amount is None and asking is not None and read.name_of(asking.agent) == named:
        yield _as_asked(done, system, AskedAmount(asking, named, None), zero, read)
    else:
        yield _given(done, system, named, zero, read)


def _food_of(view: CaseView, done: ActionDone, named: str, read: CaseReader) -> DoseAsked | None:
    """Return the food with the agent that is fed at that time: another day of it was told."""
    for dose in reversed(view.doses):
        if dose.route == FEED and read.name_of(dose.agent) == named and dose.system == done.system:
            since_h = hours_between(dose.moment, done.moment)
            if 0 <= since_h <= read.fed_days(dose) * HOURS_PER_DAY:
                return dose
    return None


def _unnamed(done: ActionDone, zero: Moment, read: CaseReader) -> Iterator[Movement]:
    """Yield what was logged as given under a name that no agent on file has, how much ever."""
    agent = "" if done.agent is None else read.in_water(done.agent)
    if is_unnamed(agent):
        yield _entered(done, zero, lambda account: account.put_in_unknown(agent))


def _told_in_words(done: ActionDone, zero: Moment, read: CaseReader) -> Iterator[Movement]:
    """Yield, as unknown, what the words alone say went in: it is never left uncounted."""
    agents = read.said_in(done.action)
    if done.amount is not None and not agents and done.agent is None:
        agents = frozenset((read.in_water(done.action),))
    if done.amount is not None or says_put_in(done.action):
        for agent in sorted(agents):
            yield _entered(done, zero, _unknown(agent))


def says_put_in(action: str) -> bool:
    """Whether the words of an action say that something went into the water."""
    return any(f" {verb} " in f" {action.lower()} " for verb in PUT_IN_WORDS)


def _unknown(agent: str) -> Callable[[WaterAccount], None]:
    return lambda account: account.put_in_unknown(agent)


def _given(done: ActionDone, system: str, agent: str, zero: Moment, read: CaseReader) -> Movement:
    """Return the movement of an amount that was logged; millilitres hold what the label says."""
    name, held = done.agent or done.action, None
    if done.amount is not None:
        held = read.poured_mg(name, agent, done.amount, done.moment)
    low_mg, high_mg = held or (None, None)
    return _put_in(done, system, zero, agent, low_mg, high_mg)


def _entered(entry: Placed, zero: Moment, enter: Callable[[WaterAccount], None]) -> Movement:
    return Movement(hours_between(zero, entry.moment), entry.id, entry.system, enter)


def _put_in(
    entry: Placed,
    system: str,
    zero: Moment,
    agent: str,
    low_mg: float | None,
    high_mg: float | None,
) -> Movement:
    """Return what puts a mass between two amounts in; None where nobody knows how much."""
    at_h = hours_between(zero, entry.moment)
    if low_mg is None or high_mg is None:
        return Movement(at_h, entry.id, system, lambda account: account.put_in_unknown(agent))
    low, high = low_mg, high_mg
    return Movement(at_h, entry.id, system, lambda account: account.put_in(agent, low, high))


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


def _copper_read(
    view: CaseView, facts: Knowledge, systems: Collection[str], zero: Moment
) -> Iterator[Movement]:
    """Yield the readings of copper; they stand in place of what was reckoned to be there."""
    worth = {form: agents_read(view, facts, systems, form) for form in (FREE, TOTAL)}
    for read in copper_readings(view, facts, systems):
        for form, agents in worth.items():
            edges = read.of(form)
            if edges is not None and agents:
                at_h = hours_between(zero, read.moment)
                enter = partial(enter_reading, agents, edges)
                yield Movement(at_h, read.entry, read.system, enter)


def _running(system: str, runs_l_h: Edges) -> Callable[[WaterAccount], None]:
    def set_running(account: WaterAccount) -> None:
        account.inflows_l_h[system] = runs_l_h

    return set_running
