"""Ten cases typed from the call to the all-clear, held to advice that was written from sources.

The advice stands in ``care_cases/expected.toml`` and was written before any of these answers was
seen. Where the program says something else, docs/care_cases.md says so; nothing is moved here.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar
from tests.scenarios.care_cases.stories import CALL, STORIES, Story
from tests.scenarios.conftest import Ran, Typing, add_at

Run = Callable[..., Ran]
EXPECTED = tomllib.loads(
    (Path(__file__).parent / "care_cases" / "expected.toml").read_text(encoding="utf-8")
)
DIFFERENCES = Path(__file__).parents[2] / "docs" / "care_cases.md"
NOON = "T12:00+00:00"
SECTIONS = {
    "next_hour": ("now", "first_hour"), "today": ("today", "first_hour"), "week": ("this_week",),
    "never": ("must_not", "prevention", "moving"), "laboratory": ("laboratory",),
}  # fmt: skip
NO_COURSE = {"koi_virus": ("salt", "dose", "bath"), "tubercles": ("salt", "dose", "bath"),
             "columnaris": ("salt", "warm"), "dawn_oxygen": ("salt", "dose")}  # fmt: skip
"""Kinds of step that would harm: expected.toml, the lines under never."""


def at(day: int) -> str:
    return f"{CALL + timedelta(days=day)}{NOON}"


@pytest.fixture
def cases(typed: Typing, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> Path:
    """Return a case typed up to the call; the name stands in the parameter."""
    monkeypatch.setenv("TANKSIDE_NOW", at(0))
    name = request.param
    story: Story = STORIES[name]
    opening = ["--name", story.name, "--keeper", "J. Amsel", "--water", story.water, "--country",
               "GB", "--zone", "Europe/London", "--opened", f"{CALL}T08:00"]  # fmt: skip
    file = f"{name}-{request.node.originalname}"
    return typed(file, [opening], [list(words) for words in story.at_call])


def label(story: Story) -> list[str]:
    return ["--label", story.label, "--scale", "1 g"] if story.label else []


def said(answer: dict[str, Any], part: str) -> list[str]:
    """Return what an answer says under a part of the expected advice, of the cause itself."""
    causes = answer["causes"]
    if part == "tell":
        return [duty["words"] for cause in causes for duty in cause["tell"]]
    if part == "stop":
        return [line for cause in causes for line in cause["stop"]]
    return [s["words"] for cause in causes for name in SECTIONS[part] for s in cause["said"][name]]


def differences(name: str, answer: dict[str, Any]) -> list[str]:
    """Return the lines of the expected advice that the answer does not hold."""
    missing = []
    for line in EXPECTED[name]["line"]:
        if line["part"] == "look_again":
            latest = (CALL + timedelta(days=line["day"])).isoformat()
            held = answer["look_again"] <= max(latest, CALL.isoformat())
        else:
            texts = said(answer, line["part"])
            held = any(re.search(w, t, re.I) for w in line["words"] for t in texts)
        if not held:
            missing.append(f"{line['part']}: {line['says']}")
    return missing


every = pytest.mark.parametrize("cases", sorted(STORIES), indirect=True)


@every
def test_the_plan_of_care_says_what_the_sources_say(
    run: Run, cases: Path, request: pytest.FixtureRequest
) -> None:
    """The lines it does not hold are those that the page of differences lists, no others."""
    name = request.node.callspec.params["cases"]
    answer = run("plan", str(cases), *label(STORIES[name]), "--json").answer
    lacking = differences(name, answer)
    listed = DIFFERENCES.read_text(encoding="utf-8")
    rows = re.findall(rf"^\| {name} \| (.*?) \|", listed, re.M)
    assert lacking == [row for row in rows if row != "none"]


@every
def test_from_the_call_to_the_all_clear(
    run: Run, cases: Path, tmp_path: Path, request: pytest.FixtureRequest,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    name = request.node.callspec.params["cases"]
    story = STORIES[name]
    words = ["plan", str(cases), *label(story), "--json"]
    offer = run(*words).answer["care_courses"][story.number - 1]
    assert run(*words, "--choose", offer["id"]).answer["chosen"]["course"] == offer["id"]
    kinds = {step["kind"] for step in offer["steps"]}
    assert kinds.isdisjoint(NO_COURSE.get(name, ()))
    card = run("today", str(cases), "--ics", str(tmp_path / "c.ics"), "--json").answer
    assert card["first"][0].startswith("Next hour:")
    assert card["first"][1].startswith("Today:")
    assert any("Treated" in line for line in card["first"])
    steps = [line["step"] for line in card["lines"] if line["step"]]
    assert steps
    events = Calendar.from_ical((tmp_path / "c.ics").read_bytes()).walk("VEVENT")
    assert len(events) >= len(steps)
    add_at(cases, at(0), ["done", f"step={steps[0]}"])
    assert run("follow", str(cases), "--json").answer["causes"][0]["advice"] != "may be called over"
    for words_after in story.after:
        day = date.fromisoformat(words_after[-1][3:13])
        add_at(cases, f"{day}T18:00+00:00", list(words_after))
    assert story.over is not None
    monkeypatch.setenv("TANKSIDE_NOW", f"{CALL + timedelta(days=story.over)}T18:30+00:00")
    before = CALL + timedelta(days=story.over - 1)
    early = run("follow", str(cases), "--on", before.isoformat(), "--json").answer
    assert early["causes"][0]["advice"] == "go on"
    last = run("follow", str(cases), "--json").answer
    advice = [cause["advice"] for cause in last["causes"]]
    if name == "koi_virus":
        assert advice == ["go on"], "only the authority says when it is over"
    else:
        assert advice == ["may be called over"], last["causes"][0]["reasons"]


@every
def test_deaths_that_double_mean_a_call(
    run: Run, cases: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Doubling within two days means a call, whatever the plan says (care of any cause)."""
    for day, dead in ((3, 1), (5, 2)):
        add_at(cases, at(day), ["death", str(dead), f"on={CALL + timedelta(days=day)}T09:00"])
    monkeypatch.setenv("TANKSIDE_NOW", at(5))
    answer = run("follow", str(cases), "--json").answer
    assert answer["causes"][0]["advice"] == "call the veterinarian"
    assert any("doubled" in reason for reason in answer["causes"][0]["reasons"])
