"""What is taught beside a case: mistakes that do harm, commonest causes, the care of one cause."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tankside import library
from tankside.claims import Claim, Source
from tankside.claims.care import CareDecider, CareProtocol, CareSection, CareStatement
from tankside.claims.diagnosis import Condition, Standing
from tankside.errors import BadInput
from tankside.services.care import care_for

MISTAKES = "practice.harmful_mistakes"
COMMONEST = 10
FOR_KEEPERS = (
    CareSection.NOW,
    CareSection.FIRST_HOUR,
    CareSection.TODAY,
    CareSection.THIS_WEEK,
    CareSection.MUST_NOT,
    CareSection.IF_IT_WORKS,
    CareSection.IF_NOT,
    CareSection.STOP_RULE,
    CareSection.PREVENTION,
    CareSection.PEOPLE,
    CareSection.REPORT,
)
WHOLE = frozenset({CareSection.STOP_RULE, CareSection.REPORT})
"""Sections of which nothing is left out, whoever decides."""


@dataclass(frozen=True, slots=True)
class HarmfulMistake:
    """A mistake that does harm, with the statements that say why.

    Args:
        claim: what is done.
        because: why it harms, each with its source.
    """

    claim: Claim
    because: tuple[Claim, ...]


@dataclass(frozen=True, slots=True)
class KeepersCare:
    """What a keeper needs to read of one cause.

    Args:
        condition: the cause.
        sections: statements by section, in the order in which they are read.
        decided_by_others: how many steps were left out because somebody else decides on them.
    """

    condition: Condition
    sections: Mapping[CareSection, tuple[CareStatement, ...]]
    decided_by_others: int


def harmful_mistakes() -> tuple[HarmfulMistake, ...]:
    """Return the mistakes with why each one harms."""
    facts = library.load()
    listed = (facts.claim(key) for key in facts.facts if key.startswith(f"{MISTAKES}."))
    return tuple(
        HarmfulMistake(
            claim,
            tuple(facts.claim(key) for key in str(claim.conditions["because"]).split(", ")),
        )
        for claim in listed
    )


def works(keys: tuple[str, ...]) -> tuple[Source, ...]:
    """Return the works behind their keys, each once, in order."""
    sources = library.load().sources
    return tuple(sources[key] for key in dict.fromkeys(keys) if key in sources)


def commonest_causes() -> tuple[Condition, ...]:
    """Return the ten causes of the list that are met most often, by the chance each begins with."""
    causes = [
        cause
        for cause in library.load().conditions.values()
        if cause.standing is Standing.LISTED
    ]  # fmt: skip
    return tuple(sorted(causes, key=lambda cause: -cause.prior.point)[:COMMONEST])


def keepers_care(cause: str) -> KeepersCare:
    """Return what a keeper does and leaves, of one of the commonest causes.

    Args:
        cause: id of the cause, in any case.

    Raises:
        BadInput: E-LEARN-01 there is no page for it.
    """
    named = {condition.id.casefold(): condition for condition in commonest_causes()}
    condition = named.get(cause.casefold())
    if condition is None:
        raise BadInput(
            "E-LEARN-01",
            "There is no page for keepers of that cause.",
            given=cause,
            needed=", ".join(named),
            next_step="Choose one of the list.",
            field="cause",
        )
    protocol = care_for(condition.id)
    sections = {section: _keepers(protocol, section) for section in FOR_KEEPERS}
    others = sum(len(protocol.said(s)) - len(sections[s]) for s in FOR_KEEPERS)
    return KeepersCare(condition, {s: said for s, said in sections.items() if said}, others)


def _keepers(protocol: CareProtocol, section: CareSection) -> tuple[CareStatement, ...]:
    return tuple(
        s
        for s in protocol.said(section)
        if s.claim.known and (section in WHOLE or s.decides is CareDecider.KEEPER)
    )
