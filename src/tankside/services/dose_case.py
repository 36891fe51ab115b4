"""Amounts of a case: asked for with its file, or kept in it as an entry once they can be shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path

from tankside.case import Amount, CaseView, Entry, fold
from tankside.case.medicine import DoseAsked
from tankside.errors import BadInput
from tankside.intake.dose_request import DoseRequest
from tankside.records.case_store import read_case
from tankside.services.amounts import AmountAnswer, amount_asked

WITH_CASE = (
    "agent",
    "strength",
    "changed",
    "route",
    "minutes",
    "ration",
    "days",
    "fish_weight",
    "vessel",
    "reason",
    "system",
)


def case_beside(path: str | Path, request: DoseRequest) -> CaseView:
    """Return the case that holds the water, the animals and the container of an amount.

    Raises:
        BadInput: E-CLI-04 something that the case tells was typed too; the case cannot be read.
    """
    plain = DoseRequest(request.agent, request.strength)
    typed = [
        field.name
        for field in fields(request)
        if field.name not in WITH_CASE
        and _answered(getattr(request, field.name)) != _answered(getattr(plain, field.name))
    ]
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


def _answered(value: object) -> object:
    """Return what was typed, without what was left out."""
    return {k: v for k, v in value.items() if v is not None} if isinstance(value, dict) else value


def amount_of(entry: DoseAsked, view: CaseView) -> AmountAnswer:
    """Work out the amount that an entry asks for, in its case; raises like ``amount_asked``."""
    request = DoseRequest(
        agent=entry.agent,
        strength=entry.strength,
        route=entry.route,
        minutes=_typed(entry.minutes),
        changed=_typed(entry.water_changed),
        ration=entry.ration,
        days=_typed(entry.days),
        fish_weight=_typed(entry.fish_weight),
        vessel=_typed(entry.vessel),
        reason=entry.reason or "",
        system=entry.system,
    )
    return amount_asked(request, _case_before(view, entry), entry.moment)


def _case_before(view: CaseView, entry: DoseAsked) -> CaseView:
    """Return the case as it stood when an amount was asked: the asking is not yet in its water."""
    return fold([line.entry for line in view.history if line.entry.id < entry.id])


def amounts_asked(new: Sequence[Entry], view: CaseView) -> tuple[AmountAnswer, ...]:
    """Return the amount of each new entry that asks for one; raises like ``amount_asked``."""
    return tuple(amount_of(entry, view) for entry in new if isinstance(entry, DoseAsked))


def _typed(amount: Amount | None) -> str | None:
    return None if amount is None else f"{amount.value} {amount.unit}"
