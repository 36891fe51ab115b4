"""Water carried from one tank into another: what is in it leaves one account and enters another."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from tankside.case import CaseView, fold
from tankside.case.water_moved import WaterMoved
from tankside.course import InWater
from tankside.course.amounts.water_account import Edges, WaterAccount
from tankside.intake.account import Movement
from tankside.intake.joined_waters import JoinedWaters
from tankside.quantity import Kind
from tankside.quantity.moment import Moment, hours_between

PLACES = (-1, 0, 1)
"""The smaller, the point and the larger volume."""
LotsOf = Callable[[CaseView, WaterMoved], tuple[InWater, ...]]
"""What the water that was carried held, by a case."""
ANSWERS = {"yes": True, "no": False}


@dataclass(frozen=True, slots=True)
class Carried:
    """What came with some water.

    Args:
        litres: how much water it was [L].
        edges: strength of each agent at both edges, in the smaller, the point and the larger
            volume of where it came from; the outer ones are the widest of all three [mg/L].
        unknown: agents of which nobody knows how much came.
        room_made: whether as much was let out first; None: nobody said.
    """

    litres: float
    edges: Mapping[str, tuple[Edges, Edges, Edges]]
    unknown: frozenset[str]
    room_made: bool | None

    def into(self, account: WaterAccount) -> None:
        """Enter it into the account of the water that it went into."""
        account.receive(self.litres, self.edges, self.unknown, room_made=self.room_made)


def sources_of(view: CaseView, waters: JoinedWaters, system: str) -> tuple[str, ...]:
    """Return every water that bears on one: joined to it ever, or carried into such a one."""
    parts = dict.fromkeys(waters.ever(system))
    while True:
        more = (
            part
            for entry in view.waters_moved
            if entry.system in parts
            for part in waters.ever(entry.source)
        )
        wider = {**parts, **dict.fromkeys(more)}
        if len(wider) == len(parts):
            return tuple(parts)
        parts = wider


def carried_movements(view: CaseView, systems: Collection[str], zero: Moment) -> Iterator[Movement]:
    """Yield what carried water brought and took, from the account of where it came from."""
    for entry in view.waters_moved:
        at_h = hours_between(zero, entry.moment)
        if {entry.source, entry.system} <= set(systems):
            yield Movement(
                at_h, entry.id, entry.system, _nothing, entry.source, partial(_pour, entry)
            )
        elif entry.source in systems:
            yield Movement(at_h, entry.id, entry.source, partial(_let_out, entry))


def carried_beside(
    view: CaseView, waters: JoinedWaters, now: Collection[str], zero: Moment, lots_of: LotsOf
) -> Iterator[Movement]:
    """Yield the same for one body of water alone, whose sources have no account at hand.

    What the water held is counted by what was typed before it was carried.
    """
    for entry in view.waters_moved:
        if entry.source in waters.at(entry.system, entry.moment):
            continue
        at_h = hours_between(zero, entry.moment)
        if entry.source in now:
            yield Movement(at_h, entry.id, entry.source, partial(_let_out, entry))
        if entry.system in now:
            before = fold([line.entry for line in view.history if line.entry.id < entry.id])
            carried = _of_lots(entry, lots_of(before, entry))
            yield Movement(at_h, entry.id, entry.system, carried.into)


def _of_lots(entry: WaterMoved, there: tuple[InWater, ...]) -> Carried:
    sure = [lot for lot in there if lot.high_mg_l is not None]
    edges = {lot.agent: _widest([lot.edges(place) for place in PLACES]) for lot in sure}
    unknown = frozenset(lot.agent for lot in there if lot.high_mg_l is None)
    return Carried(_litres(entry), edges, unknown, _room(entry))


def _pour(entry: WaterMoved, source: WaterAccount, target: WaterAccount) -> None:
    """Carry water over from one account to the other; in joined waters nothing changes."""
    if source is target:
        return
    there = [agent for agent in source.strengths if source.may_hold(agent)]
    lost = there if source.larger_unmeasured else [a for a in there if a in source.unknown]
    edges = {
        agent: _widest(source.strengths[agent])
        for agent in source.strengths
        if not source.larger_unmeasured
    }
    Carried(_litres(entry), edges, frozenset(lost), _room(entry)).into(target)
    _let_out(entry, source)


def _let_out(entry: WaterMoved, account: WaterAccount) -> None:
    """Take it out of the account of where it came from: what fills it up is new water."""
    refilled = ANSWERS.get(entry.refilled or "")
    if refilled is not False:
        account.exchange(_litres(entry), surely=refilled is True)


def _nothing(account: WaterAccount) -> None:
    del account


def _widest(edges: list[Edges]) -> tuple[Edges, Edges, Edges]:
    smaller, point, larger = edges
    all_of = (smaller, point, larger)
    outer = min(low for low, _ in all_of), max(high for _, high in all_of)
    return outer, point, outer


def _litres(entry: WaterMoved) -> float:
    return entry.moved.measured(Kind.VOLUME).number("L")


def _room(entry: WaterMoved) -> bool | None:
    return ANSWERS.get(entry.room_made or "")
