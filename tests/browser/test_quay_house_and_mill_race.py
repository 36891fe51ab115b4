"""A marine and a cold-water case at the desk by keyboard, from the call to the all-clear.

The rows are those of the scenarios' own tests, typed into the forms; each page on the way is sound
for all (axe-core 4.14.1) and names no command.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from tests.browser.conftest import Served, Visit, serving, window
from tests.browser.typing_rows import type_rows
from tests.scenarios import test_mill_race as mill
from tests.scenarios import test_quay_house as quay

from tankside.records.case_file import read_case

DESK = {"viewport": {"width": 1280, "height": 900}}
PATIENCE_MS = 300_000
PAGES = ("story", "tank", "water", "look", "fits", "course", "day", "follow", "forecast")


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
    desk.press("Save")
    return desk.page.url.removeprefix(desk.served.base).partition("/look/")[0]


def chosen(desk: Visit, base: str, word: str) -> None:
    """Choose the first course whose name holds a word, and tick its first step."""
    desk.open(f"{base}/plans")
    desk.page.locator('input[name="name"]').first.wait_for(state="attached", timeout=PATIENCE_MS)
    desk.page.locator(".plancard", has_text=word).locator("input").first.focus()
    desk.page.keyboard.press("Space")
    desk.press("Choose and start")
    assert f"{base}/day" in desk.page.url, desk.page.inner_text("main")[:600]
    done = desk.page.get_by_role("button", name="Done").first
    done.focus()
    with desk.page.expect_navigation():
        desk.page.keyboard.press("Enter")


def sound(desk: Visit, base: str) -> None:
    """Every page is sound for all, and none names a command."""
    faults = {}
    for page in PAGES:
        desk.open(f"{base}/{page}")
        desk.page.locator("[data-work]").wait_for(state="detached", timeout=PATIENCE_MS)
        faults[page] = desk.faults()
        assert not re.search(r"tankside [a-z]|case add", desk.page.inner_text("body")), page
    assert {page: listed for page, listed in faults.items() if listed} == {}


def all_clear(desk: Visit, base: str, served: Served) -> None:
    """Close the case, and find it among the closed ones."""
    type_rows(desk, base, [("closed", "outcome=clear", "reason=clean counts past the date")])
    desk.open("/")
    assert "Closed" in desk.page.inner_text("main")
    file = base.rsplit("/", 1)[-1]
    assert read_case(served.folder / file).view().closed is not None
    assert desk.complaints == []
    assert [url for url in desk.asked if not url.startswith(served.base)] == []


@pytest.mark.slow
@pytest.mark.timeout(1500)
def test_quay_house_from_the_call_to_the_all_clear(browser: Browser, tmp_path: Path) -> None:
    with serving(tmp_path, quay.EVENING) as served:
        context, desk = window(browser, served, **DESK)
        base = opened(desk, quay.OPENING)
        type_rows(desk, base, quay.CALL)
        desk.open(f"{base}/fits")
        assert "Marine velvet" in desk.page.locator(".miss").inner_text()
        type_rows(
            desk, base, [("suspected", "condition=MVELVET", "shown_by=gill clip"), *quay.MOVED]
        )
        chosen(desk, base, "Copper")
        sound(desk, base)
        context.close()
    with serving(tmp_path, "2026-07-20T18:00+02:00") as served:
        context, desk = window(browser, served, **DESK)
        later = [
            ("count", "group=clown", "method=gill-clip", f"velvet-cells={cells}",
             f"on=2026-06-{6 + day:02d}T18:00")
            for day, cells in ((2, 25), (4, 4), (7, 0), (10, 0), (14, 0))
        ]  # fmt: skip
        type_rows(desk, base, later)
        desk.open("/")
        assert "Quay House" in desk.page.inner_text("main")
        all_clear(desk, base, served)
        context.close()


@pytest.mark.slow
@pytest.mark.timeout(1500)
def test_mill_race_from_the_call_to_the_all_clear(browser: Browser, tmp_path: Path) -> None:
    with serving(tmp_path, "2026-03-16T18:30+00:00") as served:
        context, desk = window(browser, served, **DESK)
        base = opened(desk, mill.OPENING)
        type_rows(desk, base, [*mill.ROWS, *mill.BOTH])
        chosen(desk, base, "salt")
        sound(desk, base)
        context.close()
    with serving(tmp_path, "2026-04-25T18:30+01:00") as served:
        context, desk = window(browser, served, **DESK)
        later = []
        for march, spots in mill.COUNTS:
            day = int(march)
            on = f"2026-03-{day}" if day < 32 else f"2026-04-{day - 31:02d}"
            later.append(("count", "group=minnow", f"spots=mean {spots}", f"on={on}T18:00"))
        type_rows(desk, base, later)
        desk.open(f"{base}/follow")
        desk.page.locator("[data-work]").wait_for(state="detached", timeout=PATIENCE_MS)
        assert "NOT BEFORE Wed 22 Apr 2026" in desk.page.inner_text("main")
        all_clear(desk, base, served)
        context.close()
