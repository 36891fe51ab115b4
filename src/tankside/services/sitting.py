"""What a sitting showed: saved as a whole, or held beside the case to see what it would change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tankside.case import CaseView, fold
from tankside.case.typed_entry import typed_entries
from tankside.case.typed_value import Fields
from tankside.claims.diagnosis import DiagnosisFacts, Role
from tankside.diagnose import MustNotMiss, Ranking, keep_in_mind, must_not_miss, rank
from tankside.errors import BadInput
from tankside.library.diagnosis_files import load_diagnosis
from tankside.records.case_store import read_case
from tankside.records.stored_case import StoredCase
from tankside.services.cases import Writer, add_fields, door_of, number_on
from tankside.services.differential import tables
from tankside.services.differential_case import evidence_of, own_idea
from tankside.services.saving import JUST_SENT, Added, Sent

ON_FISH = ("fish", "group")
ON_SLIDE = ("sample", "alive", "slide_age", "time_dead")
"""What is said once for all that one sitting shows."""


@dataclass(frozen=True, slots=True)
class SittingSeen:
    """What one sitting showed.

    Args:
        answers: answer of each finding that was looked at, by its short name.
        about: which fish and which sample, as typed; what was not said is left out.
    """

    answers: Mapping[str, str]
    about: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class FitsAhead:
    """What fits when a sitting counts that is not saved yet.

    Args:
        facts: what the differential knows.
        ranking: chances of every cause.
        strip: dangerous causes that must not be missed.
        in_mind: what to keep in mind, in no order.
        own_idea: the first idea that was written down, "" when none was.
    """

    facts: DiagnosisFacts
    ranking: Ranking
    strip: tuple[MustNotMiss, ...]
    in_mind: tuple[str, ...]
    own_idea: str


def save_sitting(path: str | Path, seen: SittingSeen, *, by: str, sent: Sent = JUST_SENT) -> Added:
    """Write what a sitting showed into the case, all of it or nothing.

    Raises:
        BadInput: E-WORD-03 nothing was answered, or what an entry is refused for.
        CouldNotSave: the disk refused; nothing was written.
    """
    rows = _rows(read_case(path), seen)
    if not rows:
        raise BadInput(
            "E-WORD-03",
            "Nothing was looked at.",
            needed="an answer to one of the questions at least",
            next_step="Answer what you looked at; what you did not look at stays not looked.",
            field="finding",
        )
    return add_fields(path, rows, by=by, sent=sent)


def fits_ahead(path: str | Path, seen: SittingSeen) -> FitsAhead:
    """Rank what fits as if the sitting were saved; nothing is written.

    Raises:
        BadInput: an answer is refused.
    """
    stored = read_case(path)
    view = _with(stored, seen)
    ranking = rank(tables(), evidence_of(view))
    return FitsAhead(
        load_diagnosis(), ranking, must_not_miss(ranking), keep_in_mind(ranking), own_idea(view)
    )


def _with(stored: StoredCase, seen: SittingSeen) -> CaseView:
    rows = _rows(stored, seen)
    return (
        fold((*stored.entries, *number_on(stored, rows, Writer("sitting"))))
        if rows
        else stored.view()
    )


def _rows(stored: StoredCase, seen: SittingSeen) -> list[Fields]:
    """Return the entries of a sitting: of what was on a slide one, and one for each sign."""
    findings, door = load_diagnosis().findings, door_of(stored)
    unlisted = sorted(set(seen.answers) - findings.keys())
    if unlisted:
        raise BadInput(
            "E-FIND-01",
            "This finding is not in the list.",
            given=unlisted[0],
            needed="a question of the sitting",
            next_step="Load the page again and answer what it asks; nothing was saved.",
            field="finding",
        )
    on_slide = {n: a for n, a in seen.answers.items() if _on_slide(findings[n].role)}
    others = {n: a for n, a in seen.answers.items() if n not in on_slide}
    fish = [(name, seen.about[name]) for name in ON_FISH if seen.about.get(name)]
    slide = [(name, seen.about[name]) for name in ON_SLIDE if seen.about.get(name)]
    rows: list[Fields] = []
    if on_slide:
        rows += typed_entries("wet_mount", [*slide, *fish, *on_slide.items()], door)
    if others:
        rows += typed_entries("finding", [*fish, *others.items()], door)
    return rows


def _on_slide(role: Role) -> bool:
    return role is Role.MICROSCOPY
