"""What a case tells of the course of a cause: looks, deaths, readings, by day since care began."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from tankside.case import CaseView
from tankside.case.parts import Looked
from tankside.case.view import NOTHING_SEEN
from tankside.claims import Knowledge
from tankside.claims.care import CareCourse, CareDecider, CareProtocol, CareSection, CareStatement
from tankside.claims.diagnosis import Role
from tankside.follow.by_protocol import CareLook, ProtocolInputs
from tankside.intake.cause_treated import CauseTreated, Certainty, causes_treated
from tankside.intake.death_curve import deaths_by_water, stock_of_water
from tankside.intake.likely_cause import parasite_behind
from tankside.intake.parasite_looks import looks_in
from tankside.library.diagnosis_files import load_diagnosis
from tankside.sampling import clopper_pearson, largest_share

WATER_CAUSES = frozenset(
    {"nitrogen", "chlorine", "hypoxia", "phshock", "coppertox", "gasbub", "poison", "tempshock"}
)
"""Protocols of causes that readings of the water prove and end."""


@dataclass(frozen=True, slots=True)
class WaterDeaths:
    """Deaths of one body of water, with an exact bound.

    Args:
        water: its name, "" where nobody said which water.
        dead: how many died.
        stock: how many fish lived in it, dead and alive; None when not known.
        low: least share that would die, of fish like these over these days [0 to 1].
        high: largest share that the number does not exclude [0 to 1]; None without ``stock``.
    """

    water: str
    dead: int
    stock: int | None
    low: float
    high: float | None


def care_began(view: CaseView, cause: CauseTreated) -> date:
    """Return the day from which the days of a protocol are counted.

    The day on which a course of care was chosen, else on which the cause was first named, else on
    which the case was opened.
    """
    if view.course is not None:
        return view.course.moment.day
    named = [d for d in view.diagnoses if d.condition.split(" ")[0].upper() == cause.cause]
    return named[0].moment.day if named else view.opened.moment.day


def look_days(protocol: CareProtocol) -> tuple[int, ...]:
    """Return the days of the protocol's own stop rules, rising; empty when none is printed."""
    return tuple(sorted({int(day) for said in stop_rules(protocol) for day in said.days}))


def stop_rules(protocol: CareProtocol) -> tuple[CareStatement, ...]:
    """Return the rules that the protocol of the cause itself has for its end."""
    prefix = f"care.{protocol.id}."
    rules = protocol.said(CareSection.STOP_RULE)
    return tuple(said for said in rules if said.claim.key.startswith(prefix))


def protocol_inputs(
    view: CaseView, facts: Knowledge, cause: CauseTreated, protocol: CareProtocol, day: date
) -> ProtocolInputs:
    """Return what a follow-up by protocol rests on, up to the end of a day.

    Args:
        view: the case.
        facts: what is known.
        cause: the cause that is followed.
        protocol: its protocol.
        day: the day it is asked on.
    """
    began = care_began(view, cause)
    measured = [(test.moment.day - began).days for test in view.water_tests]
    faults = [c for c in causes_treated(view, facts) if c.certainty is Certainty.MEASURED]
    return ProtocolInputs(
        today=(day - began).days,
        due=look_days(protocol),
        looks=tuple(_looks(view, began, day)),
        dead=_dead(view, began, day),
        water_fault=bool(faults),
        water_measured=tuple(sorted(n for n in measured if 0 <= n <= (day - began).days)),
        of_water=protocol.id in WATER_CAUSES,
        parasites_gone=_gone(view, facts, cause, day),
        authority=CareCourse.ISOLATE_AND_REPORT in protocol.courses
        or any(said.decides is CareDecider.AUTHORITY for said in stop_rules(protocol)),
    )


def deaths_of_waters(view: CaseView) -> tuple[WaterDeaths, ...]:
    """Return the deaths of each body of water with fish, with exact bounds, most deaths first."""
    dead = {water: sum(days.values()) for water, days in deaths_by_water(view).items()}
    lived_in = {group.system for group in view.stock.values() if group.living == "fish"}
    every = {**dict.fromkeys(sorted(lived_in), 0), **dead}
    rows = (_bounded(view, water, number) for water, number in every.items())
    return tuple(sorted(rows, key=lambda row: -row.dead))


def _bounded(view: CaseView, water: str, dead: int) -> WaterDeaths:
    system = view.systems.get(water)
    name = water.replace("_", " ") if system is None else system.name
    stock = stock_of_water(view, water) if water else None
    if not stock or dead > stock:
        return WaterDeaths(name, dead, stock, 0.0, None)
    if not dead:
        return WaterDeaths(name, dead, stock, 0.0, largest_share(0, stock))
    interval = clopper_pearson(dead, stock)
    return WaterDeaths(name, dead, stock, interval.low, interval.high)


def _looks(view: CaseView, began: date, upto: date) -> Iterator[CareLook]:
    """Yield the days on which somebody looked at animals, and whether a sign was seen."""
    days: dict[date, bool] = {}
    seen = [(entry.moment.day, entry.looked) for entry in view.findings]
    seen += [(slide.moment.day, look) for slide in view.wet_mounts for look in slide.looks]
    for day, look in seen:
        if look.state == "answered" and _of_animals(look.finding):
            _note(days, day, _is_sign(look))
    for count in view.counts:
        _note(days, count.moment.day, bool(count.positive))
    for death in view.deaths:
        _note(days, death.moment.day, death.number > 0)
    for day in sorted(days):
        if began <= day <= upto:
            yield CareLook((day - began).days, days[day])


def signs_in(view: CaseView, parts: Collection[str]) -> Iterator[tuple[date, str]]:
    """Yield the day and the words of every sign and death in a body of water.

    What names no water is taken for this one: more told never ends a quarantine earlier.

    Args:
        view: the case.
        parts: ids of its parts.
    """
    homes = {group.id: group.system for group in view.stock.values()}
    seen = [(f.moment.day, f.looked, f.system, f.group) for f in view.findings]
    seen += [(s.moment.day, look, s.system, s.group) for s in view.wet_mounts for look in s.looks]
    for day, look, system, group in seen:
        water = system or homes.get(group or "", "")
        sign = look.state == "answered" and _of_animals(look.finding) and _is_sign(look)
        if sign and (not water or water in parts):
            yield day, f"a sign was seen ({look.finding.replace('_', ' ')})"
    for death in view.deaths:
        water = death.system or homes.get(death.group or "", "")
        if death.number and (not water or water in parts):
            yield death.moment.day, f"{death.number} died"


def _of_animals(finding: str) -> bool:
    """Whether a finding is looked for on animals, and is no context and no reading of water."""
    listed = load_diagnosis().findings.get(finding)
    return listed is None or listed.role not in (Role.CONTEXT, Role.WATER_TEST)


def _is_sign(look: Looked) -> bool:
    """Whether an answer says more than a well animal shows."""
    listed = load_diagnosis().findings.get(look.finding)
    usual = frozenset() if listed is None else frozenset({listed.baseline_answer})
    return not set(look.answers) <= NOTHING_SEEN | usual


def _note(days: dict[date, bool], day: date, sign: bool) -> None:
    days[day] = days.get(day, False) or sign


def _dead(view: CaseView, began: date, upto: date) -> Mapping[int, int]:
    """Return deaths by day since care began; those before it on days below zero."""
    dead: dict[int, int] = {}
    for entry in view.deaths:
        if entry.moment.day <= upto:
            day = (entry.moment.day - began).days
            dead[day] = dead.get(day, 0) + entry.number
    return dead


def _gone(view: CaseView, facts: Knowledge, cause: CauseTreated, upto: date) -> bool:
    """Whether parasites of the cause were counted once and the latest count shows none."""
    parasite = parasite_behind(cause.cause, facts, view.opened.water)
    if parasite is None:
        return False
    seen = looks_in(view, facts, parasite, view.systems)
    counts = [look for look in seen.looks if look.counted and look.at.day <= upto]
    return bool(counts) and not counts[-1].amount and any(look.amount for look in counts)


def day_after(began: date, days: int) -> date:
    """Return the day so many days after the care began."""
    return began + timedelta(days=days)
