"""What was told to be in the water: what is there no longer, and lots that add up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from tankside.case import Amount, CaseView
from tankside.case.medicine import AgentInWater
from tankside.course import InWater, Volume
from tankside.quantity import Kind

Order = tuple[datetime, int]


def is_gone(view: CaseView, entry: AgentInWater, water: Volume) -> bool:
    """Whether something of which nobody knows how much is there is surely there no longer.

    All the water was changed since, or "the keeper does not know" was answered by "none".

    Args:
        view: the case.
        entry: what was told to be in the water.
        water: how much water there is; a change takes all when it takes the largest that fits.
    """
    since = _order(entry.moment.utc, entry.id)
    if any(at > since and litres >= water.larger_l for at, litres in _changes(view, entry.system)):
        return True
    return entry.state == "keeper_does_not_know" and any(
        answer.state == "none" and _order(answer.moment.utc, answer.id) > since
        for answer in view.agents_in_water
        if answer.system == entry.system
    )


def _order(at: datetime, number: int) -> Order:
    return at, number


def _changes(view: CaseView, system: str) -> Iterable[tuple[Order, float]]:
    """Yield when and how much water was changed in one water [L]."""
    for done in view.actions_done:
        if done.system == system and done.state in ("done", "other_amount"):
            yield _order(done.moment.utc, done.id), _litres(done.water_changed)
    for event in view.events:
        if view.system_meant(event.system) == system and event.state == "answered":
            yield _order(event.moment.utc, event.id), _litres(event.water_changed)


def _litres(amount: Amount | None) -> float:
    return 0.0 if amount is None else amount.measured(Kind.VOLUME).number("L")


def added_up(lots: Iterable[InWater]) -> tuple[InWater, ...]:
    """Return one entry for each substance: lots of it add up, by whatever name they were told.

    One lot that nobody knows leaves the whole unknown; the latest hour counts.
    """
    sums: dict[str, InWater] = {}
    for lot in lots:
        before = sums.get(lot.agent)
        sums[lot.agent] = lot if before is None else _sum(before, lot)
    return tuple(sums.values())


def _sum(before: InWater, lot: InWater) -> InWater:
    return replace(
        before,
        low_mg_l=_plus(before.low_mg_l, lot.low_mg_l),
        high_mg_l=_plus(before.high_mg_l, lot.high_mg_l),
        put_in_h=max(before.put_in_h, lot.put_in_h),
    )


def _plus(before: float | None, more: float | None) -> float | None:
    return None if before is None or more is None else before + more
