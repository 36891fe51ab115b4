"""Spots are counted by taps on a phone: every tap counts once, and the last can be taken back."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser
from tests.browser.conftest import NOW, serving, window

from tankside.case.seen import CountMade
from tankside.records.case_file import read_case
from tankside.services import cases

LEAST_PX = 56
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


def test_twenty_taps_and_one_taken_back_are_nineteen(browser: Browser, tmp_path: Path) -> None:
    opening = cases.Opening(
        "Elm Road", "Marta Vell", "fresh", "Europe/London", opened="2026-03-02T17:00"
    )
    cases.new_case(tmp_path / "elm.jsonl", opening, by="test")
    with serving(tmp_path, NOW) as served:
        context, visit = window(browser, served, **PHONE)
        visit.open("/case/elm.jsonl/enter/count")
        more = visit.page.get_by_role("button", name="Tap here: one more")
        back = visit.page.get_by_role("button", name="Take the last one back")
        for control in (more, back):
            box = control.bounding_box()
            assert box
            assert min(box["width"], box["height"]) >= LEAST_PX
        for _ in range(20):
            more.tap()
        back.tap()
        assert "19 counted" in visit.page.inner_text("main")
        assert visit.faults() == []
        visit.shot("count")
        with visit.page.expect_navigation():
            visit.page.get_by_role("button", name="Save", exact=True).last.tap()
        context.close()
    *_, last = read_case(tmp_path / "elm.jsonl").entries
    assert isinstance(last, CountMade)
    assert (last.what, last.number) == ("spots", 19)
