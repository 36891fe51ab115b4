"""The story: told by the real services, twice the same, files complete and fit to print."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from icalendar import Calendar
from pypdf import PdfReader
from tests.display_rules import display_faults
from tests.shaped import is_shaped

from tankside.case import fold
from tankside.demo import script
from tankside.demo.brief import tell_brief
from tankside.demo.tell import Teller
from tankside.records.case_file import read_case

DOCS = Path(__file__).resolve().parents[2] / "docs" / "json.md"


def tell(out: Path, *words: str) -> subprocess.CompletedProcess[str]:
    line = [sys.executable, "-c", "from tankside.cli.main import app; app()", "demo"]
    env = {name: value for name, value in os.environ.items() if name != "TANKSIDE_NOW"}
    return subprocess.run(
        [*line, "--out", str(out), *words], capture_output=True, text=True, env=env, check=False
    )


@pytest.fixture(scope="session")
def story(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    out = tmp_path_factory.mktemp("demo") / "out"
    run = tell(out, "--story")
    assert run.returncode == 0, run.stderr
    return out, run.stdout


def test_the_case_goes_from_the_call_to_the_all_clear(story: tuple[Path, str]) -> None:
    view = read_case(story[0] / script.FILE).view()
    assert view.opened.call == script.CALL
    assert view.course is not None
    assert [d.what for d in view.decisions][-1] == "stop"
    assert view.closed is not None
    assert view.closed.outcome == "clear"


def test_a_clean_look_too_early_ends_in_going_on(story: tuple[Path, str]) -> None:
    view = read_case(story[0] / script.FILE).view()
    seen = {c.moment.day for c in view.counts if c.number or float(c.mean or 0) > 0}
    zeros = [c.moment.day for c in view.counts if c.moment.day not in seen]
    assert [d.what for d in view.decisions if d.moment.day == zeros[0]] == ["go_on"]
    assert "May I stop?" in story[1]
    assert "DO NOT stop because the spots are gone." in story[1]


def test_in_short_it_is_told_in_two_screens_and_ends_with_the_way_into_the_browser(
    story: tuple[Path, str], capsys: pytest.CaptureFixture[str]
) -> None:
    """Two screens of 24 lines by 80 signs, the size of the terminal of ECMA-48's time."""
    tell_brief(Teller(), story[0])
    lines = capsys.readouterr().out.splitlines()
    ending = story[1].splitlines()[-6:]
    screens = sum(-(-max(len(line), 1) // 80) for line in (*lines, *ending)) / 24
    assert screens <= 2
    assert ending[-1].strip().endswith(f"serve {story[0] / script.FILE}")
    text = " ".join(lines)
    chosen = read_case(story[0] / script.FILE).view().course
    assert chosen is not None
    for needed in ("148.4 L", "White spot almost certain", chosen.name, "not before day", "clear."):
        assert needed in text


def test_no_visit_lies_before_the_date_it_waits_for(story: tuple[Path, str]) -> None:
    answers = [json.loads(path.read_text()) for path in sorted(story[0].glob("follow-day-*.json"))]
    assert answers[-1]["day"] >= answers[-1]["not_before_day"]
    assert answers[0]["day"] < answers[0]["not_before_day"]


def test_every_answer_of_the_story_has_its_shape(story: tuple[Path, str]) -> None:
    kinds = {"plan": "plan", "forecast": "forecast", "follow-day": "follow",
             "day-card": "day-card", "differential": "case-differential"}  # fmt: skip
    for beginning, name in kinds.items():
        files = list(story[0].glob(f"{beginning}*.json"))
        assert files
        for path in files:
            is_shaped(json.loads(path.read_text(encoding="utf-8")), name)


def test_at_least_24_courses_are_compared_with_water_only_and_nothing(
    story: tuple[Path, str],
) -> None:
    answer = json.loads((story[0] / "plan.json").read_text())
    assert answer["search"]["candidates"] >= 24
    names = [course["name"] for course in answer["courses"]]
    assert "water only" in names
    assert "no treatment" in names


def test_every_amount_on_a_card_is_in_the_chosen_course(story: tuple[Path, str]) -> None:
    chosen = read_case(story[0] / script.FILE).view().course
    assert chosen is not None
    plan = json.loads((story[0] / "plan.json").read_text())
    course = next(c for c in plan["courses"] if c["name"] == chosen.name)
    planned = {text for action in course["actions"] for text in action["amounts"]}
    for path in story[0].glob("day-card-*.json"):
        card = json.loads(path.read_text())
        assert {a["text"] for line in card["lines"] for a in line["amounts"]} <= planned


def test_all_that_is_done_stands_on_one_page_and_the_texts_can_be_pasted(
    story: tuple[Path, str],
) -> None:
    """Only the sums, for whoever checks the amounts, may stand on a second page."""
    pdfs = sorted(story[0].glob("*.pdf"))
    assert len(pdfs) == 3
    for path in pdfs:
        first, *more = PdfReader(io.BytesIO(path.read_bytes())).pages
        assert "In danger now?" in first.extract_text() or path.stem == "emergency-card"
        for page in more:
            assert page.extract_text().lstrip().startswith("THE SUMS")
        assert len(more) <= (path.stem != "emergency-card")
    for path in story[0].glob("day-card-*.txt"):
        messages = json.loads(path.with_suffix(".json").read_text())["messages"]
        assert path.read_text() == "\n".join(messages)
        assert all(len(message) < 1500 for message in messages)
        assert display_faults(path.read_text()) == ()
        assert "EXAMPLE" in path.read_text()


def test_the_calendar_holds_every_step(story: tuple[Path, str]) -> None:
    chosen = read_case(story[0] / script.FILE).view().course
    assert chosen is not None
    steps = chosen.course["actions"]
    events = Calendar.from_ical((story[0] / "course.ics").read_bytes()).walk("VEVENT")
    assert isinstance(steps, list)
    assert len(events) == len(steps)


@pytest.mark.slow
def test_a_second_telling_gives_the_same_answers(story: tuple[Path, str], tmp_path: Path) -> None:
    again = tell(tmp_path / "out", "--json")
    assert again.returncode == 0, again.stderr
    answer = json.loads(again.stdout)
    assert answer["outcome"] == "clear"
    is_shaped(answer, "demo")
    for name in answer["files"]:
        if name.endswith((".svg", ".txt")) or name.startswith("differential"):
            first, second = ((place / name).read_bytes() for place in (story[0], tmp_path / "out"))
            assert _without_digest(first) == _without_digest(second), name


def _without_digest(data: bytes) -> bytes:
    """The card names the bytes of the case file, which hold the time of writing."""
    return re.sub(rb"file [0-9a-f]{8}", b"file", data)


def test_the_case_file_reads_back_to_the_same_view(story: tuple[Path, str]) -> None:
    stored = read_case(story[0] / script.FILE)
    assert fold(stored.entries) == stored.view()


@pytest.mark.parametrize(
    ("heading", "file"),
    [
        ("differential", "differential.json"),
        ("plan", "plan.json"),
        ("today", "day-card-2026-03-18.json"),
        ("forecast", "forecast.json"),
        ("follow", "follow-day-*.json"),
    ],
)
def test_the_documented_shape_is_the_shape(
    story: tuple[Path, str], heading: str, file: str
) -> None:
    """docs/json.md lists every key of the first level, and no other."""
    answer = json.loads(next(story[0].glob(file)).read_text())
    assert documented(heading) == set(answer)


def documented(heading: str) -> set[str]:
    text = DOCS.read_text(encoding="utf-8")
    part = text.split(f"## `{heading} --json`", 1)[1].split("\n## ", 1)[0]
    return set(re.findall(r"^\| `(\w+)` \|", part, re.MULTILINE))
