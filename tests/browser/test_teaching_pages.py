"""The teaching pages in a real browser: light, dark, narrow, on paper, with little motion."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from playwright.sync_api import Browser
from tests.browser.conftest import Served, window

from tankside.report.teaching.shelf import contents

PAGES = [
    "/learn", "/learn/practice", "/learn/practice/pier-nine", "/learn/practice/pier-nine?a=1",
    "/learn/what-if",
    *(f"/learn/{address}" for pages in contents().values() for address, _ in pages),
]  # fmt: skip
LOOKS: Mapping[str, Mapping[str, object]] = {
    "light": {"viewport": {"width": 1280, "height": 900}},
    "dark": {"viewport": {"width": 1280, "height": 900}, "color_scheme": "dark"},
    "narrow": {"viewport": {"width": 360, "height": 780}, "has_touch": True, "is_mobile": True},
}
CYCLE = "/learn/life-cycle/ichthyophthirius_multifiliis"
AT = "(document.querySelector('.cycle circle.mover').getBoundingClientRect().x)"


@pytest.mark.slow
@pytest.mark.parametrize("look", LOOKS)
def test_axe_finds_nothing_and_nothing_scrolls_sideways(
    browser: Browser, served: Served, look: str
) -> None:
    context, visit = window(browser, served, **LOOKS[look])
    for address in PAGES:
        visit.open(address)
        visit.page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        assert visit.faults() == [], address
        wide = visit.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wide <= 0, address
    assert visit.complaints == []
    assert [url for url in visit.asked if not url.startswith(served.base)] == []
    context.close()


@pytest.mark.slow
def test_the_marker_moves_and_can_be_stopped(browser: Browser, served: Served) -> None:
    context, visit = window(browser, served, viewport={"width": 1280, "height": 900})
    visit.open(CYCLE)
    seen = [visit.page.evaluate(AT)]
    visit.page.wait_for_function(f"Math.abs({AT} - {seen[0]}) > 2")
    visit.page.get_by_role("button", name="Stop the marker").click()
    stopped = visit.page.evaluate(AT)
    visit.page.wait_for_timeout(1200)
    assert visit.page.evaluate(AT) == stopped
    context.close()


@pytest.mark.slow
def test_nothing_moves_for_who_asked_for_less_motion_nor_on_paper(
    browser: Browser, served: Served
) -> None:
    context, visit = window(browser, served, reduced_motion="reduce")
    visit.open(CYCLE)
    assert visit.page.locator(".mover:visible").count() == 0
    assert visit.page.locator(".lctime:visible").count() == 4
    context.close()
    context, visit = window(browser, served)
    visit.open(CYCLE)
    visit.page.emulate_media(media="print")
    assert visit.page.locator(".mover:visible").count() == 0
    context.close()


@pytest.mark.slow
def test_the_drawing_follows_the_temperature_that_is_typed(
    browser: Browser, served: Served
) -> None:
    context, visit = window(browser, served)
    visit.open(CYCLE)
    warm = visit.page.locator(".lctime").first.inner_text()
    visit.page.locator('[name="temperature"]').fill("15")
    visit.page.get_by_role("button", name="Draw it").click()
    visit.page.wait_for_url("**temperature=15")
    assert visit.page.locator(".lctime").first.inner_text() != warm
    assert "15 C" in visit.page.locator("h1").inner_text()
    context.close()
