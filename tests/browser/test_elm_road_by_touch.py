"""The same case by touch on a phone: from the call to the first tick of the day card.

Every step is reached by a tap from the page before; nothing is opened by its address. The count of
taps, keys and pages is printed, with the time of a practised hand by the keystroke-level model.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page
from tests.browser.conftest import Served, window
from tests.browser.hand import Hand

from tankside.records.case_file import read_case

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
LONGEST_MIN = 12
PATIENCE_S = 180


def on_top(page: Page) -> None:
    """The answer stands in the top fifth, and nothing scrolls sideways."""
    head = page.locator("h1").first.bounding_box()
    assert head is not None
    scrolled = page.evaluate("window.scrollY")
    assert head["y"] + scrolled < 844 / 5, page.url
    assert page.evaluate("document.documentElement.scrollWidth") <= 390, page.url


def enter(hand: Hand, title: str) -> None:
    """Open a form from the list of what can be entered."""
    hand.tap(hand.page.get_by_role("link", name="Steps", exact=True))
    hand.tap(hand.page.locator("#steps").get_by_text("Enter", exact=True), leads_on=True)
    hand.tap(hand.page.locator(".kinds").get_by_text(title, exact=True), leads_on=True)


@pytest.mark.slow
def test_the_case_is_worked_on_a_phone_by_touch(browser: Browser, served: Served) -> None:
    context, visit = window(browser, served, **PHONE)
    page, hand = visit.page, Hand(visit.page)
    hand.follow("New call")
    hand.write("w.name", "Elm Road")
    hand.write("w.keeper", "Marta Vell")
    hand.choose("w.water", "fresh")
    hand.send("Save")
    on_top(page)
    for finding, answer in (("breathing", "fast"), ("mortality", "none"), ("onset_speed", "days"),
                            ("share_affected", "several"), ("flashing", "frequent"),
                            ("spots_visible", "yes"), ("food_taken", "eats"),
                            ("new_fish", "unquarantined_30d"), ("recent_event", "none"),
                            ("chemical_exposure", "none")):  # fmt: skip
        page.locator(f'.sign.here [name="f.{finding}"]').first.wait_for(state="attached")
        hand.choose(f"f.{finding}", answer)
    hand.send("Save the call")
    on_top(page)
    for name, text, unit in (("inside_length", "118", "cm"), ("inside_width", "38", "cm"),
                             ("water_height", "41", "cm"), ("takes_away", "11 L gravel", ""),
                             ("adds", "6 L filter", ""), ("hose", "14 L/min for 12.5 min", ""),
                             ("label", "216", "L")):  # fmt: skip
        hand.write(f"w.{name}", text, unit)
    hand.choose("w.carbon", "yes")
    hand.choose("w.tap", "none")
    hand.send("Save")
    for name, count, length in (("cardinal tetra", "12", "3"), ("clown loach", "2", "9")):
        enter(hand, "Who lives in it")
        hand.write("w.name", name)
        hand.write("w.count", count)
        hand.write("w.length", length, "cm")
        hand.send("Save")
    enter(hand, "A water test")
    for name, text, unit in (("temperature", "25.5", "C"), ("ph", "7.4", "pH"),
                             ("ammonia", "0.3", "mg/L as N"), ("nitrite", "0", "mg/L as N"),
                             ("oxygen", "7.2", "mg/L")):  # fmt: skip
        hand.write(f"w.{name}", text, unit)
    hand.send("Save")
    hand.tap(page.get_by_role("link", name="Steps", exact=True))
    hand.tap(page.locator("#steps").get_by_text("Examination", exact=True), leads_on=True)
    hand.tap(page.get_by_role("link", name="Skin, fin and gill of"), leads_on=True)
    on_top(page)
    hand.write("fish", "worst loach")
    hand.tap(page.get_by_text("All other questions of this sitting"))
    while not page.locator('.sign.here [name="f.m_big_ciliate"]').count():
        hand.tap(page.get_by_role("button", name="On", exact=True))
    with page.expect_response(lambda answer: answer.url.endswith("/ahead")) as ahead:
        hand.choose("f.m_big_ciliate", "crescent_nucleus")
    assert ahead.value.ok
    hand.send("Save: see what fits")
    on_top(page)
    hand.write("w.condition", "white spot")
    hand.send("Write it down")
    assert "White spot: almost certain" in page.locator("h1").inner_text()
    enter(hand, "A label")
    hand.write("w.agent", "salt")
    hand.write("w.strength", "pure")
    hand.write("w.scale", "1", "g")
    hand.send("Save")
    hand.tap(page.get_by_role("link", name="Steps", exact=True))
    hand.tap(page.locator("#steps").get_by_text("Plans", exact=True), leads_on=True)
    on_top(page)
    page.locator('input[name="name"]').first.wait_for(state="attached", timeout=PATIENCE_S * 1000)
    hand.tap(page.locator(".plancard", has_text="salt to 2").locator("label").first)
    hand.send("Check and start")
    on_top(page)
    hand.tap(page.locator('[name="label_read"]').locator("xpath=ancestor::label"))
    hand.write("second", "R. Vell")
    hand.send("Start this course")
    on_top(page)
    hand.tap(page.get_by_role("button", name="Done").first, leads_on=True)
    entries = read_case(served.folder / "elm-road.jsonl").entries
    assert [entry.kind for entry in entries][-2:] == ["course_chosen", "action_done"]
    assert visit.complaints == []
    assert [url for url in visit.asked if not url.startswith(served.base)] == []
    print(f"taps {hand.taps}, keys {hand.keys}, pages {hand.loads}: {hand.minutes:.1f} min")
    assert hand.minutes < LONGEST_MIN
    context.close()
