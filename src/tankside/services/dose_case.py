"""Amounts of a case: asked for with its file, or kept in it as an entry once they can be shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path

from tankside.case import Amount, CaseView, Correction, Entry, fold
from tankside.case.medicine import DoseAsked, LabelRead
from tankside.errors import BadInput
from tankside.intake.dose_request import DoseAsk
from tankside.intake.labels import label_of
from tankside.library import load
from tankside.records.case_file import read_case
from tankside.services.dose import DoseAnswer, work_out

WITH_CASE = ("agent", "strength", "changed", "route", "minutes", "reason", "system")


def case_told(path: str | Path, ask: DoseAsk) -> CaseView:
    """Return the case that tells the water, the animals and the container.

    Raises:
        BadInput: E-CLI-04 something that the case tells was typed too; the case cannot be read.
    """
    plain = DoseAsk(ask.agent, ask.strength)
    typed = [
        one.name
        for one in fields(ask)
        if one.name not in WITH_CASE and _told(getattr(ask, one.name)) != _told(
            getattr(plain, one.name)
        )
    ]  # fmt: skip
    if typed:
        raise BadInput(
            "E-CLI-04",
            "With a case, the water, the animals and the container come from the case.",
            given=", ".join(name.replace("_", "-") for name in typed),
            needed="beside --case only: " + ", ".join(WITH_CASE),
            next_step="Add it to the case (tankside case add), or leave --case out.",
            field="case",
        )
    return read_case(path).view()


def _told(value: object) -> object:
    return {k: v for k, v in value.items() if v is not None} if isinstance(value, dict) else value


def refuse_unfit(entries: Sequence[Entry]) -> None:
    """Refuse the last of some entries where it holds a container or an amount that cannot stand.

    Raises:
        BadInput: what the ``dose`` command would answer to the same.
        NotPossible: the same.
    """
    last = entries[-1]
    entry = last.replacement if isinstance(last, Correction) else last
    if isinstance(entry, LabelRead):
        label_of(load(), entry, entry.moment)
    if isinstance(entry, DoseAsked):
        amount_of(entry, fold(entries))


def amount_of(entry: DoseAsked, view: CaseView) -> DoseAnswer:
    """Work out the amount that an entry asks for, in its case; raises like ``work_out``."""
    ask = DoseAsk(
        agent=entry.agent,
        strength=entry.strength,
        route=entry.route,
        minutes=_typed(entry.minutes),
        changed=_typed(entry.water_changed),
        reason=entry.reason or "",
        system=entry.system,
    )
    return work_out(ask, view, entry.moment)


def amounts_told(new: Sequence[Entry], view: CaseView) -> list[str]:
    """Say the amount of each new entry that asks for one."""
    told = []
    for entry in new:
        if isinstance(entry, DoseAsked):
            found = amount_of(entry, view)
            told.append(f"{found.agent.name}: {found.amount.text}. {found.line}")
    return told


def _typed(amount: Amount | None) -> str | None:
    return None if amount is None else f"{amount.value} {amount.unit}"
