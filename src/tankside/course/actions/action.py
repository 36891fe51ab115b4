"""What every action declares: its effects on water, its events for a parasite, its words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar, Protocol

from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.weighed import Weighed
from tankside.course.bodies.caution import Caution
from tankside.course.bodies.effects import Effect
from tankside.course.bodies.system import Inflow, NewWater
from tankside.course.bodies.tank_hours import TimedEvent


@dataclass(frozen=True, slots=True)
class Declared:
    """All that one action does; effects are applied in order at the start of its hour."""

    effects: tuple[Effect, ...]
    text: str
    events: tuple[TimedEvent, ...] = ()
    amounts: tuple[PrintedAmount, ...] = ()
    cautions: tuple[Caution, ...] = ()


class Ledger(Protocol):
    """What an action may ask while it declares itself: the account kept at the point volume."""

    def volume_l(self, body: str) -> float:
        """Return the point volume of a body [L]."""
        ...

    def new_water(self, body: str) -> NewWater:
        """Return the new water this body is filled with."""
        ...

    def inflow(self, body: str) -> Inflow | None:
        """Return what runs through a body; None when nothing does."""
        ...

    def recipe(self, body: str, litres: float, new: NewWater) -> str:
        """Say what ``litres`` of new water must be before they go into a body."""
        ...

    def let_out(self, body: str, *also: str) -> str:
        """Say where water out of a body may go, by what it and ``also`` bring; "" for nothing."""
        ...

    def body_name(self, body: str) -> str:
        """Return the name of a body as the keeper says it."""
        ...

    def where(self, body: str) -> str:
        """Return " in NAME" of a body; "" where the case has only one."""
        ...

    def agent_name(self, agent: str) -> str:
        """Return an agent's plain name."""
        ...

    def group_name(self, group: str) -> str:
        """Return a group's name."""
        ...

    def account_mg_l(self, body: str, agent: str) -> float | None:
        """Return what has been put in and not taken out again [mg/L]; None when not known."""
        ...

    def missing_mg(self, body: str, agent: str, to_mg_l: float, most_mg_l: float) -> float:
        """Return what is missing to a strength, so that another is not passed [mg].

        The first is meant at the point volume, the second holds in the smallest that fits.
        """
        ...

    def against_titration(self, hour: int, body: str, agent: str) -> tuple[Caution, ...]:
        """Return what stands against bringing an agent to a strength by test in this water."""
        ...

    def basis(self, agent: str) -> str:
        """Return what a strength of an agent is told as ("as Cu")."""
        ...

    def as_tested(self, body: str, agent: str, mg_l: float) -> str:
        """Return a strength in the unit that its test reads ("0.12 mg/L as Cu")."""
        ...

    def may_be_mg_l(self, body: str, agent: str) -> float | None:
        """Return the most that may be there [mg/L]; None when nobody knows."""
        ...

    def intended_mg_l(self, body: str) -> Mapping[str, float]:
        """Return the strength that the course is holding of each agent [mg/L]."""
        ...

    def weigh(  # noqa: PLR0913 (one for each thing that an amount depends on)
        self,
        hour: int,
        body: str,
        agent: str,
        mg_l: float,
        for_l: float,
        route: str = "prolonged",
        reason: str = "",
        meant_mg_l: float | None = None,
        who: str = "",
    ) -> Weighed:
        """Work out an amount for ``for_l`` litres at ``mg_l``, or say why there is none.

        ``meant_mg_l`` is the strength that is meant where what is there already was counted.
        ``reason`` is what was typed for passing the soft limit; without one that of the strength
        being held counts. ``who`` is a group that comes into this water only for a while.
        """
        ...

    def number(self, key: str) -> tuple[float, float, float] | None:
        """Return (low, value, high) of a claim, or None when unknown."""
        ...


class Action(Protocol):
    """One timed step of a course."""

    kind: ClassVar[str]

    @property
    def at_h(self) -> int:
        """Elapsed hour at which it is done."""
        ...

    @property
    def body(self) -> str:
        """Body of water it is done at."""
        ...

    def declare(self, ledger: Ledger) -> Declared:
        """Return effects, events, amounts and words, given the account so far."""
        ...


def at_hour(action: Action, at_h: int) -> Action:
    """Return the same action at another elapsed hour."""
    # Every action is a dataclass, which a protocol cannot say.
    return replace(action, at_h=at_h)  # type: ignore[type-var]
