"""Care files: the head of a protocol and its claims, as statements."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from tankside.claims import Claim
from tankside.claims.care import (
    CareAct,
    CareCourse,
    CareDecider,
    CareDepth,
    CareProtocol,
    CareSection,
    CareStatement,
)
from tankside.library.problem import Problem
from tankside.library.subject_files import SubjectFile

NOT_PRINTED = "not printed"
HEAD = ("id", "name", "depth", "causes")
MAY = frozenset({"without", "courses"})
"""Parts of a head that may be left out; general ones and those without a course lack them."""


def care_from(subject: SubjectFile, problems: list[Problem]) -> CareProtocol:
    """Turn a care file into a protocol.

    Args:
        subject: the file as read.
        problems: faults found are added here.

    Returns:
        The protocol; statements with a fault are left out.
    """
    head: Mapping[str, Any] = subject.head
    missing = sorted({*HEAD} ^ ({*head} - MAY))
    if missing:
        problems.append(
            Problem(
                "head",
                subject.file,
                missing[0],
                f"the head lacks or has too much: {', '.join(missing)}.",
                f"write exactly {', '.join(HEAD)}.",
            )
        )
    depth = str(head.get("depth", ""))
    if depth not in tuple(CareDepth):
        problems.append(
            Problem(
                "head",
                subject.file,
                "depth",
                f"depth is {depth!r}.",
                f"write one of {', '.join(CareDepth)}.",
            )
        )
    read = (_statement(claim, subject, problems) for claim in subject.claims)
    return CareProtocol(
        id=subject.id,
        name=str(head.get("name", "")),
        depth=CareDepth(depth) if depth in tuple(CareDepth) else CareDepth.SHORT,
        causes=tuple(str(cause) for cause in head.get("causes", ())),
        statements=tuple(statement for statement in read if statement is not None),
        without=tuple(str(key) for key in head.get("without", ())),
        courses=tuple(CareCourse(kind) for kind in _kinds(head)),
    )


def _kinds(head: Mapping[str, Any]) -> list[str]:
    """Return the kinds of course that there are; others are named by the schema check."""
    return [kind for kind in head.get("courses", ()) if kind in tuple(CareCourse)]


def protocols_by_id(
    subjects: tuple[SubjectFile, ...], problems: list[Problem]
) -> Mapping[str, CareProtocol]:
    """Return every protocol of the base by its id."""
    return MappingProxyType({s.id: care_from(s, problems) for s in subjects if s.kind == "care"})


def _statement(claim: Claim, subject: SubjectFile, problems: list[Problem]) -> CareStatement | None:
    short = claim.key.removeprefix(f"care.{subject.id}.")
    section, _, name = short.partition(".")
    said = claim.conditions
    try:
        return CareStatement(
            section=CareSection(section),
            name=name,
            claim=claim,
            act=CareAct(said.get("act", "")),
            decides=CareDecider(said.get("decides", "")),
            country=said.get("country", ""),
            as_of=said.get("as_of", ""),
            days=_days(said.get("days", "")),
            animals=said.get("animals", ""),
            only=said.get("only", ""),
        )
    except ValueError as why:
        problems.append(
            Problem(
                "care_words",
                subject.file,
                short,
                f"the statement cannot be read: {why}.",
                "write a section, act and decides of schemas/care.schema.json, days as numbers.",
            )
        )
        return None


def _days(text: str) -> tuple[float, ...]:
    """Read ``3, 7``; empty where the source prints no day."""
    return tuple(float(day) for day in text.split(", ") if day and day != NOT_PRINTED)
