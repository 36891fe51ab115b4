"""Random cases typed into a file, and the pages a person reads of each, for the pairs.

White spot in 160 L of fresh water with a salt course, velvet in 300 L of sea water with a course
of looks and siphoning; counts by eye and by scrape, deaths with and without a group, stops.
"""

from __future__ import annotations

import random
import shutil
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

import pytest
from tests.services.salt_case import ACTIONS, TANK, Row
from tests.services.statement_pairs import Pages

from tankside import library
from tankside.course import Course
from tankside.course.actions import Count, Siphon
from tankside.course.actions.action import Action
from tankside.errors import BadInput, NotPossible
from tankside.intake import clock
from tankside.intake.clock import VARIABLE
from tankside.intake.course_codec import encode_course
from tankside.intake.follow_setup import FollowRequest
from tankside.intake.labels import read_labels
from tankside.present.block_text import document_text
from tankside.quantity.moment import Moment
from tankside.records.case_file import read_case
from tankside.report.case_show import case_document
from tankside.report.day_card import text_of_day
from tankside.report.follow_document import earliest_date, follow_document, wait_block
from tankside.report.page import OpenCase
from tankside.services import cases
from tankside.services.differential_case import write_own_idea
from tankside.services.earliest_stop import earliest_stop
from tankside.services.follow import follow
from tankside.services.today import today

OPENED = date(2026, 5, 4)
PRESENT_AFTER = "2026-07-20T12:00+00:00"
LAST_DAY = 45
FISH = {"ICH": {"platy": 6, "danio": 8}, "MVELVET": {"clown": 4, "tang": 2}}
NAMES = {"platy": "platy", "danio": "zebra danio", "clown": "ocellaris clownfish",
         "tang": "yellow tang"}  # fmt: skip
SEA_TANK: tuple[Row, ...] = (
    ("system", "inside-length=120 cm", "inside-width=50 cm", "water-height=50 cm", "carbon=no",
     "uv=no", "filter-ripe=yes"),
    ("stock", "clown", "name=ocellaris clownfish", "count=4", "length=6 cm"),
    ("stock", "tang", "name=yellow tang", "count=2", "length=12 cm"),
    ("water", "temperature=26 C", "ph=8.1", "oxygen=6.5 mg/L", "salinity=35 g/L"),
    ("suspected", "condition=MVELVET", "shown-by=torch"),
)  # fmt: skip


@dataclass
class Typed:
    """One random case and what is true of it."""

    condition: str
    rows: list[Row] = field(default_factory=list)
    looks: list[tuple[date, bool]] = field(default_factory=list)
    numbers: dict[str, tuple[date, float]] = field(default_factory=dict)
    deaths: list[tuple[date, int]] = field(default_factory=list)
    stopped: bool = False
    confirmed: bool = False
    last: date = OPENED


def random_case(seed: int) -> Typed:
    """Draw one case: looks that mostly fall to nothing, some deaths, sometimes a stop."""
    luck = random.Random(seed)
    typed = Typed(luck.choice(("ICH", "MVELVET")))
    heavy = luck.choice((0, 3, 20, 80))
    gone_by = luck.choice((1, 4, 9, 20))
    for number in sorted(luck.sample(range(LAST_DAY), luck.randint(1, 7))):
        _day(typed, luck, OPENED + timedelta(days=number), heavy if number < gone_by else 0)
    if luck.random() < 0.15:
        typed.stopped = True
        typed.rows.append(("decision", "stop", f"on={typed.last}T21:00", "reason=calm"))
    if luck.random() < 0.3:
        typed.confirmed = True
        typed.rows.append(("confirmed", f"condition={typed.condition}", "shown-by=scrape",
                           f"on={typed.last}T21:30"))  # fmt: skip
    if luck.random() < 0.4:
        typed.last += timedelta(days=luck.randint(1, 4))
        typed.rows.append(("note", f"on={typed.last}T20:00", "looked in"))
    return typed


def _day(typed: Typed, luck: random.Random, day: date, heavy: int) -> None:
    fish, before = FISH[typed.condition], len(typed.rows)
    for group in luck.sample(sorted(fish), luck.randint(1, 2)):
        number = luck.randint(0, heavy)
        if luck.random() < 0.8:
            words = _look(typed, luck, day, group, number)
            typed.rows.append(("count", f"on={day}T09:00", f"group={group}", *words))
            typed.looks.append((day, number > 0))
    if luck.random() < 0.3 and sum(n for _, n in typed.deaths) < 2:
        named = luck.random() < 0.5
        where = (f"group={luck.choice(sorted(fish))}",) if named else ()
        typed.rows.append(("death", "1", f"on={day}T10:00", *where))
        typed.deaths.append((day, 1))
    if len(typed.rows) > before:
        typed.last = day


def _look(typed: Typed, luck: random.Random, day: date, group: str, number: int) -> tuple[str, ...]:
    there = FISH[typed.condition][group] - 1
    how = luck.choice(("number", "share", "scrape"))
    if typed.condition == "MVELVET" and how == "number":
        how = "share"
    if how == "share":
        what = "spots" if typed.condition == "ICH" else "dust"
        return (f"{what}={min(number, there)} of {there}",)
    if how == "scrape":
        return (f"trophonts={number}", "method=skin-scrape", f"fish=one {group}")
    typed.numbers[group] = (day, number)
    return (f"spots={number}", f"fish=worst {group}")


def written(typed: Typed, folder: Path) -> Path:
    """Write the case."""
    fresh = typed.condition == "ICH"
    file = folder / "case.jsonl"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, PRESENT_AFTER)
        water = "fresh" if fresh else "marine"
        opening = cases.Opening("Weir", "a keeper", water, "Etc/UTC", "2026-05-04T07:00")
        cases.new_case(file, opening, by="t")
        for kind, *words in TANK if fresh else SEA_TANK:
            cases.add_words(file, kind, tuple(words), by="t")
        cases.add_fields(file, [_course("salt", 7, ACTIONS) if fresh else _looks()], by="t")
        for kind, *words in typed.rows:
            cases.add_words(file, kind, tuple(words), by="t")
    return file


def _looks() -> dict[str, object]:
    steps = tuple(
        step
        for day in range(2, 26, 2)
        for step in (Count(24 * day + 9, "main", "clown"), Siphon(24 * day + 18, "main", 70))
    )
    return _course("looks", 26, steps)


def _course(name: str, days: int, actions: tuple[Action, ...]) -> dict[str, object]:
    labels = read_labels(library.load(), ["sodium_chloride=pure"], "1 g", None)
    return {
        "kind": "course_chosen",
        "occurred_at": "2026-05-04T18:00+00:00",
        "name": name,
        "starts_at": "2026-05-04T00:00+00:00",
        "course": encode_course(Course(name, days, actions), labels),
    }


def pages(typed: Typed, file: Path, seed: int) -> Pages:
    """Ask for every page of a case as it stands."""
    answer = follow(file, FollowRequest(seed=seed))
    stored = read_case(file)
    view = stored.view()
    text = document_text(follow_document(answer))
    earliest = earliest_stop(view)
    looks = [(day, seen) for day, seen in typed.looks if day <= typed.last]
    last = max((day for day, _ in looks), default=None)
    died = sum(n for day, n in typed.deaths if 0 <= (typed.last - day).days < 3)
    named = [OPENED + timedelta(days=d) for d in _named_days(answer.not_before)]
    return Pages(
        follow=text,
        advice=text.split("ADVICE:")[1].split("The date to wait for")[0].lower(),
        card=_card(file, typed.last),
        wait="\n".join(wait_block(earliest, OPENED).lines),
        plan_date=earliest_date(earliest, OPENED),
        show=document_text(
            case_document(OpenCase(stored, view, Moment(clock.now().isoformat())), history=True)
        ),
        idea=_idea(file, typed),
        today=typed.last,
        opened=OPENED,
        named_dates=tuple(named),
        seen_latest=None if last is None else any(s for day, s in looks if day == last),
        looked_on=last,
        worst=_worst(typed),
        by_eye=typed.condition == "ICH",
        confirmed=typed.confirmed,
        dead=sum(n for _, n in typed.deaths),
        dead_lately=died,
        stopped=typed.stopped,
        count_days=frozenset(day for day, _ in looks),
        fish=sum(FISH[typed.condition].values()),
    )


def _named_days(earliest: object) -> tuple[int, ...]:
    dates = getattr(earliest, "dates", None)
    day = getattr(earliest, "day", None)
    if dates is None:
        return () if day is None else (day,)
    return tuple(row.day for row in dates)


def _card(file: Path, last: date) -> str:
    """Return the cards of the three days from the day asked on, as far as the course goes."""
    texts = []
    for ahead in range(3):
        try:
            texts.append(text_of_day(today(file, (last + timedelta(days=ahead)).isoformat())))
        except NotPossible:
            break
    return "\n".join(texts)


def _idea(file: Path, typed: Typed) -> str:
    """Type an own idea on the evening of the day, into a copy."""
    copy = file.with_name("idea.jsonl")
    shutil.copy(file, copy)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, f"{typed.last}T22:00+00:00")
        try:
            write_own_idea(copy, "NONE", shown_by="first idea", by="t")
        except BadInput as refused:
            return str(refused)
    return "kept"


def _worst(typed: Typed) -> str:
    if len(typed.numbers) < 2 or len({day for day, _ in typed.numbers.values()}) > 1:
        return ""
    (first, (_, high)), (_, (_, low)) = sorted(typed.numbers.items(), key=lambda row: -row[1][1])[
        :2
    ]
    return NAMES[first] if high > low else ""
