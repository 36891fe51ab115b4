"""What is in the water of a case at an hour, by everything that its entries put in and let out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache, partial
from itertools import chain
from math import inf

from tankside.case import CaseView, fold
from tankside.case.medicine import AgentInWater, DoseAsked
from tankside.case.water_moved import WaterMoved
from tankside.claims import Knowledge
from tankside.claims.substance_names import named_in, resolve
from tankside.course import InWater, System, Volume
from tankside.course.amounts.water_account import Edges, WaterAccount
from tankside.course.bodies.volume import added
from tankside.intake.account import (
    CaseReader,
    Movement,
    answering,
    carbon_told,
    entered_movements,
)
from tankside.intake.carried_water import carried_beside, carried_movements, sources_of
from tankside.intake.course_steps import followed_steps
from tankside.intake.fed_days import fed_days
from tankside.intake.in_water import is_gone, residue
from tankside.intake.inflow import runs_before
from tankside.intake.joined_account import NOMINAL, PartOfWater, balance
from tankside.intake.joined_waters import JoinedWaters, joined_waters
from tankside.intake.labels import container_of
from tankside.intake.lived_course import LivedCourse, movements_of
from tankside.intake.poured import mg_in_ml, poured_mg, share_by_form
from tankside.intake.strength import read_strength
from tankside.intake.substances import agent_in_water
from tankside.intake.told_as_event import told_as_events
from tankside.intake.volumes import volume
from tankside.quantity import Kind
from tankside.quantity.moment import Moment, hours_between

SUBSTANCE = "substance"
Shown = dict[tuple[int, str], Edges | None]
"""The least and the most that was shown for each asking [mg], by number and words of the entry."""
CoursesOf = Callable[[CaseView, Shown | None], tuple[LivedCourse, ...]]
"""From a case, and the amounts shown so far, to the courses it followed as they were lived."""


def residues_of(
    view: CaseView,
    facts: Knowledge,
    zero: Moment,
    system: str,
    courses: CoursesOf,
    before: tuple[LivedCourse, ...] | None = None,
    shown: Shown | None = None,
    *,
    at_h: float = 0.0,
) -> tuple[InWater, ...]:
    """Return what is in one water at an hour by the account of everything put in and let out.

    What was there before is the high edge; its low edge is the same for an agent that leaves
    only with water, else 0, since it may have been lost since.

    Args:
        view: the case.
        facts: what is known.
        zero: the moment of elapsed hour 0.
        system: any part of the water.
        courses: from a case to the courses it followed, as they were lived.
        before: the courses whose steps are counted; None for all of them.
        shown: amounts shown so far; each is worked out once, however often it is asked about.
        at_h: the elapsed hour.
    """
    waters = joined_waters(view)
    parts = {part: _part(view, facts, zero, part) for part in sources_of(view, waters, system)}

    lots = _lots(view, facts, zero, waters, parts)
    entered = entered_movements(
        view, facts, waters, parts, zero, reader_of(view, facts, courses, shown)
    )
    counted = courses(view, shown) if before is None else before
    steps = (movement for lived in counted for movement in movements_of(lived, parts, zero))
    joined = ((hours_between(zero, joining.at), joining) for joining in waters.joinings)
    carried = carried_movements(view, parts, zero)
    return balance(facts, parts, chain(lots, entered, carried, steps), joined, system, at_h)


def beside(
    view: CaseView, facts: Knowledge, zero: Moment, body: System, courses: CoursesOf
) -> Iterator[Movement]:
    """Yield what the entries of a case put into one body of water and took out, courses apart."""
    waters = joined_waters(view)
    read = reader_of(view, facts, courses)
    now, ever = waters.now(body.id), waters.ever(body.id)
    parts = {part: _part(view, facts, zero, part) for part in ever}
    lots = _lots(view, facts, zero, waters, parts)
    lots_of = partial(_lots_carried, facts, courses)
    carried = carried_beside(view, waters, now, zero, lots_of)
    entered = entered_movements(view, facts, waters, ever, zero, read)
    for movement in chain(lots, entered, carried):
        if movement.system in now:
            yield movement


def _lots_carried(
    facts: Knowledge, courses: CoursesOf, before: CaseView, entry: WaterMoved
) -> tuple[InWater, ...]:
    """Return what carried water held; of a water that nobody measured, all in unknown amounts."""
    lots = residues_of(before, facts, entry.moment, entry.source, courses)
    places = [before.systems.get(part) for part in joined_waters(before).now(entry.source)]
    if all(place is not None and place.volume.point_l is not None for place in places):
        return lots
    return tuple(replace(lot, low_mg_l=None, high_mg_l=None, by_volume=None) for lot in lots)


def _lots(
    view: CaseView,
    facts: Knowledge,
    zero: Moment,
    waters: JoinedWaters,
    parts: Mapping[str, PartOfWater],
) -> Iterator[Movement]:
    """Yield what was told to be in some waters and is not surely gone."""

    def water_at(place: str, moment: Moment) -> Volume:
        there = [parts[part].volume for part in sorted(waters.at(place, moment) & parts.keys())]
        return added([volume for volume in there if volume is not None] or [NOMINAL])

    def largest_l(place: str) -> float:
        if any(part.volume is None for part in parts.values()):
            return inf
        moments = [view.opened.moment, *(joining.at for joining in waters.joinings)]
        return max(water_at(place, moment).larger_l for moment in moments)

    for entry in (*view.agents_in_water, *told_as_events(view)):
        if entry.system not in parts or entry.state == "none":
            continue
        lot = _told(view, facts, entry, water_at(entry.system, entry.moment))
        if lot.high_mg_l is not None or not is_gone(view, entry, largest_l(entry.system)):
            at_h = hours_between(zero, entry.moment)
            yield Movement(at_h, entry.id, entry.system, _starting(lot))


def _part(view: CaseView, facts: Knowledge, zero: Moment, system: str) -> PartOfWater:
    place = view.systems.get(system)
    if place is None:
        return PartOfWater(None, ())
    measured = place.volume.point_l is not None
    carbon = carbon_told(view, system, zero)
    water = volume(place, facts) if measured else None
    substrate = {"yes": True, "no": False}.get(place.description.substrate or "")
    return PartOfWater(water, carbon, runs_before(view, system), substrate)


def _told(view: CaseView, facts: Knowledge, entry: AgentInWater, water: Volume) -> InWater:
    name = entry.agent or ""
    held = mg_in_ml(view, facts, agent_in_water(facts, name), entry.moment)
    return residue(facts, name, entry.amount, water, 0.0, None if held is None else held[1])


def _starting(lot: InWater) -> Callable[[WaterAccount], None]:
    return lambda account: account.start_with(lot)


def _no_courses(view: CaseView, shown: Shown | None) -> tuple[LivedCourse, ...]:
    del view, shown
    return ()


def reader_of(
    view: CaseView,
    facts: Knowledge,
    courses: CoursesOf = _no_courses,
    shown: Shown | None = None,
) -> CaseReader:
    """Return how the names and strengths of a case are read for the account.

    Args:
        view: the case.
        facts: what is known.
        courses: from a case to its courses as lived; amounts that were shown count on them.
        shown: amounts shown so far.
    """
    kept = {} if courses is _no_courses else amounts_shown(view, facts)
    so_far = kept if shown is None else shown

    def name_of(name: str) -> str:
        agent = resolve(facts, name).agent
        return "" if agent is None or agent.kind != SUBSTANCE else agent.id

    followed = followed_steps(view, facts, answering(view, name_of))
    of_steps = frozenset(e.id for course in followed for step in course.steps for e in step.entries)
    return CaseReader(
        name_of=name_of,
        in_water=partial(agent_in_water, facts),
        poured_mg=partial(poured_mg, view, facts),
        shown_mg=lambda entry: shown_mg(view, facts, entry, so_far, courses),
        fed_days=partial(fed_days, facts),
        said_in=partial(named_in, facts),
        is_step=lambda done: done.id in of_steps,
    )


@lru_cache(maxsize=8)
def amounts_shown(view: CaseView, facts: Knowledge) -> Shown:
    """Return the table of what was shown in a case, empty at first and filled as it is asked."""
    del view, facts
    return {}


def shown_mg(
    view: CaseView, facts: Knowledge, entry: DoseAsked, shown: Shown, courses: CoursesOf
) -> Edges | None:
    """Return what was shown for an amount asked for [mg], before it was rounded to a tool.

    It is ``(strength - what was surely there) x volume``, by what had been typed when it was asked:
    what was told later changed nothing of what was weighed out. Where the label did not tell its
    form it may be less, down to the form that holds least. None where that was not known.
    """
    asked = (entry.id, entry.model_dump_json())
    if asked not in shown:
        before = fold([line.entry for line in view.history if line.entry.id < entry.id])
        shown[asked] = _to_reach(before, facts, entry, shown, courses)
    return shown[asked]


def _to_reach(
    before: CaseView, facts: Knowledge, entry: DoseAsked, shown: Shown, courses: CoursesOf
) -> Edges | None:
    substance = resolve(facts, entry.agent)
    if substance.agent is None:
        return None
    label = container_of(before, facts, substance.agent.id)
    wanted_mg_l = read_strength(substance.agent, entry.strength, substance.form, label)
    if entry.water_changed is not None:
        whole_mg = wanted_mg_l * entry.water_changed.measured(Kind.VOLUME).number("L")
        return whole_mg * share_by_form(facts, label), whole_mg
    places = [before.systems.get(part) for part in joined_waters(before).now(entry.system)]
    litres = [None if place is None else place.volume.point_l for place in places]
    lots = residues_of(before, facts, entry.moment, entry.system, courses, None, shown)
    there = [lot.low_mg_l for lot in lots if lot.agent == substance.agent.id]
    if None in litres or None in there:
        return None
    missing_mg_l = max(0.0, wanted_mg_l - sum(low or 0.0 for low in there))
    mg = missing_mg_l * sum(float(part_l or 0) for part_l in litres)
    return mg * share_by_form(facts, label), mg
