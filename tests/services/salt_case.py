"""An invented case in 160 L at 24 C that follows a short salt course, for tests of the follow-up.

Hour 0 is Mon 4 May 2026, 00:00 UTC. Salt goes in at hours 18, 42 and 66 in equal steps to 2 g/L;
bottom siphoned at hours 90 and 138; a count is planned at hour 128 (day 5).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside import library
from tankside.course import Course
from tankside.course.actions import Carbon, Count, Siphon, salt_steps
from tankside.course.actions.action import Action
from tankside.intake.clock import VARIABLE
from tankside.intake.course_codec import encode_course
from tankside.intake.labels import read_labels
from tankside.services import cases

Row = tuple[str, ...]

PRESENT = "2026-05-20T12:00+00:00"
"""Entries are written then, so that the seed of the case is always the same."""

TANK: tuple[Row, ...] = (
    ("system", "inside-length=100 cm", "inside-width=40 cm", "water-height=40 cm", "carbon=yes",
     "uv=no", "filter-ripe=yes"),
    ("stock", "platy", "name=platy", "host=xiphophorus_maculatus", "count=6", "length=5 cm"),
    ("stock", "danio", "name=zebra danio", "host=danio_rerio", "count=8", "length=3.5 cm"),
    ("water", "temperature=24.0 C", "ph=7.6", "oxygen=7.6 mg/L"),
    ("suspected", "condition=ICH", "shown-by=spots"),
)  # fmt: skip
FIRST_COUNTS: tuple[Row, ...] = (
    ("count", "on=2026-05-04T08:00", "fish=worst platy", "group=platy", "spots=14"),
    ("count", "on=2026-05-04T08:00", "group=danio", "spots=mean 1.5"),
)
SALT_HOURS, SIPHON_HOURS, COUNT_HOUR = (18, 42, 66), (90, 138), 128
ACTIONS: tuple[Action, ...] = (
    Carbon(18, "main", False),
    *salt_steps(18, "main", 2.0, 3, 24),
    *(Siphon(hour, "main", 30) for hour in SIPHON_HOURS),
    Count(COUNT_HOUR, "main", "platy"),
)


def salt_case(folder: Path, *rows: Row, course: bool = True, counts: bool = True) -> Path:
    """Write the case, its course chosen at 18:00 of day 0, then further rows.

    Args:
        folder: where it goes.
        rows: entries typed afterwards.
        course: whether the course is chosen.
        counts: whether spots were counted on day 0.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, PRESENT)
        return _written(folder / "weir.jsonl", rows, course=course, counts=counts)


def _written(file: Path, rows: tuple[Row, ...], *, course: bool, counts: bool) -> Path:
    opening = cases.Opening("Weir", "a keeper", "fresh", "Etc/UTC", "2026-05-04T07:00")
    cases.new_case(file, opening, by="t")
    _add(file, *TANK, *(FIRST_COUNTS if counts else ()))
    if course:
        labels = read_labels(library.load(), ["sodium_chloride=pure"], "1 g", None)
        chosen = {
            "kind": "course_chosen",
            "occurred_at": "2026-05-04T18:00+00:00",
            "name": "salt to 2 g/L",
            "starts_at": "2026-05-04T00:00+00:00",
            "course": encode_course(Course("salt", 7, ACTIONS), labels),
        }
        cases.add_fields(file, [chosen], by="t")
    _add(file, *rows)
    return file


def _add(file: Path, *rows: Row) -> None:
    for kind, *words in rows:
        cases.add_words(file, kind, tuple(words), by="t")
