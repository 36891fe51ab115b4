"""Check and start: nothing is started while a check bears danger or was not answered."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.served_pages import served

from tankside import library
from tankside.case.done import CourseChosen
from tankside.course import Course
from tankside.course.actions import Air, Carbon, Count, Dose, WaterChange, salt_steps
from tankside.course.actions.action import Action
from tankside.intake.course_codec import encode_course
from tankside.intake.labels import read_labels
from tankside.records.case_file import read_case
from tankside.records.comparisons import KeptComparison, OfferedCourse, keep_comparison

FILE = "no-course.jsonl"
START = f"/case/{FILE}/start"
AGREED = {"label_read": "yes", "second": "J. Amsel", "stop_signs": "gasping", "reason": "mildest"}
Copied = tuple[TestClient, Path]


def offered(path: Path, short: str, *steps: Action, label: str = "") -> str:
    """Keep a comparison that offers one course, and return the name it is chosen by."""
    stored = read_case(path)
    labels = read_labels(library.load(), [label] if label else [], "1 g", None)
    entry: dict[str, Any] = {
        "kind": "course_chosen",
        "occurred_at": "2026-03-18T18:00+00:00",
        "name": short,
        "starts_at": "2026-03-18T00:00+00:00",
        "course": encode_course(Course(short, 9, steps), labels),
    }
    course = OfferedCourse(short, short, {"name": short}, entry, {})
    kept = KeptComparison(stored.digest, stored.version, 1, "test", (course,))
    assert keep_comparison(kept) == ""
    return kept.course_id(course)


@pytest.fixture
def copied(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Copied:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path), tmp_path / FILE


@pytest.fixture
def salt(copied: Copied) -> str:
    steps: tuple[Action, ...] = (Air(18, "main", True), Carbon(18, "main", False),
             *salt_steps(18, "main", 2.0, 2, 24), WaterChange(60, "main", 30.0),
             Count(32, "main", "platy"))  # fmt: skip
    return offered(copied[1], "salt", *steps, label="sodium_chloride=pure")


def test_every_check_and_every_sum_stands_on_the_page(copied: Copied, salt: str) -> None:
    """2 g/L in 148.408 L is 296.8 g, in two steps 148 to 149 g each; 60 g back for 30 L."""
    client, _ = copied
    page = client.get(START, params={"name": salt}).text.replace("\N{NO-BREAK SPACE}", " ")
    for title in ("Water in", "Thermometer", "Animals", "Label of sodium chloride",
                  "Scale or syringe", "Carbon in", "UV in", "The sums", "The new water",
                  "Who worked the sum out again", "Take the carbon out"):  # fmt: skip
        assert title in page, title
    assert "149 g" in page
    assert "60 g" in page
    assert page.count('class="go" type="submit"') == 2  # the one button, and its twin for a thumb
    assert "NOT STARTED" not in page


def test_a_temperature_of_weeks_ago_is_not_in_order(
    copied: Copied, salt: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page said "in order" whatever the age of the reading that doses and dates go by."""
    client, _ = copied

    def mark() -> str:
        page = client.get(START, params={"name": salt}).text
        line = page[: page.index("</li>", page.index("Thermometer in"))].rpartition("<li")[2]
        return "LOOK" if "LOOK" in line else "in order"

    assert mark() == "in order"
    monkeypatch.setenv("TANKSIDE_NOW", "2026-04-09T18:30+00:00")
    assert mark() == "LOOK"


def test_a_checked_course_starts_with_who_checked_it(copied: Copied, salt: str) -> None:
    client, path = copied
    reply = client.post(START, data={"name": salt, **AGREED}, follow_redirects=False)
    assert reply.status_code == 303
    assert reply.headers["location"] == f"/case/{FILE}/day"
    entry = read_case(path).entries[-1]
    assert isinstance(entry, CourseChosen)
    assert entry.reason == "mildest; sums worked out again: J. Amsel"
    assert entry.stop_signs == "gasping"


@pytest.mark.parametrize("left_open", ["label_read", "second"])
def test_a_check_left_open_is_refused_and_keeps_the_others(
    copied: Copied, salt: str, left_open: str
) -> None:
    client, path = copied
    before = path.read_bytes()
    sent = {name: text for name, text in AGREED.items() if name != left_open}
    reply = client.post(START, data={"name": salt, **sent})
    assert reply.status_code == 422
    assert "E-PLAN-09" in reply.text
    assert f'href="#{left_open}"' in reply.text
    assert ">gasping<" in reply.text
    assert 'value="mildest"' in reply.text
    assert path.read_bytes() == before


def test_a_course_that_bears_danger_has_no_button_and_is_refused(copied: Copied) -> None:
    """Copper without a measured alkalinity: UF/IFAS FA008 gives no dose for it (as on file)."""
    client, path = copied
    steps = (Dose(18, "main", "copper_sulphate", 50.0, True),)
    name = offered(path, "copper", *steps, label="copper_sulphate=99 % w/w as CuSO4.5H2O")
    before = path.read_bytes()
    page = client.get(START, params={"name": name}).text
    assert "Do not start" in page
    assert "Start this course" not in page
    reply = client.post(START, data={"name": name, **AGREED})
    assert reply.status_code == 409
    assert "E-PLAN-08" in reply.text
    assert path.read_bytes() == before


def test_a_course_for_a_case_that_moved_on_is_not_started(copied: Copied, salt: str) -> None:
    client, path = copied
    client.post(f"/case/{FILE}/enter/note", data={"w.text": "one more"})
    before = path.read_bytes()
    reply = client.post(START, data={"name": salt, **AGREED})
    assert reply.status_code == 409
    assert "E-WEB-04" in reply.text
    assert path.read_bytes() == before
