"""The practice cases by touch on a phone: every question of all twenty, one at a time.

Each page is reached by a tap on the page before. The harmless answers are known from the case
files; of each level one case is walked by its most harmful answers too.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page
from tests.browser.conftest import Served, Visit, window

from tankside.claims.teaching import PracticeCase
from tankside.report.teaching.practice import HARM
from tankside.services.practice import best_choice, practice_cases

NARROWEST = {"viewport": {"width": 360, "height": 780}, "has_touch": True, "is_mobile": True}
FIRST_WORD = 30


def tap(page: Page, words: str, role: str = "link") -> None:
    """Tap what leads to the next page."""
    control = page.get_by_role(role, name=words, exact=True)  # type: ignore[arg-type]
    with page.expect_navigation():
        control.locator("visible=true").last.tap()


def fits_the_screen(visit: Visit) -> None:
    page = visit.page
    assert page.evaluate("document.documentElement.scrollWidth") <= 360, page.url
    head = page.locator("h1").first.bounding_box()
    assert head is not None
    assert head["y"] < 780 / 5, page.url


def walk(visit: Visit, case: PracticeCase, *, harmful: bool = False) -> str:
    """Walk a case by taps and return what its last page says of it."""
    page = visit.page
    tap(page, case.title)
    for number, step in enumerate(case.steps, 1):
        assert f"question {number} of {len(case.steps)}" in page.locator("h1").inner_text()
        assert page.locator("form#answer").count() == 1
        assert page.locator(".judged").count() == 0
        fits_the_screen(visit)
        chosen = max(step.choices, key=lambda c: c.harm) if harmful else best_choice(step)
        place = step.choices.index(chosen)
        box = page.locator(f'[name="a"][type="radio"][value="{place}"]')
        size = box.locator("xpath=ancestor::label").bounding_box()
        assert size is not None
        assert size["height"] >= 48
        box.locator("xpath=ancestor::label").tap()
        assert box.is_checked()
        tap(page, "Answer", "button")
        assert HARM[chosen.harm] in page.locator("h1").inner_text()
        assert page.locator(".judged").count() == len(step.choices)
        fits_the_screen(visit)
        if number < len(case.steps):
            tap(page, "Next question")
    return page.locator(".lead").first.inner_text()


@pytest.mark.slow
def test_all_twenty_are_walked_by_touch_and_judged(browser: Browser, served: Served) -> None:
    context, visit = window(browser, served, **NARROWEST)
    visit.open("/learn")
    tap(visit.page, "Practise on twenty cases")
    harmed = {"clay-street", "sluice-house"}
    for case in practice_cases().values():
        said = walk(visit, case)
        assert "The worst answer does no harm" in said, case.id
        assert "as the shortest harmless way" in said, case.id
        tap(visit.page, "Another case")
        if case.id in harmed:
            assert f"The worst answer {HARM[3]}" in walk(visit, case, harmful=True)
            tap(visit.page, "Another case")
    assert list(served.folder.iterdir()) == [], "a practice case became a case"
    assert visit.complaints == []
    assert [url for url in visit.asked if not url.startswith(served.base)] == []
    context.close()


@pytest.mark.slow
def test_an_answer_can_be_given_by_keyboard_without_a_script(
    browser: Browser, served: Served
) -> None:
    context, visit = window(browser, served, java_script_enabled=False)
    visit.open("/learn/practice/chapel-pond")
    visit.page.locator('[name="a"][value="0"]').focus()
    visit.page.keyboard.press("Space")
    with visit.page.expect_navigation():
        visit.page.keyboard.press("Enter")
    assert "This answer does no harm." in visit.page.locator("h1").inner_text()
    context.close()
