"""Organism files: the stages of a life cycle and the claims that put figures on them."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Any, TypeVar

from tankside.claims import Claim
from tankside.claims.organism import (
    DurationLaw,
    JointRows,
    LifeStage,
    Organism,
    Place,
    Spread,
    StageKind,
)
from tankside.library.problem import Problem
from tankside.library.subject_files import SubjectFile

HEAD = ("id", "latin", "name", "water", "seen_by", "note", "rests_on")
STAGE = ("key", "place", "kind", "becomes", "lays", "law", "spread", "in_cycle", "words")
Word = TypeVar("Word", bound=StrEnum)


def organism_from(
    subject: SubjectFile, problems: list[Problem], together: JointRows | None = None
) -> Organism:
    """Turn an organism file into an organism.

    Args:
        subject: the file as read; ``[[missing]]`` tables (key, why) name figures that are
            needed for a forecast and not known.
        problems: faults found are added here.
        together: the rows of claims that are drawn together, where there are any.

    Returns:
        The organism; stages with a fault are left out.
    """
    _check_names(subject, subject.head, HEAD, problems)
    claims: dict[str, list[Claim]] = {}
    for claim in subject.claims:
        if not claim.rejected_because:
            short = claim.key.removeprefix(f"organism.{subject.id}.")
            claims.setdefault(short, []).append(claim)
    ordered = {k: sorted(rivals, key=lambda c: not c.default) for k, rivals in claims.items()}
    stages = [_stage(subject, record, problems) for record in subject.rest.get("stage", ())]
    return Organism(
        id=subject.id,
        latin=str(subject.head.get("latin", "")),
        name=str(subject.head.get("name", "")),
        water=str(subject.head.get("water", "")),
        stages=tuple(stage for stage in stages if stage is not None),
        claims=MappingProxyType({k: rivals[0] for k, rivals in ordered.items()}),
        rivals=MappingProxyType({k: tuple(v[1:]) for k, v in ordered.items() if len(v) > 1}),
        missing=MappingProxyType(
            {str(m["key"]): str(m["why"]) for m in subject.rest.get("missing", ())}
        ),
        seen_by=str(subject.head.get("seen_by", "")),
        note=str(subject.head.get("note", "")),
        rests_on=str(subject.head.get("rests_on", "")),
        together=together,
    )


def _stage(
    subject: SubjectFile, record: Mapping[str, Any], problems: list[Problem]
) -> LifeStage | None:
    before = len(problems)
    _check_names(subject, record, STAGE, problems)
    key = str(record.get("key", ""))
    stated = {"law": "degrees", "spread": "gamma"} | dict(record)
    place = _word(subject, stated, "place", Place, problems)
    kind = _word(subject, stated, "kind", StageKind, problems)
    law = _word(subject, stated, "law", DurationLaw, problems)
    spread = _word(subject, stated, "spread", Spread, problems)
    if len(problems) > before or not (place and kind and law and spread):
        return None
    return LifeStage(
        key=key,
        place=place,
        kind=kind,
        becomes=str(record.get("becomes", "")),
        lays=str(record.get("lays", "")),
        law=law,
        spread=spread,
        in_cycle=bool(record.get("in_cycle", True)),
        words=str(record.get("words", "")),
    )


def _word(
    subject: SubjectFile,
    stated: Mapping[str, Any],
    field: str,
    words: type[Word],
    problems: list[Problem],
) -> Word | None:
    for word in words:
        if str(word) == stated.get(field):
            return word
    allowed = ", ".join(str(word) for word in words)
    why = f"{stated.get(field)!r} is not a {field}."
    problems.append(Problem("stage", subject.file, "", why, f"use {allowed}."))
    return None


def _check_names(
    subject: SubjectFile,
    table: Mapping[str, Any],
    allowed: tuple[str, ...],
    problems: list[Problem],
) -> None:
    repair = f"use one of {', '.join(allowed)}."
    problems.extend(
        Problem("field", subject.file, str(name), f"the field {name!r} is not known.", repair)
        for name in table
        if name not in allowed
    )
