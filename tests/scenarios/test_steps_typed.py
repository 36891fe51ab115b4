"""Steps have short names, and what the next card weighs follows from what was really done."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.scenarios.conftest import Typing
from tests.scenarios.steps_case import (
    BLUE,
    SALT,
    Run,
    add,
    card,
    choose,
    grams,
    named,
    typed_case,
)

NOW = "2026-03-06T20:00+00:00"


@pytest.fixture
def path(typed: Typing, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T12:00+00:00")
    file = typed_case(typed, request.node.name)
    monkeypatch.setenv("TANKSIDE_NOW", NOW)
    return file


def did(path: Path, word: str, step: str, on: str, *more: str) -> None:
    add(path, word, "action=salt", f"step={step}", f"on={on}", *more)


def test_every_step_has_a_name_on_card_and_calendar(path: Path, run: Run, tmp_path: Path) -> None:
    choose(path)
    shown = card(path, "2026-03-02")
    assert [line["step"] for line in shown["lines"] if line["step"]] == ["A0-1"]
    assert "A0-1" in shown["text"]
    assert named(card(path, "2026-03-06"), "A4-1")["text"].startswith("A4-1: Take out 40")
    ics = tmp_path / "course.ics"
    assert run("today", str(path), "--date", "2026-03-02", "--ics", str(ics)).code == 0
    events = ics.read_text(encoding="utf-8").split("BEGIN:VEVENT")[1:]
    names = ["A0-1", "A1-1", "A2-1", "A4-1"]
    assert [name for event, name in zip(events, names, strict=True) if name in event] == names


def test_an_unknown_step_is_refused_with_the_open_ones(path: Path, run: Run) -> None:
    choose(path)
    refused = run("case", "add", str(path), "done", "action=salt", "step=A9-9", "--json").error
    assert refused["code"] == "E-COURSE-04"
    assert all(name in refused["needed"] for name in ("A0-1", "A1-1", "A2-1", "A4-1"))


def test_a_closed_step_is_refused_unless_it_was_done_again(path: Path, run: Run) -> None:
    choose(path)
    did(path, "done", "a0-1", "2026-03-02T18:00")
    words = ["done", "action=salt", "step=A0-1", "on=2026-03-02T19:00"]
    refused = run("case", "add", str(path), *words, "--json").error
    assert refused["code"] == "E-COURSE-04"
    assert "A0-1" not in refused["needed"]
    assert run("case", "add", str(path), *words, "again=yes").code == 0


def test_names_stay_unique_when_another_course_is_chosen(path: Path) -> None:
    choose(path)
    for step, day in (("A0-1", 2), ("A1-1", 3)):
        did(path, "done", step, f"2026-03-0{day}T18:00")
    choose(path, SALT[2:3], at="2026-03-04T09:00+00:00", starts="2026-03-04T00:00+00:00", days=4)
    assert [line["step"] for line in card(path, "2026-03-06")["lines"] if line["step"]] == ["B2-1"]


def test_the_number_of_an_amount_asked_for_is_never_a_step(path: Path, run: Run) -> None:
    """An old file may hold an index; typed, it is the entry that asked."""
    choose(path)
    refused = run("case", "add", str(path), "done", "action=salt", "index=1", "--json").error
    assert refused["code"] == "E-COURSE-05"


def test_after_a_double_dose_the_next_card_leaves_the_step_out(path: Path) -> None:
    """Twice 140 g in 200 L is 1.4 g/L, what the plan means on the next day."""
    choose(path)
    did(path, "other-amount", "A0-1", "2026-03-02T18:00", "amount=280 g")
    shown = card(path, "2026-03-03")
    assert grams(shown, "A1-1") == []
    assert "Leave this step out" in named(shown, "A1-1")["text"]
    did(path, "not-done", "A1-1", "2026-03-03T18:00", "reason=left out")
    assert grams(card(path, "2026-03-04"), "A2-1") == [140]


def test_what_is_above_the_plan_names_the_water_to_change(path: Path) -> None:
    """446 g in 200 L is 2.23 g/L; down to 1.4 g/L leaves 1.4/2.23: 74.4 L of 200 go out."""
    choose(path)
    did(path, "other-amount", "A0-1", "2026-03-02T18:00", "amount=446 g")
    text = named(card(path, "2026-03-03"), "A1-1")["text"].replace("\xa0", " ")
    assert "2.23 g/L" in text
    assert f"{200 * (1 - 1.4 / 2.23):.2f} L" in text
    assert "Call" in text


def test_half_a_dose_more_gives_only_what_is_missing(path: Path) -> None:
    """210 g went in; the plan means 280 g in all: 70 g are missing."""
    choose(path)
    did(path, "other-amount", "A0-1", "2026-03-02T18:00", "amount=210 g")
    assert grams(card(path, "2026-03-03"), "A1-1") == [70]


def test_after_a_missed_step_the_next_is_not_doubled(path: Path) -> None:
    choose(path)
    did(path, "not-done", "A0-1", "2026-03-02T20:00", "reason=away")
    assert grams(card(path, "2026-03-03"), "A1-1") == [140]


def test_a_doubled_repeated_dose_leaves_the_next_out(path: Path) -> None:
    choose(path, BLUE)
    add(path, "done", "action=dose", "step=A0-1", "on=2026-03-02T18:00")
    add(path, "done", "action=dose", "step=A0-1", "on=2026-03-02T19:00", "again=yes")
    assert grams(card(path, "2026-03-04"), "A2-1") == []


def test_salt_logged_beside_the_course_counts_on_its_next_step(path: Path) -> None:
    choose(path)
    did(path, "done", "A0-1", "2026-03-02T18:00")
    more = ["amount=60 g", "again=yes", "step=A0-1"]
    add(path, "done", "action=salt", "agent=NaCl", "on=2026-03-03T09:00", *more)
    assert grams(card(path, "2026-03-03"), "A1-1") == [80]


def test_a_step_that_nobody_answered_is_asked_before_more_is_weighed(path: Path, run: Run) -> None:
    choose(path)
    shown = card(path, "2026-03-03")
    assert shown["unanswered"] == ["A0-1"]
    assert any("A0-1" in stop for stop in shown["stops"])
    asked = run("dose", "--case", str(path), "--agent", "sodium_chloride", "--strength", "1 g/L",
                "--json").error  # fmt: skip
    assert asked["code"] == "E-DOSE-28"
    assert "A0-1" in asked["given"]


def test_the_dose_door_counts_the_steps_that_were_done(path: Path, run: Run) -> None:
    """140 g stand in the water; 1 g/L in 200 L is 200 g: 60 g are missing."""
    choose(path, SALT[:1])
    did(path, "done", "A0-1", "2026-03-02T18:00")
    answer = run("dose", "--case", str(path), "--agent", "sodium_chloride", "--strength", "1 g/L",
                 "--json").answer  # fmt: skip
    assert answer["amount"]["value"] == "60"


def test_a_course_chosen_anew_counts_what_the_first_one_gave(path: Path) -> None:
    """280 g of the first course stand at 1.4 g/L; the new one means 2.1 g/L: 140 g."""
    choose(path)
    for step, day in (("A0-1", 2), ("A1-1", 3)):
        did(path, "done", step, f"2026-03-0{day}T18:00")
    choose(path, SALT[2:3], at="2026-03-04T09:00+00:00", starts="2026-03-05T00:00+00:00", days=4)
    shown = card(path, "2026-03-07")
    assert grams(shown, "B2-1") == [140]
    assert "2.1" in named(shown, "B2-1")["text"]


def test_what_the_first_course_planned_is_asked_before_another_plan(path: Path, run: Run) -> None:
    choose(path)
    refused = run("plan", str(path), "--on", "2026-03-04", "--json").error
    assert refused["code"] == "E-DOSE-28"
    assert "A0-1" in refused["given"]


def test_a_step_a_few_hours_late_is_named_as_due(path: Path, run: Run) -> None:
    choose(path)
    did(path, "done", "A0-1", "2026-03-02T18:00")
    add(path, "count", "on=2026-03-02T09:00", "group=danio", "spots=mean 2")
    did(path, "not-done", "A1-1", "2026-03-03T21:00", "reason=late home")
    shown = run("follow", str(path), "--on", "2026-03-03", "--json").answer
    assert "A1-1" in str(shown["redated"])
    assert "due" in str(shown["redated"])


def test_a_missed_step_after_which_the_course_went_on_is_still_named(path: Path, run: Run) -> None:
    choose(path)
    add(path, "count", "on=2026-03-02T09:00", "group=danio", "spots=mean 2")
    did(path, "not-done", "A0-1", "2026-03-02T21:00", "reason=away")
    did(path, "done", "A1-1", "2026-03-03T18:00")
    shown = run("follow", str(path), "--on", "2026-03-03", "--json").answer
    assert "A0-1 was missed" in str(shown["redated"])


def test_what_went_in_without_a_substance_is_asked_not_dropped(path: Path, run: Run) -> None:
    for words in (["action=put in NaCl"], ["action=stuff", "amount=20 g"]):
        refused = run("case", "add", str(path), "done", *words, "--json").error
        assert refused["code"] == "E-PROD-02"
    refused = run("case", "add", str(path), "done", "action=put in NaCl", "--json").error
    assert "sodium_chloride" in refused["needed"]


def test_a_redated_course_keeps_the_names_of_its_past_and_counts_it_once(
    path: Path, run: Run
) -> None:
    """140 g stand; the missed step is done two days late, the last one after it: 140 g each."""
    choose(path)
    add(path, "count", "on=2026-03-02T09:00", "group=danio", "spots=mean 2")
    did(path, "done", "A0-1", "2026-03-02T18:00")
    did(path, "not-done", "A1-1", "2026-03-03T21:00", "reason=away")
    add(path, "note", "looked in", "on=2026-03-04T17:00")
    assert run("follow", str(path), "--on", "2026-03-04", "--redate").code == 0
    first = card(path, "2026-03-02")
    assert grams(first, "A0-1") == [140]
    steps = [line["step"] for line in card(path, "2026-03-04")["lines"] if line["step"]]
    assert steps == ["B2-1"]
    assert grams(card(path, "2026-03-04"), "B2-1") == [140]
    did(path, "done", "B2-1", "2026-03-04T17:30")
    assert grams(card(path, "2026-03-05"), "B3-1") == [140]
