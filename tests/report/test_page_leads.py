"""Each page of pieces leads with what the case says there."""

from __future__ import annotations

from pathlib import Path

import pytest

from tankside.present.blocks import Page, Words
from tankside.report.page import open_case
from tankside.report.page_leads import led, page_lead
from tankside.services.cases import Opening, add_words, new_case

PRESENT = "2026-03-18T18:30+00:00"


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", PRESENT)
    path = tmp_path / "kiln-lane.jsonl"
    new_case(path, Opening("Kiln Lane", "H. Marlow", "fresh", "Europe/London"), by="test")
    return path


def leads(path: Path) -> dict[str, str]:
    return {key: page_lead(key, open_case(path)) for key in ("story", "tank", "water", "follow")}


def test_an_empty_case_says_what_is_missing(case: Path) -> None:
    assert leads(case) == {
        "story": "Day 0: 0 findings, no count yet.",
        "tank": "The volume is not measured; nobody said who lives in it.",
        "water": "No water was tested yet.",
        "follow": "",
    }


def test_what_was_measured_and_counted_leads(case: Path) -> None:
    """98 x 38 x 42 cm = 156.4 L."""
    for kind, *words in (
        ("system", "inside-length=98 cm", "inside-width=38 cm", "water-height=42 cm"),
        ("stock", "platy", "name=platy", "count=6", "length=5 cm"),
        ("water", "temperature=24.2 C"),
        ("suspected", "condition=ICH", "shown-by=eye"),
        ("count", "spots=14", "fish=worst platy"),
    ):
        add_words(case, kind, words, by="test")
    said = leads(case)
    assert said["story"] == "Day 0: 14 spots at the last count."
    assert said["tank"] == "156 L, measured one way; 6 fish in it."
    assert said["water"] == "Last tested Wed 18 Mar 2026; 24.2\N{NO-BREAK SPACE}C."
    assert said["follow"].startswith("Do not stop before ")
    add_words(case, "closed", ("outcome=clear", "reason=clean"), by="test")
    assert "clear" in page_lead("story", open_case(case))


def test_what_is_done_first_leads_a_page_of_care_and_stands_there_once(case: Path) -> None:
    first = Words("First", ("Next hour: air on.", "Today: a test."))
    page = led(Page("day", "Day card", "", (first, Words("Never", ("no salt",)))), open_case(case))
    assert page.lead == "Next hour: air on."
    assert [block.lines for block in page.blocks if isinstance(block, Words)] == [
        ("Today: a test.",),
        ("no salt",),
    ]


def test_the_judgement_leads_a_follow_up_of_care(case: Path) -> None:
    judged = Words("Follow-up of Velvet", ("GO ON.", "Look again.", "On Friday."))
    page = led(Page("follow", "Follow-up", "", (Words("First", ("x",)), judged)), open_case(case))
    assert page.lead == "GO ON. Look again."
