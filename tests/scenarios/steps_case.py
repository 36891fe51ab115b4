"""A tank of 200 L that is given a salt course by hand, for tests of what was done of it.

Hour 0 is Mon 2 March 2026, 00:00 UTC; salt goes in at 18:00 on days 0, 1 and 2, in three equal
steps to 2.1 g/L (140 g each in 200 L: 0.7 g/L times 200 L), and 40 L are changed at 19:00 of day 4.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.scenarios.conftest import Ran, Typing, invoke

from tankside import library
from tankside.course import Course
from tankside.course.actions import Dose, WaterChange, salt_steps
from tankside.course.actions.action import Action
from tankside.intake.course_codec import encode_course
from tankside.intake.labels import read_labels

OPENING = ["--name", "Quay Lane", "--keeper", "T. Orme", "--water", "fresh",
           "--zone", "Etc/UTC", "--opened", "2026-03-02T08:00"]  # fmt: skip
TANK = [
    ["system", "inside-length=100 cm", "inside-width=50 cm", "water-height=40 cm",
     "hose=20 L/min for 10 min", "carbon=no", "uv=no", "plants=no", "invertebrates=no",
     "filter-ripe=yes", "food-fish=no", "tap=none"],
    ["stock", "danio", "name=zebra danio", "host=danio_rerio", "count=10", "length=4 cm",
     "life-stage=adult", "gill-damage=no"],
    ["water", "temperature=24 C", "ph=7.4", "oxygen=7.5 mg/L", "kh=8 dH", "ammonia=0 mg/L as N",
     "nitrite=0 mg/L as N"],
    ["suspected", "condition=ICH", "shown-by=spots"],
    ["label", "agent=sodium_chloride", "strength=pure", "scale=1 g"],
]  # fmt: skip
SALT: tuple[Action, ...] = (*salt_steps(18, "main", 2.1, 3, 24), WaterChange(115, "main", 40.0))
BLUE: tuple[Action, ...] = tuple(Dose(18 + 48 * n, "main", "methylene_blue", 1.0) for n in range(3))
LABELS = {
    "sodium_chloride": ["sodium_chloride=pure"],
    "methylene_blue": ["methylene_blue=1 % w/v as methylene blue trihydrate"],
}
Case = Callable[..., Path]
Run = Callable[..., Ran]
Answer = dict[str, Any]


def typed_case(typed: Typing, name: str, *rows: list[str]) -> Path:
    """Type the tank and then further rows."""
    return typed(name.replace("[", "-").strip("]"), [OPENING], [*TANK, *rows])


def choose(
    path: Path,
    actions: tuple[Action, ...] = SALT,
    *,
    at: str = "2026-03-02T08:00+00:00",
    starts: str = "2026-03-02T00:00+00:00",
    days: int = 7,
    pinned: dict[str, Any] | None = None,
) -> None:
    """Enter a course as the plan command writes it, from a file."""
    agents = {getattr(action, "agent", "") for action in actions} & set(LABELS)
    labels = {
        key: label
        for agent in sorted(agents)
        for key, label in read_labels(library.load(), tuple(LABELS[agent]), "1 g", "0.1 mL").items()
    }
    chosen = {
        "kind": "course_chosen",
        "occurred_at": at,
        "name": "by hand",
        "starts_at": starts,
        "course": encode_course(Course("by hand", days, actions), labels) | (pinned or {}),
    }
    file = path.with_suffix(".chosen.json")
    file.write_text(json.dumps([chosen]), encoding="utf-8")
    ran = invoke("case", "add", str(path), "--from", str(file))
    assert ran.code == 0, (ran.out, ran.err)


def add(path: Path, *words: str) -> None:
    """Type one more entry."""
    ran = invoke("case", "add", str(path), *words)
    assert ran.code == 0, (words, ran.err)


def card(path: Path, day: str) -> Answer:
    """Return the card of a day as JSON."""
    return invoke("today", str(path), "--date", day, "--json").answer


def named(shown: Answer, step: str) -> Answer:
    """Return the line of a step."""
    line: Answer = next(line for line in shown["lines"] if line["step"] == step)
    return line


def grams(shown: Answer, step: str) -> list[float]:
    """Return the amounts of a step [g]."""
    return [amount["value"] for amount in named(shown, step)["amounts"]]
