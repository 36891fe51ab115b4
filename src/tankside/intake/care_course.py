"""Courses of care: the steps of a protocol with their dates, as actions a case can follow.

What the water feels (air, no food, a change, salt against nitrite) is a step of its own kind and is
worked out hour by hour; the rest are instructions. Nothing of what acts on a cause is simulated.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import ceil

from tankside.case import CaseView, Reading
from tankside.claims import Knowledge
from tankside.claims.care import (
    CareAct,
    CareCourse,
    CareProtocol,
    CareSection,
    CareStatement,
)
from tankside.claims.diagnosis import Condition
from tankside.course import Course, LabelEntry
from tankside.course.actions import CareStep, SaltTo, TakeReading, WaterChange
from tankside.course.actions.action import Action
from tankside.course.actions.care_step import AIR_IN, NO_FOOD
from tankside.course.bodies.effects import SALT
from tankside.errors import Mistake
from tankside.intake.assemble import Assembled, assemble, midnight
from tankside.intake.care_seen import look_days, stop_rules
from tankside.intake.plan_setup import last_told
from tankside.intake.quarantine_clock import (
    QUARANTINE_OF,
    QuarantineOfWater,
    quarantines,
)
from tankside.library.diagnosis_files import load_diagnosis
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY, MG_PER_G
from tankside.water.nitrite import salt_for_nitrite

PRACTICE = "practice.care_courses.change_share_"
TODAY_H, WEEK_H, LOOK_H = 2, 9, 9
"""Hours after the first hour, and of the clock, at which steps are put; any hour would serve."""
DAILY = ("temperature", "ph", "ammonia", "nitrite")
WEEK = 7
NAMES: Mapping[CareCourse, str] = {
    CareCourse.WATER_EMERGENCY: "put the water right",
    CareCourse.ISOLATE_AND_REPORT: "isolate and report",
    CareCourse.SUPPORTIVE: "supportive care",
    CareCourse.WATCH: "watch, and do nothing to the fish",
    CareCourse.BACTERIAL: "isolate, samples first, a veterinarian decides",
    CareCourse.HUSBANDRY: "diet, warmth and company",
    CareCourse.REMOVAL_BY_HAND: "removal by hand",
    CareCourse.TANK_TRANSFER: "tank transfer",
    CareCourse.LOW_SALINITY: "low salinity",
    CareCourse.FISHLESS_DISPLAY: "tank without fish",
    CareCourse.QUARANTINE: "quarantine of new fish",
}


@dataclass(frozen=True, slots=True)
class OfferedCare:
    """A course of care that a case may choose.

    Args:
        kind: what kind of course it is.
        cause: id of the protocol it comes from.
        course: its steps.
        starts: the moment of hour 0.
        salted: whether salt against nitrite is among its steps.
    """

    kind: CareCourse
    cause: str
    course: Course
    starts: Moment
    salted: bool = False


@dataclass(frozen=True, slots=True)
class CareSetting:
    """What a course of care is made for.

    Args:
        view: the case.
        facts: what is known.
        day: the day it begins.
        case: the case in the types of the science rooms; None where water or fish are not known.
        labels: containers by agent id.
    """

    view: CaseView
    facts: Knowledge
    day: date
    case: Assembled | None
    labels: Mapping[str, LabelEntry]

    @property
    def starts(self) -> Moment:
        """The moment of hour 0, the midnight of the day."""
        return midnight(self.view, self.day)

    @property
    def begins_h(self) -> int:
        """The first whole hour after what the case last tells, at which work begins."""
        told_h = hours_between(self.starts, last_told(self.view, self.day))
        return min(max(0, ceil(told_h)), HOURS_PER_DAY - TODAY_H - 1)

    @property
    def body(self) -> str:
        """The water of the sick fish; its usual name where none is described."""
        if self.case is not None:
            return self.case.subject
        return "main" if self.view.main is None else self.view.main.id


def care_setting(
    view: CaseView, facts: Knowledge, day: date, labels: Mapping[str, LabelEntry]
) -> CareSetting:
    """Return what courses of care are made for; what is not known leaves instructions only."""
    last = last_told(view, day)
    try:
        case = assemble(
            view, facts, midnight(view, day), at_start=False, placed=last, counted_to=last
        )
    except Mistake:
        case = None
    return CareSetting(view, facts, day, case, labels)


def offered_care(setting: CareSetting, protocol: CareProtocol) -> tuple[OfferedCare, ...]:
    """Return the courses that the protocol of a cause offers, the usual one first.

    Args:
        setting: what they are made for.
        protocol: the care of the cause, with what holds whatever the cause.
    """
    offers = []
    for kind in protocol.courses:
        steps = tuple(_steps(setting, protocol, kind))
        offers.append(_offer(setting, protocol, kind, steps, salted=False))
        salt = _salt(setting) if kind is CareCourse.WATER_EMERGENCY else None
        if salt is not None:
            unsalted = tuple(s for s in steps if getattr(s, "act", "") != CareAct.SALT.value)
            offers.append(_offer(setting, protocol, kind, (*unsalted, salt), salted=True))
    return tuple(offers)


def offered_quarantine(setting: CareSetting) -> tuple[OfferedCare, ...]:
    """Return the quarantine of the water with the newest fish, while print keeps them apart."""
    waters = quarantines(setting.view, setting.facts)
    newest = [w for w in waters if w.arrived is not None and setting.day < w.long_end]
    if not newest:
        return ()
    water = max(newest, key=lambda w: w.began)
    body = water.ids[0]
    steps: list[Action] = [
        CareStep(
            setting.begins_h,
            body,
            "Keep this water apart: no fish, water, plant, net or hand from it to another tank; "
            "the clock starts anew for all that share it when an animal arrives or a sign is seen.",
            CareAct.STAND_STILL.value,
        )
    ]
    for day in (*water.looks, water.long_end):
        ahead = (day - setting.day).days
        if ahead > 0:
            steps.append(_quarantine_look(ahead, body, water, day))
    course = Course(
        f"{QUARANTINE_OF} {' and '.join(water.waters)}",
        steps[-1].at_h // HOURS_PER_DAY + 1,
        tuple(steps),
    )
    kind = CareCourse.QUARANTINE
    return (OfferedCare(kind, kind.value, course, setting.starts),)


def _quarantine_look(ahead: int, body: str, water: QuarantineOfWater, day: date) -> CareStep:
    number = (day - water.began).days
    looks = "; ".join(water.look_for(day))
    words = f"Day {number} of the quarantine. Look at every fish you can catch for: {looks}."
    if day == water.ends:
        shows = f" {water.excludes[-1]}" if water.excludes else ""
        words += f" Earliest end, if nothing was ever seen.{shows}"
    if day == water.long_end:
        words = (
            f"Day {number}: long end of the quarantine, for cool water and sensitive stock. Last "
            f"look. {looks}."
        )
    return CareStep(ahead * HOURS_PER_DAY + LOOK_H, body, words, CareAct.LOOK.value)


def _offer(
    setting: CareSetting,
    protocol: CareProtocol,
    kind: CareCourse,
    steps: tuple[Action, ...],
    *,
    salted: bool,
) -> OfferedCare:
    ordered = tuple(sorted(steps, key=lambda step: step.at_h))
    days = ordered[-1].at_h // HOURS_PER_DAY + 1
    name = f"{protocol.name}: {NAMES[kind]}{', with salt against nitrite' if salted else ''}"
    return OfferedCare(kind, protocol.id, Course(name, days, ordered), setting.starts, salted)


def _steps(setting: CareSetting, protocol: CareProtocol, kind: CareCourse) -> Iterator[Action]:
    begins, body = setting.begins_h, setting.body
    of_cause = tuple(
        s
        for s in protocol.statements
        if s.claim.key.startswith(f"care.{protocol.id}.") and not _needless(setting, kind, s)
    )
    for statement in of_cause:
        if statement.section in (CareSection.NOW, CareSection.FIRST_HOUR):
            yield _felt(setting, protocol, kind, statement)
    if kind is CareCourse.WATER_EMERGENCY:
        for day in range(1, WEEK + 1):
            yield TakeReading(day * HOURS_PER_DAY + LOOK_H, body, DAILY)
    for statement in of_cause:
        if statement.section is CareSection.TODAY:
            yield _step(begins + TODAY_H, body, statement)
        if statement.section is CareSection.THIS_WEEK:
            yield _step(HOURS_PER_DAY + WEEK_H, body, statement)
    yield from _looks(body, protocol, begins)
    if kind in (CareCourse.TANK_TRANSFER, CareCourse.LOW_SALINITY, CareCourse.FISHLESS_DISPLAY):
        yield from _printed(setting, protocol, kind)


def _needless(setting: CareSetting, kind: CareCourse, statement: CareStatement) -> bool:
    """Whether a step is salt against nitrite in water whose nitrite was read and is safe."""
    if kind is not CareCourse.WATER_EMERGENCY or statement.act is not CareAct.SALT:
        return False
    nitrite = None if setting.case is None else setting.case.main.nitrite_mg_l_n
    return nitrite is not None and nitrite < load_diagnosis().number("nitrite.raised")


def _step(hour: int, body: str, statement: CareStatement) -> CareStep:
    return CareStep(hour, body, statement.spoken, statement.act.value)


def _looks(body: str, protocol: CareProtocol, begins_h: int) -> Iterator[CareStep]:
    """Yield a look on every day of the rule of the cause; where none is printed, tomorrow."""
    rules = stop_rules(protocol)
    for day in look_days(protocol) or (1,):
        due = [rule for rule in rules if day in {int(d) for d in rule.days}] or list(rules)
        words = " ".join(dict.fromkeys(rule.spoken for rule in due))
        hour = day * HOURS_PER_DAY + LOOK_H if day else begins_h + 1
        yield CareStep(hour, body, f"Look again: {words}", CareAct.LOOK.value)


def _felt(
    setting: CareSetting, protocol: CareProtocol, kind: CareCourse, statement: CareStatement
) -> Action:
    """Return the step of a statement, with what the water feels of it.

    Air goes in with every course whose cause asks for it at once; no food and a change of the
    printed share belong to a water emergency.
    """
    begins, body = setting.begins_h, setting.body
    step = _step(begins, body, statement)
    if statement.act is CareAct.AIR and statement.section is CareSection.NOW:
        return replace(step, felt=AIR_IN)
    if kind is not CareCourse.WATER_EMERGENCY:
        return step
    if statement.act is CareAct.FEED:
        return replace(step, felt=NO_FOOD)
    share, case = setting.facts.find(f"{PRACTICE}{protocol.id}"), setting.case
    if statement.act is not CareAct.WATER or share is None or case is None:
        return step
    if case.main.new_water.treated is None:
        return step
    return WaterChange(begins, body, round(share.number() * case.main.volume.point_l, 1))


def _salt(setting: CareSetting) -> SaltTo | None:
    """Return the salt that brings chloride to the printed ratio; None where it cannot be said.

    Only in fresh water, with a label, nitrite read and chloride as last known; limits of the
    animals are held when the course is run.
    """
    case = setting.case
    if case is None or SALT not in setting.labels or case.main.water != "fresh":
        return None
    nitrite = case.main.nitrite_mg_l_n
    ratio = setting.facts.find("water.nitrite.chloride_ratio")
    if not nitrite or ratio is None or not _read(setting, Reading.NITRITE):
        return None
    needed = float(salt_for_nitrite(nitrite, case.main.chloride_mg_l or 0.0, ratio.number()).number)
    if not needed > 0:
        return None
    there = sum(lot.high_mg_l or 0.0 for lot in case.main.residues if lot.agent == SALT)
    return SaltTo(setting.begins_h + 1, setting.body, (there + needed) / MG_PER_G)


def _read(setting: CareSetting, what: Reading) -> bool:
    main = setting.view.main
    return main is not None and what in main.readings


def _printed(setting: CareSetting, protocol: CareProtocol, kind: CareCourse) -> Iterator[CareStep]:
    """Yield the steps of a course that is in print with its times, as instructions."""
    if kind is CareCourse.TANK_TRANSFER:
        yield from _transfers(setting)
    elif kind is CareCourse.LOW_SALINITY:
        yield from _low_salinity(setting)
    else:
        yield from _fishless(setting, protocol)


def _transfers(setting: CareSetting) -> Iterator[CareStep]:
    facts, body, begins = setting.facts, setting.body, setting.begins_h
    every_h = round(facts.number("agent.tank_transfer.interval.marine"))
    moves = round(facts.number("agent.tank_transfer.moves.marine"))
    for number in range(moves):
        yield CareStep(
            begins + number * every_h,
            body,
            f"Move {number + 1} of {moves}: every fish into a clean, dry tank with new water of "
            f"the same salinity and warmth, no later than {every_h} hours after the last; bleach "
            "the old tank and its tools and leave them dry for a day. Feed little: a bare tank has "
            "no filter, so test ammonia every day.",
            CareAct.HUSBANDRY.value,
        )


def _low_salinity(setting: CareSetting) -> Iterator[CareStep]:
    claim = setting.facts.find("agent.low_salinity.printed.dose.cryptocaryon")
    if claim is None:
        return
    body, begins = setting.body, setting.begins_h
    yield CareStep(
        begins,
        body,
        f"Over some days bring the salinity to {claim.low:g} to {claim.high:g} g/L, in a tank "
        "without invertebrates, plants, live rock, sharks or rays, by a refractometer that was "
        "checked; hold it as printed (21 to 30 days) and test ammonia, the filter is at risk. A "
        "veterinarian decides.",
        CareAct.SALT.value,
    )
    for day in (21, 30):
        yield CareStep(
            day * HOURS_PER_DAY + LOOK_H,
            body,
            f"Day {day} at low salinity: look at every fish before the salinity is raised slowly.",
            CareAct.LOOK.value,
        )


def _fishless(setting: CareSetting, protocol: CareProtocol) -> Iterator[CareStep]:
    """Yield the printed weeks that a display stays without fish, where print has them."""
    for cause in protocol.causes:
        listed: Condition | None = load_diagnosis().conditions.get(cause)
        organism = "" if listed is None else listed.organism
        claim = setting.facts.find(f"quarantine.times.fishless.{organism}")
        if claim is None or claim.low is None or claim.high is None:
            continue
        for weeks, words in ((claim.low, "at the earliest"), (claim.high, "the long end")):
            yield CareStep(
                round(weeks * WEEK) * HOURS_PER_DAY + LOOK_H,
                setting.body,
                f"{weeks:g} weeks without fish, {words}: {claim.note}. Until then no fish goes "
                "in, and what is wet goes to no other tank.",
                CareAct.STAND_STILL.value,
            )
