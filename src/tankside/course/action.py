"""What every action declares: its effects on water, its events for a parasite, its words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import ClassVar, Protocol

from tankside.course.caution import Caution
from tankside.course.course import Amount
from tankside.course.system import NewWater
from tankside.course.tank_hours import TimedEvent


class Switch(StrEnum):
    """Things at a body of water that are set to a value and stay so until set again."""

    AIR_STONE = "air_stone"  # 1 on, 0 off
    CARBON = "carbon"  # 1 in the water, 0 out
    UV = "uv"  # turnovers per hour through the working unit
    FINE_FILTER = "fine_filter"  # turnovers per hour through the fine filter
    FEED = "feed"  # 1 the usual ration, 0 none
    LIGHTS = "lights"  # hours of light a day


@dataclass(frozen=True, slots=True)
class Added:
    """A mass of an agent put into a body [mg, on the agent's basis].

    ``whole`` tells a dose of the whole body from the dosing of new water; ``route`` is the one
    under which its limits stand, ``minutes`` the length of a timed bath, ``reason`` what was typed
    for passing the soft limit.
    """

    body: str
    agent: str
    mg: float
    whole: bool = False
    route: str = "prolonged"
    minutes: float | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """The strength of an agent that the course holds from now on [mg/L]; changes put it back.

    ``reason`` is what was typed for passing the soft limit; it holds for what is put back too.
    """

    body: str
    agent: str
    mg_l: float
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Exchanged:
    """Water taken out and the same volume of new water put in, in that order."""

    body: str
    litres: float
    new_water: NewWater


@dataclass(frozen=True, slots=True)
class Switched:
    """A switch set to a value."""

    body: str
    switch: Switch
    value: float


@dataclass(frozen=True, slots=True)
class Warmed:
    """A new target temperature reached at a rate a day."""

    body: str
    to_c: float
    per_day_c: float


@dataclass(frozen=True, slots=True)
class Moved:
    """A group of animals moved to another body ("" = it leaves the case)."""

    group: str
    to_body: str


@dataclass(frozen=True, slots=True)
class Measured:
    """Readings taken: field names of ``System`` or "agent:<id>" [mg/L], with their values."""

    body: str
    values: Mapping[str, float]


Effect = Added | Held | Exchanged | Switched | Warmed | Moved | Measured


@dataclass(frozen=True, slots=True)
class Declared:
    """All that one action does; effects are applied in order at the start of its hour."""

    effects: tuple[Effect, ...]
    text: str
    events: tuple[TimedEvent, ...] = ()
    amounts: tuple[Amount, ...] = ()
    cautions: tuple[Caution, ...] = ()


class Ledger(Protocol):
    """What an action may ask while it declares itself: the account kept at the point volume."""

    def volume_l(self, body: str) -> float:
        """Return the point volume of a body [L]."""
        ...

    def new_water(self, body: str) -> NewWater:
        """Return the new water this body is filled with."""
        ...

    def body_name(self, body: str) -> str:
        """Return the name of a body as the keeper says it."""
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


@dataclass(frozen=True, slots=True)
class Weighed:
    """The outcome of asking for an amount: the amount, or the cautions that stand instead.

    ``active_mg`` is what goes in: the printed amount's content, or the exact target when there
    is no amount (no container named yet, or refused, which blocks the course).
    """

    active_mg: float
    amount: Amount | None
    cautions: tuple[Caution, ...]

    @property
    def amounts(self) -> tuple[Amount, ...]:
        """The amount as a tuple of none or one."""
        return () if self.amount is None else (self.amount,)

    @property
    def text(self) -> str:
        """The printed amount, or words that ask for the label."""
        return self.amount.text if self.amount is not None else "(no amount: read the label first)"

    def of(self, name: str) -> str:
        """The amount with what it is of: the substance, what the container holds, a stock solution.

        The words of the stock solution stand in the same sentence: without them the millilitres
        would be taken from the container.
        """
        if self.amount is None:
            return f"{self.text} of {name}"
        held, stock = self.amount.label.holds, self.amount.stock_solution
        if not stock:
            return f"{self.text} of {name}{held}"
        made = stock[:1].lower() + stock[1:].rstrip(".")
        return f"{self.text} of a stock solution of {name}{held} ({made})"


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
