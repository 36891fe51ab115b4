"""What is done for a cause from the first hour to the time after it, as cited statements.

A protocol is the care of one cause (or of a situation: two causes, nothing wrong). Each of its
statements is a claim keyed ``care.<protocol>.<section>.<name>``: a sentence that can be read
aloud, with its source and how far to trust it. What holds whatever the cause stands in one
general protocol; a statement of a cause replaces the general one of the same name.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType

from tankside.claims.claim import THIS_PRACTICE, Claim, Provenance

GENERAL = "any_cause"


class CareSection(StrEnum):
    """The parts of a protocol, in the order in which they are read."""

    NOW = "now"
    FIRST_HOUR = "first_hour"
    TODAY = "today"
    THIS_WEEK = "this_week"
    MUST_NOT = "must_not"
    ASK = "ask"
    LABORATORY = "laboratory"
    REPORT = "report"
    STOP_RULE = "stop_rule"
    IF_IT_WORKS = "if_it_works"
    IF_NOT = "if_not"
    SECOND_CAUSE = "second_cause"
    SUFFERING = "suffering"
    PREVENTION = "prevention"
    MOVING = "moving"
    DISINFECTION = "disinfection"
    PEOPLE = "people"


NEEDED_SECTIONS = (
    CareSection.NOW,
    CareSection.MUST_NOT,
    CareSection.LABORATORY,
    CareSection.STOP_RULE,
    CareSection.PREVENTION,
)
STEPS = (CareSection.NOW, CareSection.FIRST_HOUR, CareSection.TODAY, CareSection.THIS_WEEK)


class CareAct(StrEnum):
    """What a statement asks for, in order of danger: what kills first is met first.

    ``STOP``: shut off what does the harm (hose, dose, heater). ``MEASURE``: water is measured, or
    kept to be measured. ``WATER``: water is changed or treated. ``SALT``: salt, or salinity, as a
    treatment.
    """

    STOP = "stop"
    AIR = "air"
    MEASURE = "measure"
    WATER = "water"
    FEED = "feed"
    STAND_STILL = "stand_still"
    ISOLATE = "isolate"
    LOOK = "look"
    LABORATORY = "laboratory"
    REPORT = "report"
    KNOW = "know"
    LIGHT = "light"
    HUSBANDRY = "husbandry"
    BY_HAND = "by_hand"
    DISINFECT = "disinfect"
    WARMTH = "warmth"
    SALT = "salt"
    MEDICINE = "medicine"
    END_LIFE = "end_life"


FIRST_ACTS = (CareAct.STOP, CareAct.AIR, CareAct.MEASURE, CareAct.WATER)
DRUG_ACTS = (CareAct.SALT, CareAct.MEDICINE)


class CareDecider(StrEnum):
    """Who decides on what a statement asks for."""

    KEEPER = "keeper"
    ADVISER = "adviser"
    VETERINARIAN = "veterinarian"
    AUTHORITY = "authority"


DECIDED_BY: Mapping[CareDecider, str] = MappingProxyType(
    {
        CareDecider.VETERINARIAN: "a veterinarian decides",
        CareDecider.AUTHORITY: "the authority decides",
    }
)
"""How it is said that somebody else decides than who reads it."""


class CareDepth(StrEnum):
    """How much a protocol holds: a full one, a short one, a situation, or what always holds."""

    FULL = "full"
    SHORT = "short"
    SITUATION = "situation"
    GENERAL = "general"


MARKS: Mapping[Provenance, str] = MappingProxyType(
    {
        Provenance.FOUND: "",
        Provenance.MEMORY: "recalled, no source opened",
        Provenance.COMMON_PRACTICE: "custom, no source",
        Provenance.ESTIMATE: "an estimate, no source prints it",
    }
)


class CareCourse(StrEnum):
    """Kinds of course that stand beside the simulated ones; none of them is simulated."""

    WATER_EMERGENCY = "water_emergency"
    ISOLATE_AND_REPORT = "isolate_and_report"
    SUPPORTIVE = "supportive"
    WATCH = "watch"
    BACTERIAL = "bacterial"
    HUSBANDRY = "husbandry"
    REMOVAL_BY_HAND = "removal_by_hand"
    TANK_TRANSFER = "tank_transfer"
    LOW_SALINITY = "low_salinity"
    FISHLESS_DISPLAY = "fishless_display"
    QUARANTINE = "quarantine"


NO_PARASITE_COURSE = frozenset({CareCourse.ISOLATE_AND_REPORT, CareCourse.WATCH})
"""Kinds beside which no course against a parasite is offered unasked."""


@dataclass(frozen=True, slots=True)
class CareStatement:
    """One statement of a protocol.

    Args:
        section: the part it belongs to.
        name: its name within the section.
        claim: what is said, with source and provenance; unknown when nothing is known.
        act: what it asks for.
        decides: who decides on it.
        country: whom a duty to report binds: two letters of a country, ``international`` or
            ``any``; "" outside that section.
        as_of: the date of the rule as printed, or that none is printed.
        days: days after the last step on which to look (stop rule).
        animals: how many animals to look at, in words or a number (stop rule).
        only: the one cause of the protocol for which it holds, "" for all of them.
    """

    section: CareSection
    name: str
    claim: Claim
    act: CareAct
    decides: CareDecider
    country: str = ""
    as_of: str = ""
    days: tuple[float, ...] = ()
    animals: str = ""
    only: str = ""

    @property
    def words(self) -> str:
        """Return the sentence, or why nothing is known."""
        if isinstance(self.claim.value, str):
            return self.claim.value
        return f"Not known: {self.claim.unknown_because}"

    @property
    def mark(self) -> str:
        """Return the words to show beside it; "" when a source was opened."""
        if self.claim.overlay:
            return THIS_PRACTICE
        return "" if self.sourced else MARKS[self.claim.provenance]

    @property
    def spoken(self) -> str:
        """Return the sentence with who decides and how far to trust it, where that is said."""
        said = "; ".join(filter(None, (DECIDED_BY.get(self.decides, ""), self.mark)))
        return f"{self.words} ({said})" if said else self.words

    @property
    def sourced(self) -> bool:
        """Whether it rests on a source that was opened, not on memory, custom or judgement."""
        return self.claim.provenance is Provenance.FOUND and bool(self.claim.source)


@dataclass(frozen=True, slots=True)
class CareProtocol:
    """The care of one cause or situation.

    Args:
        id: its identifier, the name of its file.
        name: name to show.
        depth: how much it holds.
        causes: the causes it serves, empty for a situation.
        statements: in the order in which they are said.
        without: general statements (``section.name``) that do not hold for it.
        courses: kinds of course offered for it, the usual one first.
    """

    id: str
    name: str
    depth: CareDepth
    causes: tuple[str, ...]
    statements: tuple[CareStatement, ...]
    without: tuple[str, ...] = ()
    courses: tuple[CareCourse, ...] = ()

    def said(self, section: CareSection) -> tuple[CareStatement, ...]:
        """Return the statements of one section, in order."""
        return tuple(s for s in self.statements if s.section is section)


def care_of(protocols: Mapping[str, CareProtocol], wanted: str) -> CareProtocol:
    """Return all that is said of a cause or situation, with what holds whatever the cause.

    Within a step what does harm is stopped first, then come air, measuring and water, then the
    rest, drugs last; a statement of the cause stands before a general one. A general statement is
    left out where the cause has one of the same name in the same section, or in any step, and
    where its protocol says that it does not hold.

    Args:
        protocols: every protocol by id, as ``Knowledge.care`` holds them.
        wanted: id of a cause (``KHV``) or of a situation (``two_causes``), in any case.

    Raises:
        KeyError: there is no protocol for it.
    """
    name = wanted.casefold()
    for protocol in protocols.values():
        if name in {serves.casefold() for serves in (*protocol.causes, protocol.id)}:
            break
    else:
        raise KeyError(wanted)
    of_cause = [s for s in protocol.statements if s.only.casefold() in ("", name)]
    if protocol.depth is CareDepth.GENERAL or GENERAL not in protocols:
        return replace(protocol, statements=_in_order(of_cause))
    names = {_place_of(s) for s in of_cause}
    general = [
        s
        for s in protocols[GENERAL].statements
        if _place_of(s) not in names and f"{s.section}.{s.name}" not in protocol.without
    ]
    return replace(protocol, statements=_in_order([*of_cause, *general]))


def sourced_share(protocols: Iterable[CareProtocol]) -> float:
    """Return the share of their statements that rest on a source that was opened.

    Args:
        protocols: as read, without what holds whatever the cause.
    """
    statements = [s for protocol in protocols for s in protocol.statements]
    return sum(s.sourced for s in statements) / len(statements) if statements else 0.0


def _in_order(statements: list[CareStatement]) -> tuple[CareStatement, ...]:
    """Sort by section and danger, keeping the order of the file among equals."""
    sections = tuple(CareSection)

    def place(statement: CareStatement) -> tuple[int, int]:
        return sections.index(statement.section), _danger(statement)

    return tuple(sorted(statements, key=place))


def _place_of(statement: CareStatement) -> tuple[str, str]:
    """Return what two statements share when one stands for the other; the steps are one place."""
    section = statement.section
    return ("step" if section in STEPS else section.value, statement.name)


def _danger(statement: CareStatement) -> int:
    """Return the place of a step among those of its section; elsewhere the file's order holds."""
    if statement.section not in STEPS:
        return 0
    if statement.act in FIRST_ACTS:
        return FIRST_ACTS.index(statement.act)
    return len(FIRST_ACTS) + (statement.act in DRUG_ACTS)
