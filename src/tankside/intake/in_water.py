"""What was told to be in the water: how strong, what is there no longer, and lots that add up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from tankside.case import Amount, CaseView
from tankside.case.medicine import AgentInWater
from tankside.claims import Knowledge
from tankside.course import InWater, Volume
from tankside.course.bodies.effects import SALT
from tankside.course.bodies.unnamed import is_unnamed
from tankside.intake.substances import agent_in_water, form_factor
from tankside.quantity import Kind

Order = tuple[datetime, int]
Edges = tuple[float, float]
PLACES = (-1, 0, 1)
"""The smaller, the point and the larger volume (``InWater.edges``)."""


def is_gone(view: CaseView, entry: AgentInWater, largest_l: float) -> bool:
    """Whether something of which nobody knows how much is there is surely there no longer.

    All the water was changed since, or "the keeper does not know" was answered by "none".

    Args:
        view: the case.
        entry: what was told to be in the water.
        largest_l: the most water that fits what is known [L]; a change of so much takes all.
    """
    since = _order(entry.moment.utc, entry.id)
    if any(at > since and litres >= largest_l for at, litres in _changes(view, entry.system)):
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
        by_volume=_plus_by_volume(before, lot),
        put_in_h=max(before.put_in_h, lot.put_in_h),
    )


def _plus(before: float | None, more: float | None) -> float | None:
    return None if before is None or more is None else before + more


def _plus_by_volume(before: InWater, lot: InWater) -> tuple[Edges, ...] | None:
    if before.by_volume is None and lot.by_volume is None:
        return None
    pairs = ((before.edges(place), lot.edges(place)) for place in PLACES)
    return tuple((first[0] + more[0], first[1] + more[1]) for first, more in pairs)


def residue(
    facts: Knowledge,
    name: str,
    amount: Amount | None,
    water: Volume,
    at_h: float,
    mg_in_ml: float | None = None,
) -> InWater:
    """Return one substance that is in the water, as told; the amount None is not known.

    Args:
        facts: agents and their names.
        name: as typed.
        amount: what was told; a volume tells only with ``mg_in_ml``.
        water: how much water it is in.
        at_h: elapsed hour at which it was told.
        mg_in_ml: what one millilitre of its container holds [mg]; None when no label was read.
    """
    agent = agent_in_water(facts, name)
    if is_unnamed(agent) or amount is None:
        return InWater(agent, None, None, at_h)
    factor = form_factor(facts, name, amount)
    smaller, point, larger = (
        _edges(agent, _mg_l(amount, litres, mg_in_ml), factor)
        for litres in (water.smaller_l, water.point_l, water.larger_l)
    )
    if smaller is None or point is None or larger is None:
        return InWater(agent, None, None, at_h)
    return InWater(agent, *point, at_h, (smaller, point, larger))


def _edges(agent: str, mg_l: float | None, factor: float) -> Edges | None:
    """Return the edges of what was told: of anything but salt some may have been lost since."""
    if mg_l is None:
        return None
    return (mg_l * factor if agent == SALT else 0.0), mg_l * factor


def _mg_l(amount: Amount, litres: float, mg_in_ml: float | None) -> float | None:
    """Return the strength [mg/L] in so much water, or None where a volume hides its strength."""
    value = amount.measured(
        Kind.MASS, Kind.VOLUME, Kind.MASS_CONCENTRATION, Kind.VOLUME_CONCENTRATION
    )
    if value.kind is Kind.MASS:
        return value.number("mg") / litres
    if value.kind is Kind.MASS_CONCENTRATION:
        return value.number("mg/L")
    if mg_in_ml is None:
        return None
    if value.kind is Kind.VOLUME:
        return value.number("mL") * mg_in_ml / litres
    return value.number("mL/L") * mg_in_ml
