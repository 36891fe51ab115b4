"""Today: one day of the course a case follows, with what warns of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from tankside import library
from tankside.case.done import Decision
from tankside.course import Caution, Level
from tankside.course.actions import CareStep
from tankside.course.bodies.effects import AgentUnknown
from tankside.course.safety.scene import gone_mg_l
from tankside.errors import NotPossible
from tankside.intake import clock
from tankside.intake.assemble import midnight
from tankside.intake.chosen_course import every_course
from tankside.intake.fishless import fishless_tanks
from tankside.intake.followed_course import Running, law_of, run_of, running
from tankside.intake.plan_ended import plan_ended_by
from tankside.intake.quarantine_clock import restarted
from tankside.intake.readings_watch import reading_warnings
from tankside.intake.species import stand_ins
from tankside.intake.spread import spread_warnings
from tankside.intake.unanswered import OpenStep, open_moves, open_steps
from tankside.present.clock import CaseClock
from tankside.present.day_card import GOOD_UNTIL
from tankside.quantity.dates import day_words
from tankside.quantity.moment import Moment, parse_date
from tankside.records.case_store import read_case
from tankside.records.stored_case import StoredCase
from tankside.services.care_case import CareAnswer, care_of_case


@dataclass(frozen=True, slots=True)
class CardStanding:
    """Whether the card of a day may still be followed.

    Args:
        course_ended: the last day of the course, once it is over.
        is_past: whether the time until which the card holds is over.
        decided: the newer entry that ended the plan; None when there is none.
    """

    course_ended: date | None = None
    is_past: bool = False
    decided: Decision | None = None


@dataclass(frozen=True, slots=True)
class TodayAnswer:
    """One day of the course a case follows.

    Args:
        stored: the case as read.
        running: the course with its water, amounts and lines.
        day: calendar day at the tank, one of the days of the course.
        cautions: those of the steps of this day, and those of the whole course.
        law: what the law says of each agent where the tank stands, by agent id.
        unanswered: steps before this day that nobody has answered: moves of fish, and on a day
            on which anything is weighed what puts something in.
        standing: whether the card of this day may still be followed.
        remarks: what the readings warn of, how long a tank stands without fish, and which kinds
            of animals are stood in for.
        care: what is done for the causes of the case on this day.
    """

    stored: StoredCase
    running: Running
    day: date
    cautions: tuple[Caution, ...]
    law: Mapping[str, tuple[str, ...]]
    standing: CardStanding
    unanswered: tuple[OpenStep, ...] = ()
    remarks: tuple[str, ...] = ()
    care: CareAnswer | None = None

    @property
    def of_care(self) -> bool:
        """Whether the course is one of care, whose steps a protocol says."""
        return any(isinstance(step, CareStep) for step in self.running.run.course.actions)


def today(path: str | Path, typed: str | None = None) -> TodayAnswer:
    """Return one day of the course a case follows.

    Args:
        path: the case file.
        typed: the day as typed (2026-03-04); None for the present day at the tank.

    Raises:
        BadInput: the case or the day cannot be read.
        NotPossible: E-PLAN-03 no course chosen; E-COURSE-03 the day lies outside the course.
    """
    stored, followed = _followed(path)
    day = parse_date(typed, field="date") if typed else _present_day(followed)
    _check_day(followed, day)
    return _answer(stored, followed, day)


def latest_day(path: str | Path) -> TodayAnswer:
    """Return the present day of the course, or the day of the course nearest to it.

    Raises:
        BadInput: the case cannot be read.
        NotPossible: E-PLAN-03 no course chosen.
    """
    stored, followed = _followed(path)
    first, last = _first_and_last(followed)
    return _answer(stored, followed, min(max(first, _present_day(followed)), last))


def replaced(answer: TodayAnswer) -> tuple[Running, ...]:
    """Return every earlier course of the case, run over its water, the first one first."""
    view = answer.stored.view()
    facts = answer.running.case.facts
    version = answer.running.chosen.version
    return tuple(run_of(view, facts, old) for old in every_course(view) if old.version < version)


def _followed(path: str | Path) -> tuple[StoredCase, Running]:
    stored = read_case(path)
    return stored, running(stored.view(), library.load())


def _answer(stored: StoredCase, followed: Running, day: date) -> TodayAnswer:
    at_tank = followed.clock
    actions = {line.action for line in followed.run.lines if at_tank.day_of(line.hour) == day}
    of_day = _agents_of(followed, day)
    cautions = tuple(
        caution
        for caution in followed.run.safety
        if caution.action in actions
        or _lasts_on(at_tank, caution, day)
        or (caution.hour is None and caution.action is None and _holds_on(of_day, caution))
    )
    asked = _asked_first(followed, day)
    standing = _standing(stored, followed, day)
    remarks = _remarks(followed, day)
    care = care_of_case(stored.reference, day)
    return TodayAnswer(
        stored, followed, day, cautions, law_of(followed), standing, asked, remarks, care
    )


def _remarks(followed: Running, day: date) -> tuple[str, ...]:
    """Return what stands beside the steps of a day: a quarantine begun anew, readings, tools."""
    view, facts = followed.case.view, followed.case.facts
    morning = midnight(view, day)
    now = Moment(clock.now().isoformat())
    at = max(morning, now, key=lambda moment: moment.utc)
    evening = midnight(view, day + timedelta(days=1))
    empty = (tank.words for tank in fishless_tanks(view, facts, evening))
    spread = spread_warnings(view).values()
    anew = filter(None, (restarted(view, facts),))
    return (*anew, *reading_warnings(view, facts, at), *empty, *spread, *stand_ins(view, facts))


def _lasts_on(at_tank: CaseClock, caution: Caution, day: date) -> bool:
    """Whether what a caution warns of falls on a day, or lasts until it."""
    if caution.hour is None:
        return False
    until = caution.hour if caution.until is None else caution.until
    return at_tank.day_of(caution.hour) <= day <= at_tank.day_of(until)


def _holds_on(of_day: frozenset[str], caution: Caution) -> bool:
    """Whether what is to be heeded of a whole course holds on a day of these agents.

    What warns of an agent belongs to the days on which it is given or may be in the water; what
    forbids the course, or speaks of no agent, stands on every day.
    """
    every_day = not caution.agent or caution.level is Level.BLOCKED
    return every_day or caution.agent in of_day


def _agents_of(followed: Running, day: date) -> frozenset[str]:
    """Return the agents of the steps of a day, and those that may be in any water on it.

    What was put in in an amount that nobody knows may be there on every day.
    """
    run, at_tank = followed.run, followed.clock
    hours = [hour for hour in range(run.tank_hours.hours) if at_tank.day_of(hour) == day]
    steps = (run.course.actions[line.action] for line in run.lines if line.hour in hours)
    agents = {str(getattr(step, "agent", "")) for step in steps}
    agents |= {run.amounts[n].agent for line in run.lines if line.hour in hours
               for n in line.amounts}  # fmt: skip
    waters = {system.id: system for system in followed.case.systems}
    agents |= {lot.agent for water in waters.values() for lot in water.residues
               if lot.high_mg_l is None}  # fmt: skip
    logged = (effect for _, effect in run.course.lived.logged)
    agents |= {effect.agent for effect in logged if isinstance(effect, AgentUnknown)}
    for stratum in run.tank_hours.strata:
        for body in stratum.bodies:
            for agent, high in body.residue_high_mg_l.items():
                gone = gone_mg_l(followed.case.facts, agent, waters[body.body].water)
                if hours and not bool((high[hours] <= gone).all()):
                    agents.add(agent)
    return frozenset(agents)


def _standing(stored: StoredCase, followed: Running, day: date) -> CardStanding:
    at_tank = followed.clock
    _, last = _first_and_last(followed)
    holds_until = at_tank.utc(at_tank.hour_at(day + timedelta(days=1), GOOD_UNTIL))
    return CardStanding(
        last if _present_day(followed) > last else None,
        clock.now() > holds_until,
        plan_ended_by(stored.view().decisions, followed.chosen.entry),
    )


def _weighs(followed: Running, day: date) -> bool:
    """Whether anything is weighed on a day."""
    at_tank = followed.clock
    return any(line.amounts and at_tank.day_of(line.hour) == day for line in followed.run.lines)


def _asked_first(followed: Running, day: date) -> tuple[OpenStep, ...]:
    """Return what must be answered first, of what was due before a day and by now.

    Moves of fish on every day, since nobody knows where they live; what puts something in on a
    day on which anything is weighed.
    """
    morning = midnight(followed.case.view, day)
    now = Moment(clock.now().isoformat())
    upto = min(morning, now, key=lambda moment: moment.utc)
    moves = open_moves(followed.case.view, followed.lived, upto)
    put_in = open_steps(followed.lived, upto) if _weighs(followed, day) else ()
    return (*moves, *put_in)


def _present_day(followed: Running) -> date:
    return clock.now().astimezone(followed.clock.zone).date()


def _first_and_last(followed: Running) -> tuple[date, date]:
    return followed.clock.day(0), followed.clock.day(followed.run.course.days - 1)


def _check_day(followed: Running, day: date) -> None:
    first, last = _first_and_last(followed)
    if first <= day <= last:
        return
    raise NotPossible(
        "E-COURSE-03",
        "This day lies outside the course that was chosen.",
        given=day.isoformat(),
        needed=f"a day from {day_words(first)} to {day_words(last)}",
        next_step=f"Ask for a day of the course with --date {first.isoformat()}, or plan again.",
        field="date",
    )
