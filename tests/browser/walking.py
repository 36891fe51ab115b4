"""The steps that every walk through a case takes at the desk, by keyboard alone."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tests.browser.conftest import Served, Visit
from tests.browser.typing_rows import type_rows

from tankside.records.case_file import read_case

DESK = {"viewport": {"width": 1280, "height": 900}}
PATIENCE_MS = 900_000
COMMAND = re.compile(r"tankside [a-z]|case add|\s--[a-z]|E-WEB-99")
"""What no page says: a command of a terminal, or that the program is at fault."""


def opened(desk: Visit, opening: Sequence[str]) -> str:
    """Open the case of a scenario; return the address that its pages begin with."""
    words = dict(zip(opening[::2], opening[1::2], strict=True))
    desk.press("New call", role="link")
    for name in ("name", "keeper"):
        desk.type(f"w.{name}", words[f"--{name}"])
    desk.choose("w.water", words["--water"])
    desk.page.locator('[name="w.zone"]').fill("")
    desk.type("w.zone", words["--zone"])
    desk.type("w.on", words["--opened"])
    if country := words.get("--country"):
        desk.type("w.country", country)
    desk.press("Save")
    desk.shot("01-call")
    return desk.page.url.removeprefix(desk.served.base).partition("/look/")[0]


def at(desk: Visit, path: str, step: str = "") -> str:
    """Open a page, wait for its work, keep a picture of it; return its text with plain blanks."""
    desk.open(path)
    desk.page.locator("[data-work]").wait_for(state="detached", timeout=PATIENCE_MS)
    if step:
        desk.shot(step)
    text = desk.page.inner_text("body").replace("\N{NO-BREAK SPACE}", " ")
    assert not COMMAND.search(text), (path, COMMAND.search(text))
    return text


def picked(desk: Visit, base: str, word: str) -> None:
    """Choose the first course whose name holds a word, and go on to its checks."""
    desk.open(f"{base}/plans")
    desk.page.locator('input[name="name"]').first.wait_for(state="attached", timeout=PATIENCE_MS)
    at(desk, f"{base}/plans", "05-plans")
    desk.page.locator(".plancard, .chip", has_text=re.compile(word, re.I)).locator(
        "input"
    ).first.focus()
    desk.page.keyboard.press("Space")
    desk.press("Check and start")


def check_and_start(desk: Visit) -> None:
    """Answer the checks of a course and start it."""
    assert "/start" in desk.page.url, desk.page.inner_text("main")[:600]
    desk.shot("06-check")
    if desk.page.locator('[name="label_read"]').count():
        desk.page.locator('[name="label_read"]').focus()
        desk.page.keyboard.press("Space")
        desk.type("second", "a second person")
    desk.press("Start this course")
    assert desk.page.url.endswith("/day"), desk.page.inner_text("main")[:600]


def ticked(desk: Visit) -> None:
    """Tick the first step of the day card."""
    done = desk.page.get_by_role("button", name="Done").first
    done.focus()
    with desk.page.expect_navigation():
        desk.page.keyboard.press("Enter")


def started(desk: Visit, base: str, word: str) -> None:
    """Choose a course, go through its checks, start it and tick its first step."""
    picked(desk, base, word)
    check_and_start(desk)
    ticked(desk)
    desk.shot("07-day")


def sound(desk: Visit, base: str, pages: Sequence[str]) -> None:
    """Every page is sound for all (axe-core 4.14.1), and none names a command."""
    faults = {}
    for page in pages:
        at(desk, f"{base}/{page}")
        faults[page] = desk.faults()
    faulty = {page: listed for page, listed in faults.items() if listed}
    assert not faulty, faulty


def all_clear(desk: Visit, base: str, served: Served) -> None:
    """Close the case, read its papers, and find it among the closed ones."""
    type_rows(desk, base, [("closed", "outcome=clear", "reason=clean counts past the date")])
    letter = at(desk, f"{base}/letter/all-clear", "10-all-clear")
    assert "All-clear." in letter
    assert "Closed: clear" in at(desk, f"{base}/record", "11-record")
    assert "Closed" in at(desk, "/", "12-today")
    file = base.rsplit("/", 1)[-1]
    assert read_case(served.folder / file).view().closed is not None
    assert desk.complaints == []
    assert [url for url in desk.asked if not url.startswith(served.base)] == []
