"""Cases with a course, a day of it and a moment, drawn by a number: cheap, and of every kind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest

from tankside import library
from tankside.course import Course
from tankside.course.actions import (
    Air,
    Carbon,
    Count,
    Dose,
    Siphon,
    TakeReading,
    UltraViolet,
    WaterChange,
    salt_steps,
)
from tankside.course.actions.action import Action
from tankside.intake.course_codec import encode_course
from tankside.intake.labels import read_labels
from tankside.records.case_file import read_case
from tankside.services import cases

FIRST = date(2026, 3, 2)
DAYS = 12
KEEPERS = ("Marta Vell", "O'Brien & Łódź", "<b>R.</b> {{7*7}} #read", "J. *b* $x$ _u_")
HOSTS = ("danio_rerio", "xiphophorus_maculatus", "ancistrus_spp", "chromobotia_macracanthus")
COUNTRIES = (None, "United Kingdom", "USA", "Germany", "Ireland")
WARMTH = ("temperature=24 C", "temperature=75.2 F")
HARDNESS = ("kh=5 dH", "alkalinity=90 mg/L as CaCO3")
NITROGEN = ("ammonia=0 mg/L as N", "ammonia=0.1 mg/L as NH4")
SALT = "sodium_chloride=pure"
LIQUIDS = (
    "formalin=37 % w/v as formaldehyde",
    "methylene_blue=1 % w/v as methylene blue trihydrate",
)
DOSES = (
    ("sodium_chloride", 1.0),
    ("sodium_chloride", 2.0),
    ("formalin", 10.0),
    ("formalin", 15.0),
    ("methylene_blue", 1.0),
)


@dataclass(frozen=True)
class MadeCard:
    """One case, a day of its course and the moment at which its card is asked for."""

    path: Path
    day: date
    asked_at: str


def make_card(folder: Path, number: int, patch: pytest.MonkeyPatch) -> MadeCard:
    """Write a case with a course and choose one of its days, all drawn by ``number``."""
    draw = Random(number)
    path = folder / f"card-{number}.jsonl"
    patch.setenv("TANKSIDE_NOW", "2026-03-01T12:00+00:00")
    opening = cases.Opening(
        draw.choice(("Quay Lane", "EXAMPLE: Quay Lane", "Łąka 3/5")), draw.choice(KEEPERS), "fresh",
        "Europe/London", opened="2026-03-01", country=draw.choice(COUNTRIES),
    )  # fmt: skip
    cases.new_case(path, opening, by="test")
    for kind, words in entries(draw):
        cases.add_words(path, kind, words, by="test")
    for _ in range(draw.choice((1, 1, 2))):
        choose(path, draw)
    day = FIRST + timedelta(days=draw.randrange(DAYS))
    if draw.random() < 0.2:
        what = draw.choice(("stop", "go-on", "change", "wait"))
        cases.add_words(path, "decision", (what, "reason=as was agreed"), by="test")
    if draw.random() < 0.1:
        cases.add_words(path, "closed", ("clear",), by="test")
    later = timedelta(days=draw.choice((0, 0, 0, 2, 40)))
    return MadeCard(path, day, f"{(day + later).isoformat()}T{draw.randrange(24):02d}:00+00:00")


def entries(draw: Random) -> Iterator[tuple[str, tuple[str, ...]]]:
    length = draw.randrange(40, 180)
    yes_no = ("yes", "no")
    yield "system", (
        f"inside-length={length} cm", "inside-width=40 cm", "water-height=38 cm",
        f"carbon={draw.choice(yes_no)}", "uv=no", f"plants={draw.choice(yes_no)}",
        f"invertebrates={draw.choice(yes_no)}", "filter-ripe=yes", "food-fish=no",
        "tap=chlorine",
    )  # fmt: skip
    for host in draw.sample(HOSTS, draw.randrange(1, 4)):
        stage = draw.choice(("adult", "fry"))
        yield "stock", (host, f"name={host.replace('_', ' ')}", f"host={host}", "length=4 cm",
                        f"count={draw.randrange(1, 9)}", f"life-stage={stage}")  # fmt: skip
    yield "water", (draw.choice(WARMTH), "ph=7.4", "oxygen=7.5 mg/L", "nitrite=0 mg/L as N",
                    draw.choice(HARDNESS), draw.choice(NITROGEN))  # fmt: skip


def choose(path: Path, draw: Random) -> None:
    facts_of = library.load()
    labels = read_labels(facts_of, [SALT], "1 g", None) | read_labels(
        facts_of, LIQUIDS, None, "0.5 mL"
    )
    tests = ("temperature", "ph", "ammonia", "nitrite", "alkalinity", "oxygen")
    agent, strength = draw.choice(DOSES)
    actions: list[Action] = [Air(8, "main", True), Carbon(8, "main", False)]
    if draw.random() < 0.5:
        actions.append(UltraViolet(9, "main", False))
    if agent == "sodium_chloride":
        actions += salt_steps(18, "main", strength, draw.choice((2, 3)), 24)
    for at_day in range(DAYS):
        hour = 24 * at_day
        if agent != "sodium_chloride" and draw.random() < 0.5:
            actions.append(Dose(hour + 9, "main", agent, strength, counting_residue=True))
        if draw.random() < 0.4:
            actions.append(Siphon(hour + 19, "main", draw.randrange(5, 20)))
        if draw.random() < 0.3:
            actions.append(WaterChange(hour + 20, "main", draw.randrange(5, 20)))
        if draw.random() < 0.6:
            names = tuple(draw.sample(tests, draw.randrange(1, 4)))
            actions.append(TakeReading(hour + 8, "main", names))
        if draw.random() < 0.3:
            group = draw.choice(sorted(stock_of(path)))
            actions.append(Count(hour + 10, "main", group))
    course = encode_course(Course("drawn course", DAYS, tuple(actions)), labels)
    cases.add_fields(
        path,
        [{"kind": "course_chosen", "name": f"course {draw.randrange(9)}", "course": course,
          "starts_at": f"{FIRST.isoformat()}T00:00+00:00",
          "occurred_at": "2026-03-01T12:00+00:00"}],
        by="test",
    )  # fmt: skip


def stock_of(path: Path) -> list[str]:
    return list(read_case(path).view().stock)
