"""Named house checks of the care of causes: complete, in order of danger, no dose at the door."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tankside.claims.care import (
    DRUG_ACTS,
    FIRST_ACTS,
    GENERAL,
    NEEDED_SECTIONS,
    STEPS,
    CareAct,
    CareDecider,
    CareDepth,
    CareProtocol,
    CareSection,
    CareStatement,
)
from tankside.library.care_files import care_from
from tankside.library.house import House
from tankside.library.problem import Problem

_COUNTED = r"(?:\d[\d .,]*|one|two|three|four|five|ten|fifty|hundred)"
_AMOUNT = re.compile(
    rf"{_COUNTED}(?:\s*(?:-|to)\s*{_COUNTED})?\s*"
    r"(?:mg|g|kg|ug|mL|ml|L|ppm|%|percent|per cent|grams?|milligrams?|parts per)\b",
    re.IGNORECASE,
)
_OF_A_CAUSE = (CareDepth.FULL, CareDepth.SHORT)
_PERCENT = re.compile(r"\d\s*%")


def _protocols(house: House) -> Iterator[tuple[str, CareProtocol]]:
    for subject in house.of_kind("care"):
        yield subject.file, care_from(subject, [])


def _statements(house: House) -> Iterator[tuple[str, CareProtocol, CareStatement]]:
    for file, protocol in _protocols(house):
        for statement in protocol.statements:
            yield file, protocol, statement


def _at(statement: CareStatement) -> str:
    return f"{statement.section}.{statement.name}"


def care_sections(house: House) -> Iterator[Problem]:
    """A protocol says what to do now and never, what to send, when to stop, what comes after."""
    for file, protocol in _protocols(house):
        for section in NEEDED_SECTIONS:
            if not protocol.said(section):
                yield Problem(
                    "care_sections",
                    file,
                    section,
                    f"the protocol says nothing under {section}.",
                    f'add a claim with key = "{section}.<name>", marked estimate if need be.',
                )


def care_of_every_cause(house: House) -> Iterator[Problem]:
    """Every condition has one protocol, and a protocol serves conditions that there are."""
    causes = {path.stem.upper() for path in (house.root / "conditions").glob("*.toml")}
    served: dict[str, str] = {}
    for file, protocol in _protocols(house):
        if protocol.depth in _OF_A_CAUSE and not protocol.causes:
            yield _cause(file, protocol.id, "it serves no cause", "name its conditions in causes.")
        if protocol.depth is CareDepth.GENERAL and protocol.causes:
            yield _cause(file, protocol.id, "what always holds serves no cause", "empty causes.")
        for cause in protocol.causes:
            if cause not in causes:
                yield _cause(file, cause, "there is no such condition", "correct the id.")
            if cause in served:
                yield _cause(file, cause, f"{served[cause]} serves it too", "keep one of them.")
            served[cause] = file
        for statement in protocol.statements:
            if statement.only and statement.only not in protocol.causes:
                yield _cause(file, _at(statement), "only names a stranger", "name one of causes.")
    for cause in sorted(causes - served.keys()):
        yield _cause(
            f"conditions/{cause.lower()}.toml",
            cause,
            "the cause has no protocol of care",
            f"write care/{cause.lower()}.toml.",
        )


def _cause(file: str, key: str, why: str, repair: str) -> Problem:
    return Problem("care_of_every_cause", file, key, f"{why}.", repair)


def care_order(house: House) -> Iterator[Problem]:
    """Within a step air and water stand before salt and medicine; no drug stands under now."""
    for file, protocol in _protocols(house):
        for section in STEPS:
            drug = ""
            for statement in protocol.said(section):
                if statement.act in DRUG_ACTS:
                    drug = drug or _at(statement)
                late = drug and statement.act in FIRST_ACTS
                if late or (drug and section is CareSection.NOW):
                    yield Problem(
                        "care_order",
                        file,
                        drug,
                        f"a drug stands before {_at(statement)}."
                        if late
                        else "a drug stands among what is done at once.",
                        "air and water come first, a drug after what was looked at.",
                    )
                    break


def care_amounts(house: House) -> Iterator[Problem]:
    """No amount of a drug, and none where a veterinarian decides: amounts have one door."""
    for file, _, statement in _statements(house):
        by_veterinarian = statement.decides is CareDecider.VETERINARIAN
        dosed = statement.act in (*DRUG_ACTS, CareAct.END_LIFE)
        text = f"{statement.words} {statement.claim.note}"
        shown = _AMOUNT.search(text) or _PERCENT.search(text)
        if shown and (dosed or (by_veterinarian and statement.act is not CareAct.LABORATORY)):
            yield Problem(
                "care_amounts",
                file,
                _at(statement),
                f"it shows an amount: {shown.group().strip()!r}.",
                "say what kind of step it is and who decides; amounts come from plan and dose.",
            )


def care_medicines(house: House) -> Iterator[Problem]:
    """A medicine among the steps is left to a veterinarian."""
    for file, _, statement in _statements(house):
        medicine = statement.act is CareAct.MEDICINE and statement.section in STEPS
        if medicine and statement.decides is not CareDecider.VETERINARIAN:
            yield Problem(
                "care_medicines",
                file,
                _at(statement),
                "a medicine is not left to a veterinarian.",
                'write decides = "veterinarian".',
            )


def care_duties(house: House) -> Iterator[Problem]:
    """A duty to report names country and date; a stop rule says on which days, how many."""
    for file, _, statement in _statements(house):
        report = statement.section is CareSection.REPORT
        if report != bool(statement.country and statement.as_of):
            yield Problem(
                "care_duties",
                file,
                _at(statement),
                "country and as_of belong to a duty to report, and both of them.",
                'write country = "GB", as_of = "2023-08", or as_of = "not printed".',
            )
        stop = statement.section is CareSection.STOP_RULE
        if stop != bool(statement.claim.conditions.get("days") and statement.animals):
            yield Problem(
                "care_duties",
                file,
                _at(statement),
                "days and animals belong to a stop rule, and both of them.",
                'write days = "3, 7", animals = "4" or "all", or "not printed".',
            )


def care_end_of_life(house: House) -> Iterator[Problem]:
    """What always holds says when suffering ends, who decides and who does it."""
    for file, protocol in _protocols(house):
        if protocol.id == GENERAL and not protocol.said(CareSection.SUFFERING):
            yield Problem(
                "care_end_of_life",
                file,
                CareSection.SUFFERING,
                "nothing is said of the end of suffering.",
                "say when, who decides and who does it.",
            )


def care_without(house: House) -> Iterator[Problem]:
    """What a protocol leaves out of the general one is there to be left out."""
    protocols = dict(_protocols(house))
    general = {
        _at(statement)
        for protocol in protocols.values()
        if protocol.id == GENERAL
        for statement in protocol.statements
    }
    for file, protocol in protocols.items():
        for key in protocol.without:
            if key not in general:
                yield Problem(
                    "care_without",
                    file,
                    key,
                    "it leaves out a general statement that is not there.",
                    f"write a key of care/{GENERAL}.toml, or remove it from without.",
                )


def care_courses(house: House) -> Iterator[Problem]:
    """Every protocol of a cause or situation names the kinds of course offered for it."""
    for file, protocol in _protocols(house):
        if protocol.depth is not CareDepth.GENERAL and not protocol.courses:
            yield Problem(
                "care_courses",
                file,
                protocol.id,
                "no kind of course is offered.",
                'write courses = ["watch"], or the kind that serves it.',
            )


CHECKS = (
    care_courses,
    care_without,
    care_sections,
    care_of_every_cause,
    care_order,
    care_amounts,
    care_medicines,
    care_duties,
    care_end_of_life,
)
