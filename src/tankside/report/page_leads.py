"""The sentence that matters on each page made of pieces: what the case says there, in short."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from tankside.case import CaseView
from tankside.present.blocks import Page, Words
from tankside.quantity.dates import day_words
from tankside.report.care_document import FIRST, JUDGED
from tankside.report.case_words import closed_words, temperature_words
from tankside.report.page import OpenCase
from tankside.services.board import counts_of, earliest_day


def page_lead(key: str, case: OpenCase) -> str:
    """Return the sentence that leads a page; "" where its pieces have one of their own.

    Args:
        key: the page.
        case: the case.
    """
    made = LEADS.get(key)
    return "" if made is None else made(case.view)


def led(page: Page, case: OpenCase) -> Page:
    """Return a page with the sentence that leads it.

    A page of care has no sentence of its own: what is done first leads it, and its judgement the
    follow-up.

    Args:
        page: the page.
        case: the case.
    """
    lead = page.lead or page_lead(page.key, case)
    if lead:
        return replace(page, lead=lead)
    for begins in (JUDGED, FIRST):
        for block in page.blocks:
            if isinstance(block, Words) and block.title.startswith(begins) and block.lines:
                return _led_by(page, block, 2 if begins == JUDGED else 1)
    return page


def _led_by(page: Page, block: Words, taken: int) -> Page:
    """Return a page led by the first lines of one of its pieces; they are not said twice."""
    rest = replace(block, lines=block.lines[taken:])
    blocks = (rest if other is block else other for other in page.blocks)
    kept = tuple(b for b in blocks if b is not rest or rest.lines)
    return replace(page, lead=" ".join(block.lines[:taken]), blocks=kept)


def _story(view: CaseView) -> str:
    if view.closed is not None:
        return f"{closed_words(view).capitalize()}."
    what, counts = counts_of(view)
    day = f"Day {view.day(view.last_moment())}"
    if counts:
        return f"{day}: {counts[-1].number:g} {what.replace('_', ' ')} at the last count."
    return f"{day}: {len(view.findings)} findings, no count yet."


def _tank(view: CaseView) -> str:
    main = view.main
    alive = sum(group.alive or 0 for group in view.stock.values() if group.living == "fish")
    fish = f"{alive} fish in it" if view.stock else "nobody said who lives in it"
    if main is None or main.volume.point_l is None:
        return f"The volume is not measured; {fish}."
    ways = "measured two ways" if main.volume.second_l is not None else "measured one way"
    return f"{main.volume.point_l:.0f} L, {ways}; {fish}."


def _water(view: CaseView) -> str:
    tests = len(view.water_tests)
    if not tests:
        return "No water was tested yet."
    last = max(view.water_tests, key=lambda test: test.moment.utc)
    words = temperature_words(view).partition(" on ")[0]
    return f"Last tested {day_words(last.moment.day)}; {words}."


def _follow(view: CaseView) -> str:
    earliest = earliest_day(view)
    return "" if earliest is None else f"Do not stop before {day_words(earliest)}."


LEADS: Mapping[str, Callable[[CaseView], str]] = {
    "story": _story,
    "tank": _tank,
    "water": _water,
    "follow": _follow,
}
