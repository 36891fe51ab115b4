"""A folder with one case in it, made through the services, and a client that knows its name."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.hostile_pictures import jpeg
from tests.served_pages import served

from tankside import library
from tankside.course import Course
from tankside.course.actions import Air, Carbon, Count, Siphon, TakeReading, salt_steps
from tankside.course.actions.action import Action
from tankside.demo import script
from tankside.errors import NotPossible
from tankside.intake.course_codec import encode_course
from tankside.intake.labels import read_labels
from tankside.present.blocks import Words
from tankside.report.page_plans import ComparedCourses
from tankside.services import cases
from tankside.services.photo_upload import upload_photo
from tankside.web.pages import case as case_pages
from tankside.web.pages import plans as plan_pages

FILE = "kiln-lane.jsonl"
PHOTO = 27
"""Number of the entry of that case that comes with a picture."""
PRESENT = "2026-03-18T18:30+00:00"
HOSTILE = "<script>alert(1)</script> \"'&{{7*7}} O'Brien Łódź 李"


def make_case(folder: Path, name: str = "EXAMPLE: Kiln Lane", file: str = FILE) -> Path:
    path = folder / file
    opening = cases.Opening(
        name, HOSTILE[:60], "fresh", script.ZONE, opened=script.OPENED, call=HOSTILE
    )
    cases.new_case(path, opening, by="test")
    entries = (*script.CALL_ENTRIES, *script.TANK_ENTRIES, *script.WATER_ENTRIES,
            *script.EXAM_ENTRIES, *script.CLOSER_ENTRIES, *script.SCRAPE_ENTRIES,
            *script.FIRST_COUNTS)  # fmt: skip
    for entry in entries:
        cases.add_words(path, entry.kind, entry.words, by="test")
    cases.add_words(path, "note", (HOSTILE,), by="test")
    return path


def choose_course(path: Path) -> None:
    actions: tuple[Action, ...] = (
        Air(18, "main", True),
        Carbon(18, "main", False),
        *salt_steps(18, "main", 2.0, 2, 24),
        Count(32, "main", "platy"),
        TakeReading(32, "main", ("temperature", "ammonia")),
        *(Siphon(42 + 24 * day, "main", 30) for day in range(0, 12, 2)),
    )
    labels = read_labels(library.load(), ["sodium_chloride=pure"], "1 g", None)
    chosen = {
        "kind": "course_chosen",
        "occurred_at": "2026-03-18T18:00+00:00",
        "name": "salt to 2 g/L",
        "starts_at": "2026-03-18T00:00+00:00",
        "course": encode_course(Course("salt", 21, actions), labels),
    }
    cases.add_fields(path, [chosen], by="test")


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("cases")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        choose_course(make_case(place))
        attached = upload_photo(place / FILE, jpeg(), file="loach.jpg", by="test")
        assert attached.new[0].id == PHOTO
        make_case(place, name=HOSTILE, file="no-course.jsonl")
    (place / "broken.jsonl").write_text("{}\n", encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        make_case(place.parent, name="secret canary", file="outside.jsonl")
    return place


@pytest.fixture(autouse=True)
def present(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every page be read on the evening of the first day."""
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)


@pytest.fixture(autouse=True)
def no_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out what takes seconds; the commands that do it have tests of their own."""
    done = (Words("What is left", ("worked out",)),)
    monkeypatch.setattr(case_pages, "follow_blocks", lambda *_: done)
    monkeypatch.setattr(case_pages, "forecast_blocks", lambda *_: done)
    refused = NotPossible(
        "E-PLAN-02",
        "No fish.",
        given="no fish",
        needed="fish",
        next_step="Say who lives there.",
        field="stock",
    )
    monkeypatch.setattr(plan_pages, "compare_courses", lambda *_: ComparedCourses(None, refused))


@pytest.fixture(scope="session")
def client(folder: Path) -> TestClient:
    return served(folder, raises=False)
