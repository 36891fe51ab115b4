"""Disinfecting nets, hoses or an empty tank: the amount for a bucket, never for water with life."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from tankside.case import CaseView
from tankside.claims import Agent, Claim, Knowledge, Source
from tankside.course import BodyKind, Caution, Level, PrintedAmount
from tankside.course.amounts.by_hand import not_seen_to
from tankside.course.amounts.choice import handling, label_too_old, missing_fields, unfit_label
from tankside.course.amounts.limits import hard_limit
from tankside.course.amounts.printing import Request, judge, print_amount
from tankside.course.amounts.stock_solution import COARSEST
from tankside.course.bodies.unnamed import is_unnamed, shown
from tankside.course.safety.together import forbidden_pair
from tankside.intake.asked_setting import AskedSetting, asked_setting
from tankside.intake.dose_refused import asked, no_label, refusal_of
from tankside.intake.dose_request import EQUIPMENT, DoseRequest
from tankside.intake.dose_setting import DoseSetting
from tankside.intake.law import rules_of_law
from tankside.intake.strength import read_strength
from tankside.intake.substances import read_as
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
    blocked = [*_against(facts, meant, request, view)]
    blocked += _missing(agent, setting, litres, minutes)
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


def _against(
    facts: Knowledge, meant: AskedSetting, request: DoseRequest, view: CaseView | None
) -> Iterator[Caution]:
    """Yield what no bucket may pass: no printed use, fields empty, life in it, a forbidden pair."""
    agent, setting, label = meant.agent, meant.setting, meant.label
    if agent.find(f"dose.{EQUIPMENT}") is None:
        yield Caution(
            Level.BLOCKED, "E-DOSE-27",
            f"{agent.name}: no strength for equipment is on file.",
            "What nobody has published is not offered.", "",
            "Use what its own label is for, or chlorine bleach (hypochlorite), or dry it for good.",
            agent=agent.id,
        )  # fmt: skip
    empty = missing_fields(facts, agent.id)
    if empty:
        yield Caution(
            Level.BLOCKED, "S-PEOPLE", f"{agent.name}: nobody has filled in {', '.join(empty)}.",
            "Whoever handles it must know them first.", f"agent.{agent.id}.people.{empty[0]}",
            "Choose another way.", agent=agent.id,
        )  # fmt: skip
    if view is None or request.vessel is None:
        yield from _alive(agent, setting, view)
        yield from _meets(facts, agent, setting)
    if label is not None:
        unfit = label_too_old(facts, agent.name, label) or unfit_label(
            facts, agent.id, agent.name, label
        )
        if unfit is not None:
            yield unfit
        yield from not_seen_to(facts, label, agent.name, 0, setting.system.id)


def _alive(agent: Agent, setting: DoseSetting, view: CaseView | None) -> Iterator[Caution]:
    """Yield E-DOSE-26 where anything lives in the water meant, E-DOSE-20 where nobody said."""
    system = setting.system
    names = [group.name for group in setting.stock if group.body == system.id and group.count > 0]
    names += ["invertebrates"] if system.invertebrates else []
    names += ["plants"] if system.plants else []
    if names:
        yield Caution(
            Level.BLOCKED, "E-DOSE-26",
            f"{agent.name} kills all that lives: {', '.join(dict.fromkeys(names))}.",
            "It is for nets, buckets and empty tanks alone.", "",
            "Name the bucket (vessel=10 L), or move all that lives out first and say so.",
            body=system.id, agent=agent.id,
        )  # fmt: skip
    elif view is not None and system.kind is not BodyKind.FISHLESS:
        yield asked("vessel", f"Is {system.name} empty?", "a bucket (vessel=10 L), or use=fishless",
                    "Nobody said that nothing lives in it.", agent.id, system.id)  # fmt: skip


def _meets(facts: Knowledge, agent: Agent, setting: DoseSetting) -> Iterator[Caution]:
    """Yield what is in that water already and must not meet it."""
    for lot in setting.system.residues:
        pair = None if is_unnamed(lot.agent) else forbidden_pair(facts, lot.agent, agent.id)
        if pair is None and not is_unnamed(lot.agent):
            continue
        why = "Nobody knows what it is." if pair is None else pair.conditions.get("why", pair.note)
        yield Caution(
            Level.BLOCKED, "E-DOSE-23",
            f"{shown(lot.agent)} is in that water and must not meet {agent.name}.",
            f"{why[:1].upper()}{why[1:]}", "" if pair is None else pair.key,
            "Empty it and rinse it with clean water first, and say so; or use a clean bucket.",
            hour=0, body=setting.system.id, agent=agent.id,
        )  # fmt: skip


def _missing(
    agent: Agent, setting: DoseSetting, litres: float | None, minutes: float | None
) -> Iterator[Caution]:
    body = setting.system.id
    if litres is None:
        yield asked("vessel", "How much is made up?", "the litres in the bucket or the empty tank",
                    "Measure them: vessel=10 L.", agent.id, body)  # fmt: skip
    if minutes is None:
        yield asked("minutes", "How long does it stay in?", "the minutes",
                    "Say them: minutes=60 min.", agent.id, body)  # fmt: skip


def _answer(
    facts: Knowledge, meant: AskedSetting, amount: PrintedAmount, minutes: float, tank: str
) -> EquipmentAnswer:
    agent, body = meant.agent, meant.setting.system.id
    usual, printed = agent.claim(f"dose.{EQUIPMENT}"), agent.find(f"minutes.{EQUIPMENT}")
    works = (usual.source, "" if printed is None else printed.source)
    practice = (key for key in facts.facts if key.startswith("practice.equipment."))
    return EquipmentAnswer(
        agent=agent,
        amount=amount,
        minutes=minutes,
        system=tank,
        usual=usual,
        printed_minutes=printed,
        neutraliser=agent.find("neutralise.sodium_thiosulphate"),
        cautions=tuple(_weaker(agent, usual, printed, amount, minutes, body)),
        practice={key.rsplit(".", 1)[-1]: str(facts.facts[key][0].value) for key in practice},
        law=rules_of_law(facts, agent.id, meant.country),
        country=meant.country,
        sources=tuple(facts.source(key) for key in dict.fromkeys(works) if key),
        names_read=tuple(note for note in (read_as(facts, meant.substance.typed),) if note),
    )


def _weaker(
    agent: Agent,
    usual: Claim,
    printed: Claim | None,
    amount: PrintedAmount,
    minutes: float,
    body: str,
) -> Iterator[Caution]:
    """Yield E-DOSE-13 for what is weaker or shorter than printed: it disinfects nothing surely."""
    low_mg_l = usual.bounds()[0] * (1 - COARSEST)
    if float(amount.strength_mg_l) < low_mg_l:
        yield _too_little(
            agent, f"weaker than the {usual.number():g} mg/L that are printed.", usual, body
        )
    if printed is not None and minutes < printed.bounds()[0]:
        least = printed.bounds()[0]
        yield _too_little(agent, f"shorter than the {least:g} min that are printed.", printed, body)


def _too_little(agent: Agent, what: str, claim: Claim, body: str) -> Caution:
    stated = claim.source or claim.provenance.value.replace("_", " ")
    return Caution(
        Level.CARE, "E-DOSE-13", f"{agent.short_name}: {what}",
        f"What lives through it is carried on ({stated}).", claim.key,
        "Use the printed strength and time, then dry it.", body=body, agent=agent.id,
    )  # fmt: skip
