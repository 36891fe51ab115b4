"""A candidate course as the levers it pulls, so that each can be left out and named."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from tankside.course import Course
from tankside.course.actions.action import Action

NO_TREATMENT = "no treatment"
WATER_ONLY = "water only"


class Lever(StrEnum):
    """Kinds of action a plan may use."""

    AIR = "air"
    CARBON_OUT = "carbon out"
    UV_OFF = "UV off"
    UV_ON = "UV on"
    FINE_FILTER = "fine filter"
    CHANGE = "part changes"
    SIPHON = "siphoning"
    SALT = "salt"
    DOSE = "dose"
    WARM = "warming"
    TRANSFER = "transfer"
    REMOVAL = "removal at the end"
    CHECK = "checks"


CARRIED = frozenset({Lever.CHECK, Lever.REMOVAL})
"""Levers that follow from others and are not left out alone."""


@dataclass(frozen=True, slots=True)
class CandidatePart:
    """One lever pulled in a course.

    Args:
        lever: its kind.
        words: what it is, short ("salt to 2 g/L in 2 steps").
        actions: what is done.
        instead: what is done when this lever alone is left out (a plain part change where the
            bottom is not siphoned).
    """

    lever: Lever
    words: str
    actions: tuple[Action, ...]
    instead: tuple[Action, ...] = ()


@dataclass(frozen=True, slots=True)
class Candidate:
    """A course made of levers.

    Args:
        name: short name, unique in a plan.
        kind: what the course rests on, for comparing unlike things ("salt", "copper_sulphate",
            "warming", "transfer", "water only", "no treatment").
        days: length of the course itself.
        parts: levers pulled.
    """

    name: str
    kind: str
    days: int
    parts: tuple[CandidatePart, ...]

    def course(self, days: int = 0) -> Course:
        """Return the course, over at least ``days`` days (nothing is done in the added ones)."""
        return course_of(self.name, self.parts, max(self.days, days))

    def without(self, left_out: CandidatePart, days: int = 0) -> Course:
        """Return the course with one lever left out."""
        parts = (
            CandidatePart(part.lever, part.words, part.instead) if part is left_out else part
            for part in self.parts
        )
        return course_of(f"{self.name}, leaving out {left_out.words}", parts, max(self.days, days))

    @property
    def removable(self) -> tuple[CandidatePart, ...]:
        """Levers that can be left out one by one."""
        return tuple(part for part in self.parts if part.lever not in CARRIED)

    @property
    def moves_fish_out(self) -> bool:
        """Whether all fish are moved out, so that the tank stands without any."""
        return any(part.lever is Lever.TRANSFER for part in self.parts)


def course_of(name: str, parts: Iterable[CandidatePart], days: int) -> Course:
    """Put the actions of all parts in order of time; parts named first go first in an hour."""
    actions = [action for part in parts for action in part.actions]
    return Course(name, days, tuple(sorted(actions, key=lambda action: action.at_h)))
