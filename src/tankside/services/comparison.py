"""A comparison under its name: what was offered for which state of a case, and choosing from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tankside.case import encode
from tankside.case.typed_value import slug
from tankside.errors import BadInput, Mistake
from tankside.errors.mistake import refused_as
from tankside.records.case_store import read_case
from tankside.records.comparisons import (
    KeptComparison,
    OfferedCourse,
    comparison_of,
    comparisons_for,
    every_comparison,
)
from tankside.records.stored_case import StoredCase, digest_of
from tankside.services.cases import add_fields
from tankside.services.saving import Added, Sent, moved_on

NO_REASON = "chosen from the comparison"
LONGEST_SHORT = 24
NAMED_COURSES = 6


def short_names(names: Sequence[str]) -> tuple[str, ...]:
    """Return a short name for each course: small letters, digits and hyphens, no two alike."""
    short: list[str] = []
    for name in names:
        stem = _cut(slug(name).replace("_", "-"))
        numbered = (stem if number == 1 else f"{stem}-{number}" for number in range(1, 1000))
        short.append(next(text for text in numbered if text not in short))
    return tuple(short)


def _cut(words: str) -> str:
    """Return as many of the first words as a short name holds."""
    if len(words) <= LONGEST_SHORT:
        return words or "course"
    return words[: LONGEST_SHORT + 1].rpartition("-")[0] or words[:LONGEST_SHORT]


@dataclass(frozen=True, slots=True)
class ChosenEntry:
    """The entry that chooses a course, not saved yet, and the version of the case it rests on."""

    fields: dict[str, object]
    version: int


def choose_course(
    path: str | Path, name: str, *, by: str, reason: str, role: str | None = None
) -> Added:
    """Write a course of a kept comparison into the case, with its whole schedule.

    Nothing is searched: the entry is the one that the comparison was kept with.

    Args:
        path: the case.
        name: ``ID.SHORT-NAME``; the short name alone where one comparison of the case as it
            stands offers it.
        by: who chooses.
        reason: why; "" for none.
        role: as what they choose.

    Raises:
        BadInput: E-PLAN-04 there is no such course, or several are called so.
        NotPossible: E-PLAN-05 the course has steps without an amount (no label was given);
            E-WATER-04 nobody knows what the water it puts in was treated with.
        CouldNotSave: E-WEB-04 the case has moved on since the courses were compared; the disk
            refused. Nothing was chosen.
    """
    return save_chosen(path, compared_entry(path, name, reason), by=by, role=role)


def compared_entry(path: str | Path, name: str, reason: str) -> ChosenEntry:
    """Return the entry that chooses a course of a kept comparison; raises like ``choose_course``.

    Args:
        path: the case.
        name: as for ``choose_course``.
        reason: why; "" for none.
    """
    stored = read_case(path)
    kept, offered = _offered(stored, name)
    _check_state(stored, kept, name)
    if offered.refused:
        raise _refusal(offered.refused)
    shown = {
        "id": kept.id,
        "version": kept.version,
        "short": offered.short,
        "courses": [dict(course.shown) for course in kept.courses],
    }
    fields = {**offered.entry, "compared": shown, "reason": reason or NO_REASON}
    return ChosenEntry(fields, kept.version)


def save_chosen(path: str | Path, entry: ChosenEntry, *, by: str, role: str | None = None) -> Added:
    """Save the entry that chooses a course, on the version of the case that it rests on.

    Raises:
        CouldNotSave: E-WEB-04 the case has moved on; the disk refused. Nothing was chosen.
    """
    return add_fields(path, [entry.fields], by=by, sent=Sent(entry.version, role=role))


def is_compared(path: str | Path, name: str) -> bool:
    """Whether a kept comparison offers a course of this name."""
    return bool(_offers(read_case(path), name))


def offered_name(path: str | Path, name: str) -> str:
    """Return the whole name of a course of a kept comparison of the case as it stands.

    Args:
        path: the case.
        name: as for ``choose_course``.

    Raises:
        BadInput: E-PLAN-04 there is no such course, or several are called so.
        CouldNotSave: E-WEB-04 the case has moved on since the courses were compared.
    """
    stored = read_case(path)
    kept, offered = _offered(stored, name)
    _check_state(stored, kept, name)
    return offered.name


def _offers(stored: StoredCase, name: str) -> list[tuple[KeptComparison, OfferedCourse]]:
    comparison_id, dot, short = name.strip().partition(".")
    if dot:
        kept = comparison_of(comparison_id)
        return [] if kept is None else [(kept, c) for c in kept.courses if c.short == short]
    standing = comparisons_for(stored.digest)
    return [(kept, c) for kept in standing for c in kept.courses if c.short == name.strip()]


def _offered(stored: StoredCase, name: str) -> tuple[KeptComparison, OfferedCourse]:
    offers = _offers(stored, name)
    if not offers and "." not in name:
        _refuse_older(stored, name.strip())
    if len(offers) != 1:
        raise _no_such_course(stored, name, [kept.course_id(c) for kept, c in offers])
    return offers[0]


def _refuse_older(stored: StoredCase, short: str) -> None:
    """Refuse a course that was offered for an older state of this case, with what is new."""
    for kept in every_comparison():
        offered = any(course.short == short for course in kept.courses)
        if offered and kept.version < stored.version and _was(stored, kept):
            raise moved_on(stored, kept.version)


def _was(stored: StoredCase, kept: KeptComparison) -> bool:
    """Whether a comparison was made for an older state of this very case."""
    return digest_of(encode(stored.entries[: kept.version])) == kept.digest


def _no_such_course(stored: StoredCase, name: str, several: Sequence[str]) -> BadInput:
    latest = next(comparisons_for(stored.digest), None)
    there = [latest.course_id(course) for course in latest.courses] if latest else []
    listed = ", ".join((several or there)[:NAMED_COURSES])
    return BadInput(
        "E-PLAN-04",
        "Several comparisons offer a course of this name."
        if several
        else "No kept comparison offers a course of this name.",
        given=name,
        needed=listed or "the name of a course of a comparison of this case",
        next_step="Compare courses with tankside plan CASE and take the name it prints; "
        "nothing was chosen.",
        field="choose",
    )


def _check_state(stored: StoredCase, kept: KeptComparison, name: str) -> None:
    """Refuse a comparison of another case, or of an older state of this one."""
    if stored.digest == kept.digest:
        return
    if _was(stored, kept):
        raise moved_on(stored, kept.version)
    raise BadInput(
        "E-PLAN-04",
        "This course was compared for another case.",
        given=name,
        needed=f"a comparison of {stored.label}",
        next_step="Compare courses for this case; nothing was chosen.",
        field="choose",
    )


def _refusal(told_then: Mapping[str, Any]) -> Mistake:
    """Return the refusal that was kept with a course."""
    kind = refused_as(told_then["code"])
    return kind(
        told_then["code"],
        told_then["message"],
        given=told_then["given"],
        needed=told_then["needed"],
        next_step=told_then["next"],
        field=told_then.get("field", ""),
    )
