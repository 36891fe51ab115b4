"""``tankside today`` on a case with a chosen course: text, JSON, PDF and calendar agree."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar
from typer.testing import CliRunner

from tankside import library
from tankside.cli.main import app
from tankside.course import Course
from tankside.course.actions import Carbon, Siphon, salt_steps
from tankside.course.actions.action import Action
from tankside.intake.course_codec import encode_course
from tankside.intake.labels import read_labels
from tankside.services import cases

runner = CliRunner()
S = "\N{NO-BREAK SPACE}"
SYSTEM = ("main", "inside-length=118 cm", "inside-width=38 cm", "water-height=41 cm",
          "takes-away=11 L gravel", "takes-away=6 L wood", "adds=6 L filter",
          "hose=14 L/min for 12.5 min", "label=216 L", "carbon=yes", "uv=no", "plants=no",
          "invertebrates=no")  # fmt: skip


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The tank of scenario S1: 173 L by measure, 175 L by hose."""
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-03T20:00+00:00")
    path = tmp_path / "elm.jsonl"
    opening = cases.Opening("Elm Road", "Marta Vell", "fresh", "Europe/London", opened="2026-03-02")
    cases.new_case(path, opening, by="test")
    cases.add_words(path, "system", SYSTEM, by="test")
    stock = ("loach", "name=clown loach", "host=chromobotia_macracanthus", "count=2", "length=9 cm")
    cases.add_words(path, "stock", stock, by="test")
    cases.add_words(path, "water", ("temperature=25.5 C", "ph=7.4", "oxygen=7.2 mg/L"), by="test")
    choose(path, "2026-03-02T00:00+00:00")
    return path


def choose(
    path: Path, starts: str, siphons: int = 3, kept: dict[str, object] | None = None
) -> None:
    actions: tuple[Action, ...] = (
        Carbon(18, "main", False),
        *salt_steps(18, "main", 2.0, 2, 24),
        *(Siphon(67 + 24 * day, "main", 40) for day in range(siphons)),
    )
    labels = read_labels(library.load(), ["sodium_chloride=pure"], "1 g", None)
    course = encode_course(Course("salt at 2 g/L", 12, actions), labels)
    fields = {"kind": "course_chosen", "occurred_at": "2026-03-02T18:00+00:00",
              "name": "salt at 2 g/L", "starts_at": starts,
              "course": course | ({"pinned": kept} if kept else {})}  # fmt: skip
    cases.add_fields(path, [fields], by="test")


def today(case: Path, *words: str) -> dict[str, Any]:
    result = runner.invoke(app, ["today", str(case), "--json", *words])
    assert result.exit_code == 0, result.output
    card: dict[str, Any] = json.loads(result.stdout)
    return card


def amounts(card: dict[str, Any]) -> list[str]:
    lines: list[dict[str, list[dict[str, str]]]] = card["lines"]
    return [amount["text"].replace(S, " ") for line in lines for amount in line["amounts"]]


def test_the_salt_of_s1_comes_in_two_steps_of_173_g(case: Path) -> None:
    """Scenario S1: 173 L at 2 g/L take 346 g in steps (arithmetic: 172.8 L gives 345.7 g)."""
    steps = amounts(today(case, "--date", "2026-03-02")) + amounts(today(case))
    assert sum(int(text.split()[0]) for text in steps) == 346


def test_40_litres_taken_out_take_80_g_back(case: Path) -> None:
    """Scenario S1: 40 L at 2 g/L."""
    assert amounts(today(case, "--date", "2026-03-04")) == ["80 g"]


def test_without_a_date_it_is_the_present_day_at_the_tank(case: Path) -> None:
    card = today(case)
    assert (card["date"], card["day"]) == ("2026-03-03", 1)


def test_text_json_and_files_say_the_same(case: Path, tmp_path: Path) -> None:
    pdf, ics = tmp_path / "card.pdf", tmp_path / "course.ics"
    words = ["today", str(case), "--date", "2026-03-04", "--pdf", str(pdf), "--ics", str(ics)]
    result = runner.invoke(app, words)
    assert result.exit_code == 0, result.output
    card = today(case, "--date", "2026-03-04")
    assert result.stdout.strip() == str(card["text"]).strip() == "\n".join(card["messages"]).strip()
    assert all(len(message) < 1500 for message in card["messages"])
    assert pdf.read_bytes().startswith(b"%PDF")
    calendar = Calendar.from_ical(ics.read_bytes())
    assert len(calendar.walk("VEVENT")) == 6


def test_a_second_plan_tears_up_the_first_and_cancels_what_is_gone(
    case: Path, tmp_path: Path
) -> None:
    choose(case, "2026-03-03T00:00+00:00", siphons=1)
    card = today(case, "--ics", str(tmp_path / "x.ics"))
    assert card["plan"]["version"] == 2
    assert card["plan"]["replaces"] == "Replaces plan 1: tear it up."
    events = Calendar.from_ical((tmp_path / "x.ics").read_bytes()).walk("VEVENT")
    assert sorted(str(event["STATUS"]) for event in events) == ["CANCELLED"] * 2 + ["CONFIRMED"] * 4
    assert {str(event["SEQUENCE"]) for event in events} == {"2"}


@pytest.mark.parametrize(
    ("words", "exit_code", "code"),
    [
        (["--date", "2026-05-01"], 3, "E-COURSE-03"),
        (["--date", "01/05/2026"], 2, "E-DATE-01"),
        (["--date", "2026-02-30"], 2, "E-DATE-02"),
        (["--pdf", "/nowhere/at/all.pdf"], 5, "E-DB-04"),
    ],
)
def test_mistakes_are_told_with_their_exit_code(
    case: Path, words: list[str], exit_code: int, code: str
) -> None:
    result = runner.invoke(app, ["today", str(case), "--json", *words])
    assert result.exit_code == exit_code, result.output
    assert json.loads(result.stdout)["error"]["code"] == code


def test_a_card_on_paper_needs_the_print_libraries(
    case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    target = tmp_path / "card.pdf"
    result = runner.invoke(app, ["today", str(case), "--json", "--pdf", str(target)])
    assert result.exit_code == 3
    error = json.loads(result.stdout)["error"]
    assert (error["code"], error["given"]) == ("E-PRINT-01", "")
    assert "print extra" in error["needed"]
    assert not target.exists()


def test_a_case_without_a_course_gets_the_card_of_its_care(case: Path, tmp_path: Path) -> None:
    bare = tmp_path / "bare.jsonl"
    opening = cases.Opening("Bare", "K", "fresh", "UTC", opened="2026-03-02")
    cases.new_case(bare, opening, by="test")
    result = runner.invoke(app, ["today", str(bare), "--json"])
    assert result.exit_code == 0
    card = json.loads(result.stdout)
    assert card["refused"]["code"] == "E-PLAN-03"
    assert (card["next_hour"], card["look_again"]) > ("", "")
    assert card["causes"][0]["certainty"] == "not known yet"


def test_a_base_that_changed_under_the_course_says_what_was_and_what_is(case: Path) -> None:
    """The course was chosen when the hard limit of salt stood at 4 g/L; the base says 5 g/L."""
    assert today(case)["changed"] == []
    key = "agent.sodium_chloride.hard_max.prolonged"
    choose(case, "2026-03-02T00:00+00:00", kept={key: [4000, "mg/L"]})
    card = today(case)
    changes = [line for line in card["changed"] if line.startswith(key)]
    assert len(changes) == 1
    assert changes[0].startswith(f"{key}: was 4000 mg/L, is 5000")
    assert "make a new plan before going on" in str(card["text"]).replace(S, " ")


def test_the_law_of_the_country_stands_with_what_goes_with_the_amount(case: Path) -> None:
    (salt,) = today(case)["handling"]
    assert any("no country was entered" in line for line in salt["lines"])
