"""One amount: from what is asked to the sum, its limits, its cautions and the people lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from tankside import course as courses
from tankside.case import CaseView
from tankside.claims import Agent, Claim, Knowledge, Source
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
from tankside.course.actions.lived import Lived
from tankside.course.amounts.limits import hard_limit, lowest_useful, soft_limit
from tankside.course.amounts.needs import Readings, around
from tankside.course.amounts.printing import concentration
from tankside.course.bodies.effects import Held
from tankside.course.bodies.stock import Living, living_of
from tankside.errors import BadInput
from tankside.intake.asked_setting import AskedSetting, asked_setting
from tankside.intake.bath_vessel import refuse_no_vessel
from tankside.intake.dose_refused import (
    asked_in_vain,
    no_label,
    refusal_of,
    refusal_of_no_volume,
)
from tankside.intake.dose_request import PROLONGED, DoseRequest
from tankside.intake.dose_setting import DoseSetting
from tankside.intake.fed import fed_already
from tankside.intake.law import rules_of_law
from tankside.intake.new_water import refuse_unknown_new_water
from tankside.intake.only_in_words import asked_of_words
from tankside.intake.put_back import refuse_nothing_to_put_back
from tankside.intake.salt_contradicted import salt_contradicted
from tankside.intake.strength import read_strength
from tankside.intake.substances import read_as
from tankside.library import load
from tankside.quantity import Kind, parse_quantity
from tankside.quantity.moment import Moment

BATH, DIP = "bath", "dip"
OF_WARMTH = ("S-HEAT", "S-COLD")


@dataclass(frozen=True, slots=True)
class DoseAnswer:
    """One amount with everything that belongs beside it.

    Args:
        agent: what it is of.
        amount: the amount with its sum.
        line: what is done with it.
        usual_low_mg_l: the usual strength, low end [mg/L]; None when not known.
        usual_high_mg_l: the usual strength, high end [mg/L]; None when not known.
        hard_mg_l: the strength never passed [mg/L].
        cautions: what stands against it or must be watched.
        people: what whoever handles it must know, by subject.
        law: the rules on file for the country.
        country: two letters; None when nobody told it.
        sources: works behind the limits.
        names_read: what names of substances were read as, where that is not plain.
        brings: what a mixture brings of each of its parts; "" for a substance by itself.
        reaches_mg_l: strength that it makes with what is in the water; None where nothing is.
    """

    agent: Agent
    amount: PrintedAmount
    line: str
    usual_low_mg_l: float | None
    usual_high_mg_l: float | None
    hard_mg_l: float
    cautions: tuple[Caution, ...]
    people: Mapping[str, str]
    law: tuple[Claim, ...]
    country: str | None
    sources: tuple[Source, ...]
    names_read: tuple[str, ...]
    brings: str
    reaches_mg_l: float | None


def work_out(
    request: DoseRequest, view: CaseView | None = None, at: Moment | None = None
) -> DoseAnswer:
    """Work out one amount.

    Args:
        request: what is asked, as typed.
        view: the case that tells water, animals and container; None when they are typed.
        at: when it is to be weighed out; None for now.

    Raises:
        BadInput: E-NUM-.., E-UNIT-.., E-PROD-.., E-DOSE-.. when it may not be shown.
        NotPossible: E-DOSE-20 something must be known first; E-DOSE-28 an amount asked for
            before was never answered; E-WATER-04 new water goes in and nobody knows what it was
            treated with; E-DOSE-900 the check failed.
    """
    facts = load()
    meant = asked_setting(facts, request, view, at)
    agent, setting, label = meant.agent, meant.setting, meant.label
    if setting.no_volume is not None:
        request = replace(request, changed=None)
    wanted = read_strength(agent, request.strength, meant.substance.form, label)
    request = _by_its_minutes(facts, request, agent, wanted)
    if request.changed is not None:
        if view is not None:
            refuse_nothing_to_put_back(view, setting.system, agent, wanted)
        setting = _holding(setting, agent, wanted)
    course = _course(request, agent, setting, wanted)
    box = _box(request, setting)
    run = courses.run([*setting.systems, *box], setting.stock, course, facts, setting.labels)
    blocked = [*_stops(facts, run, agent, setting, view, meant.now)]
    if setting.no_volume is not None:
        raise refusal_of_no_volume(setting.no_volume, blocked, request, label=label is not None)
    if blocked:
        raise refusal_of(blocked, request, label=label is not None)
    if label is None:
        raise no_label(agent.name)
    refuse_unknown_new_water(setting.systems, course)
    if not run.amounts:
        raise BadInput(
            "E-DOSE-25",
            f"Nothing to weigh out: the water already holds this strength of {agent.name}.",
            given=request.strength,
            needed="a strength above what is there already",
            next_step="Check what was typed as already there.",
        )
    answer = _answer(facts, request, agent, run, setting, meant.country, wanted)
    return answer if view is None else _beside_the_log(facts, answer, request, setting, view, meant)


def _beside_the_log(
    facts: Knowledge,
    answer: DoseAnswer,
    request: DoseRequest,
    setting: DoseSetting,
    view: CaseView,
    meant: AskedSetting,
) -> DoseAnswer:
    """Hold an amount to what was logged, and ask about substances that only words name.

    Raises:
        NotPossible: E-DOSE-20 one reading contradicts the log.
    """
    body = setting.system
    against = [*salt_contradicted(view, facts, body, answer.amount, answer.hard_mg_l, meant.now)]
    if against:
        raise refusal_of(against, request, label=True)
    words = asked_of_words(view, facts, answer.agent.id, body.id, meant.now)
    return replace(answer, cautions=(*answer.cautions, *words))


def _stops(
    facts: Knowledge,
    run: courses.CourseRun,
    agent: Agent,
    setting: DoseSetting,
    view: CaseView | None,
    now: Moment,
) -> Iterator[Caution]:
    """Yield what stands against the amount, with what only a case can tell."""
    yield from (caution for caution in run.blocked if caution.agent in ("", agent.id))
    if view is not None:
        yield from fed_already(view, facts, agent, setting.system.id, now)
        yield from (c for c in run.safety if asked_in_vain(c, view, setting.system.id))


def _by_its_minutes(
    facts: Knowledge, request: DoseRequest, agent: Agent, mg_l: float
) -> DoseRequest:
    """Return a bath as the dip that print calls it, where it is as short and too strong for hours.

    Print gives two limits by time, whatever either is called: one for hours, one for minutes.
    """
    minutes = _minutes(request)
    longest = facts.find(f"agent.{agent.id}.minutes_max.{DIP}")
    for_hours = facts.released(f"agent.{agent.id}.hard_max.{BATH}")
    if request.route != BATH or minutes is None or longest is None or for_hours is None:
        return request
    short = minutes <= longest.bounds()[1] and mg_l > for_hours.bounds()[1]
    return replace(request, route=DIP) if short else request


def _minutes(request: DoseRequest) -> float | None:
    """Return how long the bath is meant to be [min]; None when it is none."""
    if request.minutes is None:
        return None
    return parse_quantity(request.minutes, Kind.TIME, field="minutes").number("min")


def _holding(setting: DoseSetting, agent: Agent, mg_l: float) -> DoseSetting:
    """Return the same with the strength that is held, where nothing tells what is there.

    What is told to be there, or what the account has there, is never dropped.
    """
    if any(lot.agent == agent.id for lot in setting.system.residues):
        return setting
    residues = (*setting.system.residues, InWater(agent.id, mg_l, mg_l))
    system = replace(setting.system, residues=residues)
    rest = (other for other in setting.systems if other.id != system.id)
    return replace(setting, system=system, systems=(system, *rest))


def _apart(request: DoseRequest, setting: DoseSetting) -> bool:
    """Whether it is a bath beside the tank: fish put in for minutes, and nothing put back."""
    timed = request.route != PROLONGED and request.minutes is not None
    return timed and bool(_there(setting)) and request.changed is None


def _there(setting: DoseSetting) -> list[str]:
    """Return who is bathed of those that live in the water meant: fish, else other animals.

    Plants stay, and so do shrimps and snails where fish are bathed beside them.
    """
    facts = load()
    here = [group for group in setting.stock if group.body == setting.system.id]
    fish = [group.id for group in here if living_of(facts, group) is Living.FISH]
    others = [group.id for group in here if living_of(facts, group) is Living.INVERTEBRATE]
    return fish or others


def _box(request: DoseRequest, setting: DoseSetting) -> tuple[System, ...]:
    """Return the water of the bath; the volume and the readings typed are those of the bath."""
    if not _apart(request, setting):
        return ()
    refuse_no_vessel(load(), setting.system, request.route)
    return (replace(setting.system, id=BATH, name="the bath", kind=BodyKind.BATH, inflow=None),)


def _course(request: DoseRequest, agent: Agent, setting: DoseSetting, mg_l: float) -> Course:
    minutes = _minutes(request)
    reason, body = request.reason.strip(), setting.system.id
    if minutes is not None and _apart(request, setting):
        baths = (
            Bath(0, body, group, BATH, agent.id, mg_l, minutes, request.route, reason)
            for group in _there(setting)
        )
        return Course("one amount", 1, tuple(baths))
    if request.changed is not None:
        held = Lived(logged=((0.0, Held(body, agent.id, mg_l, reason)),))
        change = WaterChange(1, body, _changed_l(request.changed, setting.system))
        return Course("one amount", 1, (change,), held)
    dose = Dose(0, body, agent.id, mg_l, True, route=request.route, minutes=minutes, reason=reason)
    return Course("one amount", 1, (dose,))


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


def _answer(
    facts: Knowledge,
    request: DoseRequest,
    agent: Agent,
    run: courses.CourseRun,
    setting: DoseSetting,
    country: str | None,
    wanted: float,
) -> DoseAnswer:
    here = [group for group in setting.stock if group.body == setting.system.id]
    around_it = around(facts, Readings.at_start(setting.system), here)
    hard = hard_limit(facts, agent.id, request.route, around_it)
    low = lowest_useful(facts, agent.id, request.route, setting.system.water)
    high = soft_limit(facts, agent.id, request.route, around_it)
    if hard is None:
        raise BadInput(
            "E-DOSE-10",
            "No limit is known by this route.",
            given=request.route,
            needed="a route with a published limit",
            next_step="Choose another route or another agent.",
        )
    keys = dict.fromkeys(lim.source for lim in (low, high, hard) if lim is not None and lim.source)
    line = next(line for line in run.lines if line.amounts)
    return DoseAnswer(
        agent=agent,
        amount=run.amounts[-1],
        line=line.text + _its_end(facts, agent, request.route),
        usual_low_mg_l=None if low is None else low.mg_l,
        usual_high_mg_l=None if high is None else high.mg_l,
        hard_mg_l=hard.mg_l,
        cautions=tuple(c for c in run.safety if _concerns_an_amount(c)),
        people=dict(run.amounts[-1].handling),
        law=rules_of_law(facts, agent.id, country),
        country=country,
        sources=tuple(facts.source(key) for key in keys),
        names_read=_names_read(facts, request),
        brings=_brings(facts, agent, float(run.amounts[-1].strength_mg_l)),
        reaches_mg_l=wanted if _tops_up(request, agent, setting) else None,
    )


def _its_end(facts: Knowledge, agent: Agent, route: str) -> str:
    """Say when what is left in the water must be out again; "" where print gives no end."""
    end = facts.find(f"agent.{agent.id}.ends.{route}")
    return "" if end is None else f" {end.value}"


def _tops_up(request: DoseRequest, agent: Agent, setting: DoseSetting) -> bool:
    """Whether the amount only makes up what is lacking of the strength asked for."""
    there = any(lot.agent == agent.id for lot in setting.system.residues)
    return there and request.changed is None and request.route == PROLONGED


def _concerns_an_amount(caution: Caution) -> bool:
    """Whether a caution is about one amount: a temperature that nothing changes is not."""
    still_as_warm = caution.code in OF_WARMTH and caution.level is Level.NOTE
    return caution.level is not Level.BLOCKED and not still_as_warm


def _brings(facts: Knowledge, agent: Agent, mg_l: float) -> str:
    """Say what each part of a mixture comes to; "" for a substance by itself."""
    parts = [
        f"{concentration(mg_l * claims[0].number(), '')} {facts.agents[part].name.lower()}"
        for short, claims in agent.claims.items()
        if (part := short.removeprefix("holds.")) != short and claims[0].known
    ]
    return " and ".join(parts)


def _names_read(facts: Knowledge, request: DoseRequest) -> tuple[str, ...]:
    """Return what the names typed with an amount were read as, where that is not plain."""
    typed = (request.agent, *(text.partition("=")[0] for text in request.in_water))
    return tuple(note for name in typed if (note := read_as(facts, name)))
