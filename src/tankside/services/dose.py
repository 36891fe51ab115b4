"""One amount: from what is asked to the sum, its limits, its cautions and the people lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tankside import course as courses
from tankside.case import CaseView
from tankside.claims import Agent, Knowledge
from tankside.course import (
    BodyKind,
    Caution,
    Course,
    InWater,
    Level,
    PrintedAmount,
    System,
)
from tankside.course.actions import Bath, Dose, WaterChange
from tankside.course.actions.action import Action
from tankside.course.amounts.limits import hard_limit, lowest_useful, soft_limit
from tankside.course.amounts.needs import Readings, around
from tankside.errors import BadInput, Mistake, refused_as
from tankside.intake import clock
from tankside.intake.country import country_code
from tankside.intake.dose_request import PROLONGED, DoseAsk, read_strength
from tankside.intake.dose_setting import Given, told_by_case, typed_with
from tankside.intake.law import law_lines
from tankside.intake.substances import named_agent, read_as
from tankside.library import load
from tankside.quantity import Kind, parse_quantity
from tankside.quantity.moment import Moment

BATH = "bath"
EMERGENCY = (
    "Fish roll over or gasp: air on, fish out into clean water of the same temperature, or change "
    "half the water with matched water; give no more.",
    "A person is splashed, breathes it in or swallows it: see the people lines, call a poison "
    "centre or doctor, show the label.",
)


@dataclass(frozen=True, slots=True)
class DoseAnswer:
    """One amount with everything that belongs beside it."""

    agent: Agent
    amount: PrintedAmount
    line: str
    usual_low_mg_l: float | None
    usual_high_mg_l: float | None
    hard_mg_l: float
    cautions: tuple[Caution, ...]
    people: Mapping[str, str]
    law: tuple[str, ...]
    sources: tuple[str, ...]
    read_as: tuple[str, ...]
    emergency: tuple[str, ...] = EMERGENCY


def work_out(ask: DoseAsk, view: CaseView | None = None, at: Moment | None = None) -> DoseAnswer:
    """Work out one amount.

    Args:
        ask: what is asked, as typed.
        view: the case that tells water, animals and container; None when they are typed.
        at: when it is to be weighed out; None for now.

    Raises:
        BadInput: E-NUM-.., E-UNIT-.., E-PROD-.., E-DOSE-.. when it may not be shown.
        NotPossible: E-DOSE-20 something must be known first; E-DOSE-900 the check failed.
    """
    facts = load()
    country = None if ask.country is None else country_code(facts, ask.country)
    substance = named_agent(facts, ask.agent, "agent")
    agent = substance.agents[0]
    now = at or Moment(clock.now().isoformat(timespec="minutes"))
    if view is None:
        given = typed_with(facts, ask, agent, now)
    else:
        given = told_by_case(facts, ask, view, now)
    wanted = read_strength(agent, ask.strength, substance.form)
    if ask.changed is not None:
        given = _holding(given, agent, wanted)
    course = _course(ask, agent, given, wanted)
    if agent.id not in given.labels:
        raise _no_label(agent)
    box = _box(ask, given)
    run = courses.run([*given.systems, *box], given.stock, course, facts, given.labels)
    blocked = [c for c in run.blocked if c.agent in ("", agent.id)]
    if blocked:
        raise _refused(blocked[0], ask)
    if not run.amounts:
        raise BadInput(
            "E-DOSE-25",
            f"Nothing to weigh out: the water already holds this strength of {agent.name}.",
            given=ask.strength,
            needed="a strength above what is there already",
            next_step="Check what was typed as already there.",
        )
    if view is not None:
        country = view.opened.country
    return _answer(facts, ask, agent, run, given, country)


def _no_label(agent: Agent) -> BadInput:
    return BadInput(
        "E-PROD-01",
        f"No container of {agent.name} was entered.",
        given="no label",
        needed="the strength with its basis as the label prints it, and the scale or syringe",
        next_step="Read the label and name the tool that measures it.",
        field="label",
    )


def _holding(given: Given, agent: Agent, mg_l: float) -> Given:
    """Return the same with the strength that is being held in the water already."""
    others = (
        lot for lot in given.system.residues if lot.agent != agent.id or lot.high_mg_l is None
    )
    system = replace(given.system, residues=(*others, InWater(agent.id, mg_l, mg_l)))
    rest = (other for other in given.systems if other.id != system.id)
    return replace(given, system=system, systems=(system, *rest))


def _apart(ask: DoseAsk, given: Given) -> bool:
    """Whether it is a bath beside the tank: fish put in for minutes, and nothing put back."""
    timed = ask.route != PROLONGED and ask.minutes is not None
    return timed and bool(_there(given)) and ask.changed is None


def _there(given: Given) -> list[str]:
    """Return the groups of animals that live in the water meant."""
    return [group.id for group in given.stock if group.body == given.system.id]


def _box(ask: DoseAsk, given: Given) -> tuple[System, ...]:
    """Return the water of the bath; the volume and the readings typed are those of the bath."""
    if not _apart(ask, given):
        return ()
    return (replace(given.system, id=BATH, name="the bath", kind=BodyKind.BATH),)


def _course(ask: DoseAsk, agent: Agent, given: Given, mg_l: float) -> Course:
    minutes = None
    if ask.minutes is not None:
        minutes = parse_quantity(ask.minutes, Kind.TIME, field="minutes").number("min")
    reason, body = ask.reason.strip(), given.system.id
    if minutes is not None and _apart(ask, given):
        baths = (
            Bath(0, body, group, BATH, agent.id, mg_l, minutes, ask.route, reason)
            for group in _there(given)
        )
        return Course("one amount", 1, tuple(baths))
    dose = Dose(0, body, agent.id, mg_l, True, route=ask.route, minutes=minutes, reason=reason)
    steps: tuple[Action, ...] = (dose,)
    if ask.changed is not None:
        steps = (dose, WaterChange(1, body, _changed_l(ask.changed, given.system)))
    return Course("one amount", 1, steps)


def _changed_l(text: str, system: System) -> float:
    litres = parse_quantity(text, Kind.VOLUME, field="changed").number("L")
    if litres <= system.volume.point_l:
        return litres
    raise BadInput(
        "E-RANGE-01",
        "More water is changed than there is.",
        given=text,
        needed=f"at most {system.volume.point_l:g} L",
        next_step="Check both volumes.",
        field="changed",
    )


def _refused(caution: Caution, ask: DoseAsk) -> Mistake:
    return refused_as(caution.code)(
        caution.code,
        caution.words,
        given=f"{ask.strength} of {ask.agent}",
        needed=caution.why.replace("\xa0", " ").removeprefix("Needed: "),
        next_step=caution.what_instead,
        field=caution.claim_key,
    )


def _answer(
    facts: Knowledge,
    ask: DoseAsk,
    agent: Agent,
    run: courses.CourseRun,
    given: Given,
    country: str | None,
) -> DoseAnswer:
    here = [group for group in given.stock if group.body == given.system.id]
    around_it = around(Readings.at_start(given.system), here)
    hard = hard_limit(facts, agent.id, ask.route, around_it)
    low, high = lowest_useful(facts, agent.id, ask.route), soft_limit(facts, agent.id, ask.route)
    if hard is None:
        raise BadInput(
            "E-DOSE-10",
            "No limit is known by this route.",
            given=ask.route,
            needed="a route with a published limit",
            next_step="Choose another route or another agent.",
        )
    keys = dict.fromkeys(lim.source for lim in (low, high, hard) if lim is not None and lim.source)
    cited = tuple(f"{key}: {facts.source(key).citation}" for key in keys)
    line = next(line for line in run.lines if line.amounts)
    return DoseAnswer(
        agent=agent,
        amount=run.amounts[-1],
        line=line.text,
        usual_low_mg_l=None if low is None else low.mg_l,
        usual_high_mg_l=None if high is None else high.mg_l,
        hard_mg_l=hard.mg_l,
        cautions=tuple(c for c in run.safety if c.level is not Level.BLOCKED),
        people=dict(run.amounts[-1].handling),
        law=law_lines(facts, agent.id, country),
        sources=cited,
        read_as=_names_read(facts, ask),
    )


def _names_read(facts: Knowledge, ask: DoseAsk) -> tuple[str, ...]:
    """Say what the names typed with an amount were read as, where that is not plain."""
    typed = (ask.agent, *(text.partition("=")[0] for text in ask.in_water))
    return tuple(note for name in typed if (note := read_as(facts, name)))
