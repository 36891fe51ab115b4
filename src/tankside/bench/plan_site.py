"""An invented site for ``tankside bench plan``: many tanks, each a water of its own, and a history.

A salt course was followed for some days, salt went into other tanks beside it, fish died.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tankside.case.typed_entry import split_words, typed_entries
from tankside.intake.bodies_of_water import courses_of
from tankside.intake.finding_words import completed
from tankside.intake.plan_setup import PlanRequest
from tankside.intake.unanswered import open_steps
from tankside.library import load
from tankside.records.case_file import read_case
from tankside.services.cases import Opening, add_fields, door_of, new_case
from tankside.services.comparison import choose_course
from tankside.services.plan import plan

BY = "bench"
KINDS = ("common goldfish", "black molly", "zebra danio", "guppy", "tiger barb", "neon tetra")
TOLD = "carbon=no uv=no plants=no filter-ripe=yes food-fish=no tap=chlorine air-stone=yes"
MONTH = "2025-09"
DAYS = range(2, 7)
EVERY_GROUP, EVERY_TANK = 3, 9
"""Of every third group fish died, into every ninth tank salt went beside the course."""
Row = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Site:
    """How large the site is.

    Args:
        tanks: tanks of 100 L.
        groups: groups of fish, spread over the tanks; the first is ill.
    """

    tanks: int = 60
    groups: int = 21

    def home(self, group: int) -> int:
        """Return the number of the tank in which a group lives."""
        return group * self.tanks // self.groups


def make_site(folder: Path, site: Site) -> Path:
    """Write the case file of a site with its history.

    Args:
        folder: where it is written.
        site: how large it is.

    Returns:
        The case file, ready to be planned for.
    """
    path = folder / f"site-{site.tanks}-{site.groups}.jsonl"
    opening = Opening("EXAMPLE: a site", "bench", "fresh", "Europe/London", f"{MONTH}-01")
    new_case(path, opening, by=BY)
    for rows in (_tanks(site), _fish(site), _read(site)):
        _add(path, rows)
    asked = PlanRequest(
        only=("salt",), strengths=("salt=1 g/L",), change="20 L", warm=False, on=f"{MONTH}-01"
    )
    offered = plan(path, asked)
    salted = next(
        name
        for name, course in zip(offered.course_ids, offered.courses, strict=True)
        if course.candidate.kind == "sodium_chloride"
    )
    choose_course(path, salted, by=BY, reason="the site follows a course")
    _add(path, _history(site))
    _add(path, _steps_done(path))
    return path


def _add(path: Path, rows: Iterator[Row]) -> None:
    door = door_of(read_case(path))
    typed = (
        completed(typed_entries(kind, split_words(shlex.split(words)), door))
        for kind, words in rows
    )
    add_fields(path, [fields for entry in typed for fields in entry], by=BY)


def _tanks(site: Site) -> Iterator[Row]:
    for tank in range(site.tanks):
        yield "system", f"t{tank} meter=100L invertebrates=no overflow=no {TOLD} {_at(1, 9)}"


def _fish(site: Site) -> Iterator[Row]:
    for group in range(site.groups):
        name = KINDS[group % len(KINDS)]
        lives = f"system=t{site.home(group)} life-stage=adult gill-damage=no"
        yield "stock", f"g{group} name='{name}' count=8 length=4cm {lives} {_at(1, 9)}"


def _read(site: Site) -> Iterator[Row]:
    for tank in range(site.tanks):
        yield "water", f"system=t{tank} temperature=24C ph=7.6 oxygen=7.6mg/L {_at(1, 10)}"
    yield "label", f"agent=salt strength=pure scale=1g {_at(1, 10)}"
    yield "count", f"group=g0 fish=worst spots=12 {_at(1, 11)}"
    yield "confirmed", f"condition=ich shown-by='skin scrape' {_at(1, 11)}"


def _history(site: Site) -> Iterator[Row]:
    for day in DAYS:
        for tank in range(1, site.tanks, EVERY_TANK):
            yield "in-water", f"agent=salt amount=10g system=t{tank} {_at(day, 12)}"
        for group in range(0, site.groups, EVERY_GROUP):
            yield "death", f"1 group=g{group} {_at(day, 13)}"


def _steps_done(path: Path) -> Iterator[Row]:
    view = read_case(path).view()
    for due in open_steps(courses_of(view, load()), view.last_moment()):
        when = due.step.at.isoformat(timespec="minutes")
        yield "done", f"step={due.step.name} system={due.step.action.body} on={when}"


def _at(day: int, hour: int) -> str:
    return f"on={MONTH}-{day:02d}T{hour:02d}:00"
