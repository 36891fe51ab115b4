"""What the register says of one code: what it is about, how it is raised, what it must carry."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class RefusalKind(StrEnum):
    """How a request is refused."""

    BAD_INPUT = "bad input"
    NOT_POSSIBLE = "not possible"
    COULD_NOT_SAVE = "could not save"


class Level(StrEnum):
    """How much a caution weighs."""

    BLOCKED = "blocked"
    CARE = "care"
    NOTE = "note"


class CautionTarget(StrEnum):
    """What a caution may point to."""

    BODY = "body"
    GROUP = "group"
    AGENT = "agent"
    HOUR = "hour"
    CLAIM = "claim"


class Area(StrEnum):
    """What a code is about."""

    TYPED = "numbers, units, dates and words"
    FILES = "files and the entries of a case"
    PROGRAM = "command line, pages and print"
    FINDINGS = "findings and what is known"
    AMOUNTS = "amounts, containers and agents"
    WATER = "water, animals and people during a course"
    COURSES = "courses, forecasts and follow-up"


@dataclass(frozen=True, slots=True)
class Refusal:
    """How a request is refused with a code; need and next step always stand in it.

    Args:
        kind: bad input, not possible, or could not save.
        field: whether the box or option is always named.
        nothing_given: why a refusal may say nothing of what was given; "" when it always does.
    """

    kind: RefusalKind
    field: bool = False
    nothing_given: str = ""


@dataclass(frozen=True, slots=True)
class Warned:
    """How a caution stands against a step with a code.

    Args:
        levels: the levels it may have.
        points_to: what it always points to.
    """

    levels: tuple[Level, ...]
    points_to: tuple[CautionTarget, ...]


@dataclass(frozen=True, slots=True)
class Code:
    """One code of the register.

    Args:
        name: stable identifier, ``E-...`` or ``S-...``.
        area: what it is about.
        meaning: what it says, in one line.
        refusal: how a request is refused with it; None when it only warns.
        caution: how it stands against a step; None when it only refuses.
    """

    name: str
    area: Area
    meaning: str
    refusal: Refusal | None = None
    caution: Warned | None = None


class UnregisteredCode(RuntimeError):
    """A fault of the program: a code is raised otherwise than the register says.

    It is no ``ValueError`` and no ``AssertionError``, which the checks of an entry would take for
    a fault of what was typed.
    """
