"""Pages as a browser prints them: nothing of the screen's own, whole marks, no page left blank."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.browser.conftest import Served, Visit, serving
from tests.web.conftest import FILE, PRESENT, choose_course, make_case

pytestmark = pytest.mark.slow
BUTTONS = ("Enter what is new", "This page as a PDF", "Check and start", "Lay them over", "Steps")
LEAST_TEXT = 40
"""Signs on a printed page below which it is as good as blank."""


CASE, BARE = f"/case/{FILE}", "/case/bare.jsonl"


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("printed")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", PRESENT)
        choose_course(make_case(folder))
        make_case(folder, file="bare.jsonl")
    with serving(folder, PRESENT) as server:
        yield server


def printed(desk: Visit, address: str, folder: Path) -> list[str]:
    """Print a page in the dark theme; return the text of each sheet."""
    assert shutil.which("pdftotext"), "the print tests need pdftotext (Debian: poppler-utils)"
    desk.open(address)
    desk.page.emulate_media(color_scheme="dark", media="print")
    file = folder / "page.pdf"
    file.write_bytes(desk.page.pdf(format="A4"))
    text = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, check=True)
    return text.stdout.decode().split("\f")[:-1]


@pytest.mark.parametrize("page", ["record", "letter/laboratory", "letter/quarantine", "water",
                                  "tank", "emergency"])  # fmt: skip
def test_a_page_prints_without_buttons_and_without_a_blank_sheet(
    desk: Visit, page: str, tmp_path: Path
) -> None:
    address = "/emergency" if page == "emergency" else f"{CASE}/{page}"
    sheets = printed(desk, address, tmp_path)
    assert all(len(sheet.strip()) > LEAST_TEXT for sheet in sheets), [len(s) for s in sheets]
    lines = {line.strip() for sheet in sheets for line in sheet.splitlines()}
    assert not lines & set(BUTTONS)
    assert any("veterinarian" in line for line in lines)


def test_ink_is_black_on_white_whatever_the_theme(desk: Visit) -> None:
    desk.open(f"{CASE}/record")
    desk.page.emulate_media(color_scheme="dark", media="print")
    ink, paper = desk.page.evaluate(
        "[getComputedStyle(document.querySelector('h1')).color,"
        " getComputedStyle(document.documentElement).backgroundColor]"
    )
    assert (ink, paper) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")


@pytest.mark.parametrize("query", ["", "?step=air&kind=dose", "?step=air&step=carbon_out"])
def test_the_page_on_which_a_course_is_put_together_is_sound_for_all(
    desk: Visit, query: str
) -> None:
    """axe-core finds nothing in either theme."""
    for theme in ("light", "dark"):
        desk.open(f"{BARE}/build{query}")
        desk.page.emulate_media(color_scheme=theme, media="screen")
        assert "Put a course together" in desk.page.inner_text("h1")
        assert desk.faults() == []
    desk.open(f"{CASE}/water")
    assert desk.faults() == []


def test_a_step_is_added_by_keyboard_and_a_wrong_one_keeps_what_was_typed(desk: Visit) -> None:
    desk.open(f"{BARE}/build?kind=siphon")
    desk.page.emulate_media(media="screen")
    desk.type("litres", "thirty")
    desk.press("Add this step")
    assert "NOT ADDED" in desk.page.inner_text("main")
    assert desk.page.locator('[name="litres"]').input_value() == "thirty"
    assert desk.page.evaluate("document.activeElement.id") == "mistake"
    desk.page.locator('[name="litres"]').fill("")
    desk.type("litres", "30 L")
    desk.press("Add this step")
    assert "bottom siphoned once with 30 L" in desk.page.inner_text("main").replace("\xa0", " ")
