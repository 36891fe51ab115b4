"""What is in one body of water: everything put in and let out, by entries and by courses."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from itertools import chain

from tankside.case import Amount, CaseView
from tankside.claims import Knowledge
from tankside.claims.substance_names import named_in, resolve
from tankside.course import (
    InWater,
    System,
    Volume,
)
from tankside.course.amounts.water_account import WaterAccount
from tankside.course.bodies.unnamed import is_unnamed
from tankside.course.bodies.volume import added
from tankside.intake.account import CaseReader, Movement, WaterAt, answering, entered_movements
from tankside.intake.course_steps import followed_steps
from tankside.intake.dose_request import read_strength
from tankside.intake.in_water import is_gone
from tankside.intake.joined_account import NOMINAL, PartOfWater, balance
from tankside.intake.joined_waters import JoinedWaters, joined_waters
from tankside.intake.lived_course import LivedCourse, movements_of
from tankside.intake.measured_volume import volume
from tankside.intake.substances import agent_in_water, form_factor
from tankside.quantity import Kind
from tankside.quantity.moment import Moment, hours_between

SALT = "sodium_chloride"


def contents(
    view: CaseView,
    facts: Knowledge,
    zero: Moment,
    system: str,
    before: tuple[LivedCourse, ...],
) -> tuple[InWater, ...]:
    """Return what is in one water at hour 0 by the account of everything put in and let out.

    What was there before is the high edge; its low edge is the same for an agent that leaves
    only with water, else 0, since it may have been lost since.
    """
    waters = joined_waters(view)
    parts = {part: _part(view, facts, part) for part in waters.ever(system)}

    water_at = _water_at(waters, parts)

    def largest(place: str) -> Volume:
        moments = [view.opened.moment, *(joining.at for joining in waters.joinings)]
        return max((water_at(place, m) for m in moments), key=lambda v: v.larger_l)

    lots = (
        Movement(hours_between(zero, entry.moment), entry.id, entry.system, _starting(lot))
        for entry in view.agents_in_water
        if entry.system in parts and entry.state != "none"
        for lot in (
            residue(
                facts, entry.agent or "", entry.amount, water_at(entry.system, entry.moment), 0.0
            ),
        )
        if lot.high_mg_l is not None or not is_gone(view, entry, largest(entry.system))
    )
    read = reader_of(view, facts)
    entered = entered_movements(view, waters, parts, water_at, zero, read)
    steps = (movement for lived in before for movement in movements_of(lived, parts, zero))
    joined = ((hours_between(zero, joining.at), joining) for joining in waters.joinings)
    return balance(facts, parts, chain(lots, entered, steps), joined, system, 0.0)


def _water_at(waters: JoinedWaters, parts: Mapping[str, PartOfWater]) -> WaterAt:
    """Return the volume of the body that a system belonged to at a moment."""

    def water_at(place: str, moment: Moment) -> Volume:
        there = [parts[part].volume for part in sorted(waters.at(place, moment) & parts.keys())]
        return added([volume for volume in there if volume is not None] or [NOMINAL])

    return water_at


def _part(view: CaseView, facts: Knowledge, system: str) -> PartOfWater:
    place = view.systems.get(system)
    if place is None:
        return PartOfWater(None, None)
    measured = place.volume.point_l is not None
    return PartOfWater(
        volume(place, facts) if measured else None,
        {"yes": True, "no": False}.get(place.description.carbon or ""),
    )


def _starting(lot: InWater) -> Callable[[WaterAccount], None]:
    return lambda account: account.start_with(lot)


def reader_of(view: CaseView, facts: Knowledge) -> CaseReader:
    """Return how the names and strengths of a case are read for the account."""

    def name_of(name: str) -> str:
        agent = resolve(facts, name).agent
        return "" if agent is None else agent.id

    def strength_of(name: str, text: str) -> float | None:
        substance = resolve(facts, name)
        agent = substance.agent
        return None if agent is None else read_strength(agent, text, substance.form)

    courses = followed_steps(view, facts, answering(view, name_of))
    of_steps = frozenset(e.id for course in courses for step in course.steps for e in step.entries)
    return CaseReader(
        name_of=name_of,
        in_water=partial(agent_in_water, facts),
        factor_of=partial(form_factor, facts),
        strength_of=strength_of,
        said_in=partial(named_in, facts),
        is_step=lambda done: done.id in of_steps,
    )


def residue(
    facts: Knowledge, name: str, amount: Amount | None, water: Volume, at_h: float
) -> InWater:
    """Return one substance that is in the water, as told; the amount None is not known."""
    agent = agent_in_water(facts, name)
    if is_unnamed(agent):
        return InWater(agent, None, None, at_h)
    high = None if amount is None else _mg_l(amount, water)
    if high is not None and amount is not None:
        high *= form_factor(facts, name, amount)
    low = high if high is None or agent == SALT else 0.0
    return InWater(agent, low, high, at_h)


def _mg_l(amount: Amount, water: Volume) -> float | None:
    """Return the strength [mg/L] of what was put in, or None where a volume hides its strength."""
    value = amount.measured(
        Kind.MASS, Kind.VOLUME, Kind.MASS_CONCENTRATION, Kind.VOLUME_CONCENTRATION
    )
    if value.kind is Kind.MASS:
        return value.number("mg") / water.point_l
    if value.kind is Kind.MASS_CONCENTRATION:
        return value.number("mg/L")
    return None


def beside(view: CaseView, facts: Knowledge, zero: Moment, body: System) -> Iterator[Movement]:
    """Yield what the entries of a case put into one body of water and took out, courses apart."""
    waters = joined_waters(view)
    parts = {part: _part(view, facts, part) for part in waters.ever(body.id)}
    water_at = _water_at(waters, parts)
    read = reader_of(view, facts)
    now = waters.now(body.id)
    for movement in entered_movements(view, waters, parts, water_at, zero, read):
        if movement.system in now:
            yield movement
