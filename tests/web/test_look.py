"""An examination: taps become entries, all or none; what fits moves before anything is saved."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.served_pages import served
from tests.web.test_pages import Parsed

from tankside.case.seen import Finding, WetMount
from tankside.library.diagnosis_files import load_diagnosis
from tankside.present.plates import plate_svg, plates, plates_by_answer
from tankside.quantity import Kind
from tankside.records.case_file import read_case
from tankside.services.cases import add_words

from .conftest import FILE

LOOK = f"/case/{FILE}/look"
SCRAPE = {
    "sample": "skin_scrape",
    "alive": "yes",
    "slide_age_min": "4",
    "fish": "worst platy",
    "f.m_disc_ring": "none",
    "f.m_attached_dino": "yes",
    "f.gill_look": "pale_slimy",
}


@pytest.fixture
def copied(folder: Path, tmp_path: Path) -> tuple[TestClient, Path]:
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path), tmp_path / FILE


def test_a_sitting_is_saved_as_one_slide_and_a_finding_each(
    copied: tuple[TestClient, Path],
) -> None:
    client, path = copied
    before = read_case(path).version
    answer = client.post(f"{LOOK}/scrape", data=SCRAPE, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    slide, finding = read_case(path).entries[before:]
    assert (slide.kind, finding.kind) == ("wet_mount", "finding")
    assert isinstance(slide, WetMount)
    assert isinstance(finding, Finding)
    seen = {look.finding: (look.state, *look.answers) for look in slide.looks}
    assert seen == {"m_disc_ring": ("none",), "m_attached_dino": ("answered", "yes")}
    assert (slide.fish, slide.alive) == ("worst platy", "yes")
    assert slide.slide_age is not None
    assert slide.slide_age.measured(Kind.TIME).text == "4 min"
    assert finding.looked.finding == "gill_look"


@pytest.mark.parametrize(
    ("changed", "code"),
    [({"f.m_disc_ring": "purple"}, "E-FIND-02"), ({"f.nothing": "yes"}, "E-FIND-01")],
)
def test_a_refused_answer_saves_nothing_of_the_sitting_and_keeps_the_taps(
    copied: tuple[TestClient, Path], changed: dict[str, str], code: str
) -> None:
    client, path = copied
    before = path.read_bytes()
    answer = client.post(f"{LOOK}/scrape", data=SCRAPE | changed)
    assert answer.status_code == 422
    assert code in answer.text
    assert path.read_bytes() == before
    tags = [a for tag, a in Parsed(answer.text).tags if a.get("name") == "f.m_attached_dino"]
    assert [a["value"] for a in tags if "checked" in a] == ["yes"]


def test_nothing_answered_is_refused_and_not_saved(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    before = path.read_bytes()
    answer = client.post(f"{LOOK}/scrape", data={"sample": "skin_scrape"})
    assert answer.status_code == 422
    assert "Nothing was looked at." in answer.text
    assert path.read_bytes() == before


def test_what_fits_moves_with_a_tap_and_nothing_is_written(
    copied: tuple[TestClient, Path],
) -> None:
    client, path = copied
    add_words(path, "suspected", ("condition=ICH", "shown_by=eye"), by="test")
    before = path.read_bytes()
    quiet = client.post(f"{LOOK}/scrape/ahead", data={"sample": "skin_scrape"})
    moved = client.post(f"{LOOK}/scrape/ahead", data=SCRAPE)
    assert quiet.status_code == moved.status_code == 200
    assert "velvet" not in Parsed(quiet.text).text.split("White spot")[0].lower()
    assert "velvet" in moved.text.lower()
    assert path.read_bytes() == before


def test_no_order_is_shown_beside_the_questions_before_the_own_idea(client: TestClient) -> None:
    text = Parsed(client.get(f"/case/{FILE}/look/scrape").text).text
    assert "Keep in mind, in no order" in text
    assert "almost certain" not in text


def test_every_drawing_shows_an_answer_that_can_be_given() -> None:
    findings = load_diagnosis().findings
    for shown in plates_by_answer():
        finding, _, answer = shown.partition("=")
        assert answer in findings[finding].answers, shown
    assert len(plates()) > 35


@pytest.mark.parametrize("name", plates())
def test_a_drawing_takes_the_ink_of_the_page_has_its_bar_and_runs_nothing(name: str) -> None:
    svg = (plate_svg(name) or b"").decode()
    assert f'id="{name}"' in svg
    assert "currentColor" in svg
    assert "data-length" in svg
    for banned in ("<script", "<image", 'href="http', "onload", "<style", "<foreignObject"):
        assert banned not in svg
    assert plates()[name].bars
    assert plates()[name].basis
