"""Everything one course does, run: water, amounts, lines, cautions, days that count."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from tankside.course.actions.course import Course, DayLine
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.tank_hours import TankHours
from tankside.course.safety.counted_day import CountedDay
from tankside.course.water.nitrogen import Nitrogen

_NO_NITROGEN: Mapping[str, Nitrogen] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class CourseRun:
    """Everything one course does: water, amounts, lines, cautions, days that count.

    ``balance`` holds the closing error of each account by "<body>/<what>", relative to its
    largest term and the worst over the strata; empty unless asked for. ``nitrogen`` holds, by body,
    what was put in, changed out and made of ammonia and nitrite.
    """

    course: Course
    tank_hours: TankHours
    amounts: tuple[PrintedAmount, ...]
    lines: tuple[DayLine, ...]
    safety: tuple[Caution, ...]
    counted_days: tuple[CountedDay, ...]
    balance: Mapping[str, float]
    nitrogen: Mapping[str, Nitrogen] = field(default_factory=lambda: _NO_NITROGEN)

    @property
    def blocked(self) -> tuple[Caution, ...]:
        """The cautions that forbid the course as it stands."""
        return tuple(c for c in self.safety if c.level is Level.BLOCKED)
