"""One case from call to day card in the browser, by keyboard alone; every page on the way is sound.

The case is the first scenario of the project's own testers: an invented tank with white spot.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser
from tests.browser.conftest import Served, Visit, window
from tests.browser.walking import check_and_start

from tankside.records.case_file import read_case

CASE = "/case/elm-road.jsonl"
PAGES = ("story", "tank", "water", "look", "look/scrape", "fits", "plans", "course", "day", "enter",
         "enter/water", "enter/finding", "enter/system", "enter/stock", "record", "why", "amount",
         "letter/all-clear", "letter/laboratory", "letter/quarantine", "correct/2",
         "correct/9")  # fmt: skip
CLAIM, SOURCE = "/claim/agent.sodium_chloride.dose.prolonged", "/source/mifsud_rowland_2008"
SIZES = ((1280, "light"), (1280, "dark"), (390, "light"), (320, "dark"))


def enter(desk: Visit, word: str, **typed: str) -> None:
    """Fill in a form of the case; a value is ``text``, ``text|unit`` or ``=choice``."""
    desk.open(f"{CASE}/enter/{word}")
    for key, said in typed.items():
        if said.startswith("="):
            desk.choose(f"w.{key}", said[1:])
        else:
            text, _, unit = said.partition("|")
            desk.type(f"w.{key}", text, unit)
    desk.press("Save")
    assert "saved=" in desk.page.url, desk.page.inner_text("main")


def look(desk: Visit, word: str, seen: dict[str, str], **typed: str) -> None:
    """Fill in what was looked at."""
    desk.open(f"{CASE}/enter/{word}")
    for key, said in typed.items():
        if said.startswith("="):
            desk.choose(f"w.{key}", said[1:])
        else:
            desk.type(f"w.{key}", said)
    for number, (name, value) in enumerate(seen.items()):
        desk.type(f"k.{number}", name)
        desk.type(f"v.{number}", value)
    desk.press("Save")
    assert "saved=" in desk.page.url, desk.page.inner_text("main")


def test_a_case_is_told_from_call_to_day_card(desk: Visit) -> None:
    desk.press("New call", role="link")
    desk.type("w.name", "Elm Road")
    desk.type("w.keeper", "Marta Vell")
    desk.choose("w.water", "fresh")
    desk.press("Save")
    assert desk.page.url.endswith(f"{CASE}/look/call")
    desk.choose("f.breathing", "fast")
    desk.choose("f.mortality", "none")
    desk.press("Save the call")
    assert f"{CASE}/enter/system" in desk.page.url
    enter(desk, "system", inside_length="118|cm", inside_width="38|cm", water_height="41|cm",
          takes_away="11 L gravel", adds="6 L filter", hose="14 L/min for 12.5 min",
          label="216|L", carbon="=yes", tap="=none")  # fmt: skip
    for name, count, length in (("cardinal tetra", "12", "3"), ("clown loach", "2", "9")):
        enter(desk, "stock", name=name, count=count, length=f"{length}|cm")
    enter(
        desk, "water", temperature="25.5|C", ph="7.4", ammonia="0.3|mg/L as N",
        nitrite="0|mg/L as N", oxygen="7.2|mg/L",
    )  # fmt: skip
    look(desk, "finding", {"flashing": "frequent", "spot_size": "grain", "breathing": "fast"})
    look(
        desk,
        "wet_mount",
        {"m_big_ciliate": "7 crescent"},
        sample="=skin_scrape",
        fish="worst loach",
    )
    look(desk, "count", {"spots": "44"}, fish="worst loach")
    enter(desk, "suspected", condition="white spot", shown_by="skin scrape")
    enter(desk, "label", agent="salt", strength="pure", scale="1|g")
    desk.open(f"{CASE}/fits")
    assert "White spot" in desk.page.inner_text("main")
    desk.open(f"{CASE}/plans")
    for _ in range(120):
        if desk.page.locator('input[name="name"]').count():
            break
        desk.page.wait_for_timeout(1000)
    desk.page.locator(".plancard", has_text="salt to 2").locator("input").first.focus()
    desk.page.keyboard.press("Space")
    desk.press("Check and start")
    check_and_start(desk)
    assert f"{CASE}/day" in desk.page.url, desk.page.inner_text("main")
    done = desk.page.get_by_role("button", name="Done").first
    step = (done.get_attribute("aria-label") or "").removeprefix("Done: ")
    done.focus()
    with desk.page.expect_navigation():
        desk.page.keyboard.press("Enter")
    assert f"Take back the answer to {step}" in desk.page.content()
    kinds = [entry.kind for entry in read_case(desk.served.folder / "elm-road.jsonl").entries]
    assert kinds[-2:] == ["course_chosen", "action_done"]


@pytest.mark.parametrize(("width", "scheme"), SIZES)
def test_every_page_is_sound_for_all(
    browser: Browser, served: Served, width: int, scheme: str, desk: Visit
) -> None:
    """axe-core 4.14.1, all its rules; WCAG 2.2, 1.4.10 for the sideways scroll."""
    del desk
    looks = {"viewport": {"width": width, "height": 800}, "color_scheme": scheme}
    context, visit = window(browser, served, **looks)
    faults: dict[str, list[str]] = {}
    for path in (
        "/",
        "/new",
        "/emergency",
        "/claim",
        CLAIM,
        SOURCE,
        *(f"{CASE}/{page}" for page in PAGES),
    ):
        visit.open(path)
        faults[path] = visit.faults()
        wide = visit.page.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            faults[path].append(f"scrolls sideways: {wide}")
    assert {path: listed for path, listed in faults.items() if listed} == {}
    assert visit.complaints == []
    assert [url for url in visit.asked if not url.startswith(served.base)] == []
    context.close()


def test_a_refused_form_takes_the_focus_and_keeps_what_was_typed(desk: Visit) -> None:
    desk.open(f"{CASE}/enter/water")
    desk.type("w.temperature", "25,5")
    desk.press("Save")
    assert desk.page.evaluate("document.activeElement.id") == "mistake"
    assert desk.page.input_value('[name="w.temperature"]') == "25,5"
    assert desk.faults() == []


def test_no_case_is_left_half_written(served: Served) -> None:
    kept = [path.name for path in served.folder.iterdir() if not path.name.startswith(".")]
    assert kept == ["elm-road.jsonl"]
