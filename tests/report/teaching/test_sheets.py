"""Every teaching sheet: what is on it, its sources, and that it prints."""

from __future__ import annotations

import io
from datetime import date

import pypdf
import pytest

from tankside import library
from tankside.errors import BadInput
from tankside.library.teaching_files import unknown_reasons
from tankside.present.plates import plates
from tankside.present.sheet import sheet_pdf
from tankside.report.teaching.keepers import TITLES
from tankside.report.teaching.shelf import contents, sheet_at
from tankside.services.teaching import (
    FOR_KEEPERS,
    commonest_causes,
    harmful_mistakes,
    keepers_care,
)

ADDRESSES = [address for pages in contents().values() for address, _ in pages]
DAY = date(2026, 3, 18)


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_sheet_prints_with_its_title_and_its_day(address: str, paper: str) -> None:
    sheet = sheet_at(address)
    assert sheet.key == address
    pages = pypdf.PdfReader(io.BytesIO(sheet_pdf(sheet, DAY, paper))).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert sheet.title.split(";")[0][:30] in text
    assert f"Printed {DAY.isoformat()}" in text
    assert all(part.title in text for part in sheet.parts)


def test_the_gallery_holds_every_drawing_with_its_sign() -> None:
    pictures = [picture for part in sheet_at("look-alikes").parts for picture in part.pictures]
    assert {picture.plate for picture in pictures} == set(plates())
    assert all(picture.sign and picture.lines[-1].startswith("Drawing: ") for picture in pictures)
    unsourced = [p for p in pictures if plates()[p.plate].basis == ("general",)]
    assert all("not held to a source" in picture.lines[-1] for picture in unsourced)


def test_each_mistake_says_why_by_cited_statements() -> None:
    mistakes = harmful_mistakes()
    assert len(mistakes) == 5
    for mistake in mistakes:
        assert len(mistake.because) >= 3
        assert all(claim.source for claim in mistake.because)
    said = [line for part in sheet_at("mistakes").parts for line in part.lines]
    assert {str(c.value) for m in mistakes for c in m.because} == set(said)


def test_the_ten_pages_for_keepers_are_the_ten_likeliest_causes_of_the_list() -> None:
    causes = commonest_causes()
    assert len(causes) == 10
    least = min(cause.prior.point for cause in causes)
    named = {cause.id for cause in causes}
    others = [c for c in library.load().conditions.values() if c.id not in named]
    assert all(c.prior.point <= least or c.standing.value != "listed" for c in others)


@pytest.mark.parametrize("cause", [cause.id for cause in commonest_causes()])
def test_a_page_for_keepers_says_the_care_and_leaves_others_decisions_to_them(cause: str) -> None:
    care = keepers_care(cause)
    sheet = sheet_at(f"keepers/{cause.lower()}")
    said = {part.title: part.lines for part in sheet.parts}
    assert set(FOR_KEEPERS) == set(TITLES)
    for section, statements in care.sections.items():
        assert said[TITLES[section]] == tuple(s.spoken for s in statements)
    assert {"Now, in this minute", "What does harm", "When it may be over"} <= set(said)
    steps = [s for part, listed in care.sections.items() if part.value in ("now", "today")
             for s in listed]  # fmt: skip
    assert {s.decides.value for s in steps} == {"keeper"}
    assert max(len(line.split()) for lines in said.values() for line in lines) <= 40
    assert any("No amount of any medicine" in line for line in said["Medicine"])


def test_the_example_gives_reasons_and_the_ranking_at_every_step() -> None:
    parts = sheet_at("example").parts
    assert len(parts) == 7
    assert all(part.lines[-1].startswith("What fits now: ") and part.basis for part in parts)
    assert "almost certain" in parts[-1].lines[-1]


def test_a_sheet_that_is_not_there_is_refused() -> None:
    for address in ("nothing", "keepers/khv", "life-cycle/"):
        with pytest.raises(BadInput) as refused:
            sheet_at(address)
        assert refused.value.code == "E-LEARN-01"


def test_a_planted_reason_without_a_claim_is_found(tmp_path: object) -> None:
    from pathlib import Path

    from tankside.library.house import House

    folder = Path(str(tmp_path)) / "teaching"
    folder.mkdir()
    (folder / "x.toml").write_text(
        '[case]\nid = "x"\nlevel = 1\ntitle = "X"\ncall = "X"\ntruth = ["ICH"]\npublished = []\n'
        '[[step]]\nshows = "X"\nask = "X"\nseen = {}\n'
        '[[step.choice]]\nwords = "X"\nharm = 0\nminutes = 1\nbecause = ["care.ich.now.nothing"]\n',
        encoding="utf-8",
    )
    problems = list(unknown_reasons(House(folder.parent, (), {}, ())))
    assert [problem.key for problem in problems] == ["care.ich.now.nothing"]
