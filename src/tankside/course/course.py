"""A course: named, timed actions over a number of days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from tankside.course.caution import Caution, Level
from tankside.course.label import LabelEntry
from tankside.course.tank_hours import TankHours
from tankside.course.words import show

if TYPE_CHECKING:
    from tankside.course.action import Action


@dataclass(frozen=True, slots=True)
class Course:
    """Timed actions over whole days; hour 0 is the first moment of day 0."""

    name: str
    days: int
    actions: tuple[Action, ...]


@dataclass(frozen=True, slots=True)
class Amount:
    """One amount to weigh or measure, exactly as printed.

    Args:
        action: index of the action in the course.
        hour: elapsed hour at which it goes in.
        body: body of water it goes into.
        agent: agent id.
        text: the printed amount in the tool's unit, for example "80 g".
        value: the number printed.
        unit: "g", "mg" or "mL".
        active_mg: what that printed amount holds, on the agent's dosing basis [mg].
        for_l: the water it is meant for [L] (the new water only, after a change).
        strength_mg_l: what it adds to that water, after rounding to the tool's step [mg/L].
        strength_smaller_mg_l: the same if the volume is the smallest that fits [mg/L].
        basis: how concentration is told for this agent, for example "as Cu".
        sum_text: the whole sum in one line.
        label: the container it was worked out for.
        stock_solution: words of the two-step route when it is too small to measure, else "".
        reason: what was typed for passing the soft limit, else "".
        read_back: which form the container holds, where another would need another amount, else "".
        handling: what whoever handles it must know, (field, words) each: it goes with every amount
            and is no caution about this one.
    """

    action: int
    hour: int
    body: str
    agent: str
    text: str
    value: Decimal
    unit: str
    active_mg: Decimal
    for_l: Decimal
    strength_mg_l: Decimal
    strength_smaller_mg_l: Decimal
    basis: str
    sum_text: str
    label: LabelEntry
    stock_solution: str = ""
    reason: str = ""
    read_back: str = ""
    handling: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class DayLine:
    """One line of the day card.

    ``amounts`` are indices into ``CourseRun.amounts``; ``minutes`` is the work it takes (None
    when not known); ``kind`` is the action's kind.
    """

    action: int
    hour: int
    body: str
    kind: str
    text: str
    amounts: tuple[int, ...] = ()
    minutes: float | None = None


@dataclass(frozen=True, slots=True)
class CountedDay:
    """Whether the strength stayed in range through one day.

    ``low_mg_l`` is the lowest reading of the day, or the low edge where ``read`` is False;
    ``needed_mg_l`` the lowest useful strength.
    """

    day: int
    body: str
    agent: str
    low_mg_l: float
    needed_mg_l: float
    read: bool

    @property
    def counts(self) -> bool:
        """Whether the day counts."""
        return self.low_mg_l >= self.needed_mg_l

    @property
    def why(self) -> str:
        """Say what the day is judged by."""
        how = "lowest reading" if self.read else "lowest that is sure, no reading"
        return f"{how} {show(self.low_mg_l, 'mg/L')}; needed {show(self.needed_mg_l, 'mg/L')}"


@dataclass(frozen=True, slots=True)
class CourseRun:
    """Everything one course does: water, amounts, lines, cautions, days that count.

    ``balance`` holds the closing error of each account by "<body>/<what>", relative to its
    largest term and the worst over the strata; empty unless asked for.
    """

    course: Course
    tank_hours: TankHours
    amounts: tuple[Amount, ...]
    lines: tuple[DayLine, ...]
    safety: tuple[Caution, ...]
    counted_days: tuple[CountedDay, ...]
    balance: Mapping[str, float]

    @property
    def blocked(self) -> tuple[Caution, ...]:
        """The cautions that forbid the course as it stands."""
        return tuple(c for c in self.safety if c.level is Level.BLOCKED)
