"""A late entry that was taken back moves no answer: all count their days from what stands."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing

from tankside.intake.plan_setup import PlanRequest
from tankside.report.page import open_case, strip
from tankside.services.plan import plan

SIZE = ["inside-length=118 cm", "inside-width=38 cm", "water-height=41 cm"]
ROWS = [
    ["system", *SIZE, "label=216 L"],
    ["stock", "tetra", "name=cardinal tetra", "count=12", "length=3 cm"],
    ["water", "temperature=25.5 C", "ph=7.4", "oxygen=7.2 mg/L"],
    ["finding", "spots_visible=yes", "spot_size=grain", "flashing=frequent"],
    ["suspected", "condition=ICH", "shown-by=spots"],
    ["count", "fish=worst tetra", "group=tetra", "spots=9"],
    ["note", "on=2026-03-12", "asked for the wrong tank"],
]
OPENING = ["--name", "Quay Lane", "--keeper", "T. Orme", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-03-02"]  # fmt: skip
DAY_0 = "2026-03-02"


@pytest.fixture(scope="module")
def case(typed: Typing, run: Callable[..., Ran]) -> Path:
    path = typed("late", [OPENING], ROWS)
    late = len(path.read_text(encoding="utf-8").splitlines()) - 1
    assert run("case", "add", str(path), "--void", str(late), "--reason", "another tank").code == 0
    return path


def test_page_plan_follow_list_and_differential_agree_on_the_day(
    case: Path, run: Callable[..., Ran]
) -> None:
    assert strip(open_case(case)).day.endswith("last entry Mon 2 Mar 2026, day 0")
    assert run("follow", str(case), "--json").answer["date"] == DAY_0
    assert plan(case, PlanRequest()).day.isoformat() == DAY_0
    listed = run("case", "list", str(case.parent), "--json").answer["cases"]
    assert next(c["last"] for c in listed if c["file"] == case.name) == DAY_0


def test_an_own_idea_is_filed_on_the_last_day_that_stands(
    case: Path, run: Callable[..., Ran]
) -> None:
    assert run("differential", str(case), "--own-idea", "FWVELVET", "--json").code == 0
    entries = [json.loads(line) for line in case.read_text(encoding="utf-8").splitlines()[1:]]
    assert entries[-1]["condition"] == "FWVELVET"
    assert entries[-1]["occurred_at"].startswith(DAY_0)
    assert run("follow", str(case), "--json").answer["date"] == DAY_0


def test_an_undated_entry_joins_the_last_day_that_stands(
    case: Path, run: Callable[..., Ran]
) -> None:
    assert run("case", "add", str(case), "note", "looked in again").code == 0
    last = json.loads(case.read_text(encoding="utf-8").splitlines()[-1])
    assert last["occurred_at"].startswith(DAY_0)
