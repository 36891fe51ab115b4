"""What stands against disinfecting equipment: life in it, a forbidden pair, what was not told."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.case import CaseView
from tankside.claims import Agent, Claim, Knowledge
from tankside.course import BodyKind, Caution, Level, PrintedAmount
from tankside.course.amounts.by_hand import not_seen_to
from tankside.course.amounts.choice import label_too_old, missing_fields, unfit_label
from tankside.course.amounts.stock_solution import COARSEST
from tankside.course.bodies.unnamed import is_unnamed, shown
from tankside.course.safety.together import forbidden_pair
from tankside.intake.asked_setting import AskedSetting
from tankside.intake.dose_refused import asked
from tankside.intake.dose_request import EQUIPMENT, DoseRequest
from tankside.intake.dose_setting import DoseSetting


def standing_against_it(
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


def missing_of_it(
    agent: Agent, setting: DoseSetting, litres: float | None, minutes: float | None
) -> Iterator[Caution]:
    """Yield E-DOSE-20 for what was not told of the bucket itself."""
    body = setting.system.id
    if litres is None:
        yield asked("vessel", "How much is made up?", "the litres in the bucket or the empty tank",
                    "Measure them: vessel=10 L.", agent.id, body)  # fmt: skip
    if minutes is None:
        yield asked("minutes", "How long does it stay in?", "the minutes",
                    "Say them: minutes=60 min.", agent.id, body)  # fmt: skip


def weaker_than_printed(
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
