"""A case narrowed to one body of water: its animals, and what was seen, tested and lost in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tankside.case import CaseView
from tankside.case.view import AnswerView
from tankside.errors import BadInput
from tankside.intake.joined_waters import joined_waters
from tankside.quantity.moment import Moment


@dataclass(frozen=True, slots=True)
class OneWater:
    """One body of water of a case.

    Args:
        view: the case as if nothing else belonged to it.
        systems: its parts, the one asked about first; empty while no water is described.
        chosen: whether somebody named it; else it is the one with the sick fish.
        left_out: looks, counts and deaths that are said to be of another water.
    """

    view: CaseView
    systems: tuple[str, ...]
    chosen: bool
    left_out: int


def in_one_water(view: CaseView, named: str | None = None) -> OneWater:
    """Return the case as far as it speaks of one body of water.

    What is not said to be of any water is of the one with the sick fish.

    Args:
        view: the case.
        named: a system of it, as typed; None for the one with the sick fish.

    Raises:
        BadInput: E-WORD-02 the case has no such system.
    """
    if named is not None and named not in view.systems:
        raise BadInput(
            "E-WORD-02",
            "This water is not described in the case.",
            given=named,
            needed=f"one of: {', '.join(view.systems)}" if view.systems else "a described system",
            next_step="Type one of these, or leave it out for the one with the sick fish.",
            field="system",
        )
    sick = view.main
    if sick is None:
        return OneWater(view, (), chosen=False, left_out=0)
    asked = named or sick.id
    parts = joined_waters(view).now(asked)
    here = _Place(view, frozenset(parts), with_sick=sick.id in parts)
    dead = tuple(x for x in view.deaths_by_group if here.holds(x.group, x.system, x.moment))
    shared = {part.id for part in dead}
    narrowed = replace(
        view,
        systems={name: place for name, place in view.systems.items() if name in parts},
        stock={
            name: group
            for name, group in view.stock.items()
            if group.system in parts or (group.system not in view.systems and here.with_sick)
        },
        evidence=here.evidence(view.evidence),
        findings=tuple(x for x in view.findings if here.holds(x.group, x.system, x.moment)),
        wet_mounts=tuple(x for x in view.wet_mounts if here.holds(x.group, x.system, x.moment)),
        counts=tuple(x for x in view.counts if here.holds(x.group, x.system, x.moment)),
        deaths=tuple(x for x in view.deaths if x.id in shared),
        deaths_by_group=dead,
        events=tuple(x for x in view.events if x.system is None or x.system in parts),
    )
    left_out = sum(
        len(getattr(view, name)) - len(getattr(narrowed, name))
        for name in ("findings", "wet_mounts", "counts", "deaths")
    )
    order = (asked, *(part for part in parts if part != asked))
    return OneWater(narrowed, order, named is not None, left_out)


@dataclass(frozen=True, slots=True)
class _Place:
    """Says of a look whether it was in this body of water."""

    view: CaseView
    parts: frozenset[str]
    with_sick: bool

    def holds(self, group: str | None, system: str | None, at: Moment) -> bool:
        """Whether fish of a group, or fish of a system, were in it."""
        of_group = self.view.stock.get(group or "")
        if of_group is not None:
            homes = {of_group.system, of_group.system_at(at)} & self.view.systems.keys()
            return bool(homes & self.parts) if homes else self.with_sick
        return system in self.parts if system is not None else self.with_sick

    def evidence(
        self, evidence: Mapping[str, tuple[AnswerView, ...]]
    ) -> dict[str, tuple[AnswerView, ...]]:
        """Return the answers that were seen in it."""
        kept = {
            name: tuple(look for look in looks if self.holds(look.group, look.system, look.at))
            for name, looks in evidence.items()
        }
        return {name: looks for name, looks in kept.items() if looks}
