"""A course: named, timed actions over a number of days."""

from __future__ import annotations

from dataclasses import dataclass, field

from tankside.course.actions.action import Action
from tankside.course.actions.lived import Lived


@dataclass(frozen=True, slots=True)
class Course:
    """Timed actions over whole days; hour 0 is the first moment of day 0.

    ``lived`` tells what really happened up to now; it is no part of the plan.
    """

    name: str
    days: int
    actions: tuple[Action, ...]
    lived: Lived = field(default_factory=Lived, hash=False)


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
