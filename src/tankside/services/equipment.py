"""Disinfecting nets, hoses or an empty tank: the amount for a bucket, never for water with life."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tankside.case import CaseView
from tankside.claims import Agent, Claim, Knowledge, Source
from tankside.course import Caution, PrintedAmount
from tankside.course.amounts.choice import handling
from tankside.course.amounts.limits import hard_limit
from tankside.course.amounts.printing import Request, judge, print_amount
from tankside.intake.asked_setting import AskedSetting, asked_setting
from tankside.intake.dose_refused import no_label, refusal_of
from tankside.intake.dose_request import EQUIPMENT, DoseRequest
from tankside.intake.dose_setting import DoseSetting
from tankside.intake.equipment_stops import (
    missing_of_it,
    standing_against_it,
    weaker_than_printed,
)
from tankside.intake.law import rules_of_law
from tankside.intake.strength import read_strength
from tankside.library import load
from tankside.quantity import Kind, parse_quantity
from tankside.quantity.moment import Moment


@dataclass(frozen=True, slots=True)
class EquipmentAnswer:
    """One amount for equipment with everything that belongs beside it.

    Args:
        agent: what it is of.
        amount: the amount with its sum.
        minutes: how long everything stays in it [min].
        system: the empty tank that is meant; "" for a bucket.
        usual: the claim on the strength that is printed [mg/L].
        printed_minutes: the claim on the time that is printed [min]; None when none is on file.
        neutraliser: mass of thiosulphate for each mass of the active; None if not known.
        cautions: what must be watched.
        practice: how it is done, by subject.
        law: the rules on file for the country.
        country: two letters; None when nobody told it.
        sources: works behind the limits.
        names_read: what names were read as, where that is not plain.
    """

    agent: Agent
    amount: PrintedAmount
    minutes: float
    system: str
    usual: Claim
    printed_minutes: Claim | None
    neutraliser: Claim | None
    cautions: tuple[Caution, ...]
    practice: Mapping[str, str]
    law: tuple[Claim, ...]
    country: str | None
    sources: tuple[Source, ...]
    names_read: tuple[str, ...]


def disinfect(
    request: DoseRequest, view: CaseView | None = None, at: Moment | None = None
) -> EquipmentAnswer:
    """Work out one amount for equipment or an empty tank.

    Args:
        request: what is asked, as typed.
        view: the case that tells the container, and the tank where no bucket is named.
        at: when it is made up; None for now.

    Raises:
        BadInput: E-NUM-.., E-UNIT-.., E-PROD-.., E-DOSE-.. when it may not be shown, above all
            where animals or plants are in it.
        NotPossible: E-DOSE-20 something must be known first; E-DOSE-900 the check failed.
    """
    facts = load()
    meant = asked_setting(facts, request, view, at)
    agent, setting, label = meant.agent, meant.setting, meant.label
    litres, minutes = _litres(request, setting, view), _minutes(request)
    blocked = [*standing_against_it(facts, meant, request, view)]
    blocked += missing_of_it(agent, setting, litres, minutes)
    if blocked:
        raise refusal_of(blocked, request, label=label is not None)
    if label is None:
        raise no_label(agent.name)
    assert litres is not None
    assert minutes is not None  # what is missing was refused
    limit = hard_limit(facts, agent.id, EQUIPMENT)
    mg_l = read_strength(agent, request.strength, meant.substance.form, label)
    asked_for = Request(agent.id, agent.name, agent.basis, mg_l, litres, litres, 0.0, limit)
    judge(asked_for)
    amount = replace(print_amount(asked_for, label), handling=handling(facts, agent.id))
    tank = "" if request.vessel is not None else setting.system.name
    return _answer(facts, meant, amount, minutes, tank)


def _litres(request: DoseRequest, setting: DoseSetting, view: CaseView | None) -> float | None:
    """Return how much is made up [L]: the bucket that was typed, else the tank of the case."""
    if request.vessel is not None:
        return parse_quantity(request.vessel, Kind.VOLUME, field="vessel").number("L")
    if view is None or setting.no_volume is not None:
        return None
    return setting.system.volume.point_l


def _minutes(request: DoseRequest) -> float | None:
    if request.minutes is None:
        return None
    return parse_quantity(request.minutes, Kind.TIME, field="minutes").number("min")


def _answer(
    facts: Knowledge, meant: AskedSetting, amount: PrintedAmount, minutes: float, tank: str
) -> EquipmentAnswer:
    agent, body = meant.agent, meant.setting.system.id
    usual, printed = agent.claim(f"dose.{EQUIPMENT}"), agent.find(f"minutes.{EQUIPMENT}")
    works = (usual.source, "" if printed is None else printed.source)
    return EquipmentAnswer(
        agent=agent,
        amount=amount,
        minutes=minutes,
        system=tank,
        usual=usual,
        printed_minutes=printed,
        neutraliser=agent.find("neutralise.sodium_thiosulphate"),
        cautions=tuple(weaker_than_printed(agent, usual, printed, amount, minutes, body)),
        practice=facts.words_under("practice.equipment"),
        law=rules_of_law(facts, agent.id, meant.country),
        country=meant.country,
        sources=tuple(facts.source(key) for key in dict.fromkeys(works) if key),
        names_read=meant.names_read(facts),
    )
