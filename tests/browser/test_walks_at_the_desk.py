"""A marine, a cold-water and a virus case at the desk by keyboard, from the call to the all-clear.

The rows are those of the scenarios' own tests, typed into the forms; each page on the way is sound
for all (axe-core 4.14.1) and names no command.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser
from tests.browser.conftest import serving, window
from tests.browser.typing_rows import type_rows
from tests.browser.walking import (
    DESK,
    all_clear,
    at,
    check_and_start,
    opened,
    picked,
    sound,
    started,
    ticked,
)
from tests.scenarios import test_mill_race as mill
from tests.scenarios import test_quay_house as quay
from tests.scenarios.care_cases.stories import STORIES

PAGES = ("story", "tank", "water", "look", "fits", "course", "day", "follow", "forecast", "record",
         "why", "letter/laboratory", "letter/quarantine", "amount", "correct/2")  # fmt: skip
KOI = STORIES["koi_virus"]
POND = ["--name", "Mill Pond", "--keeper", "J. Amsel", "--water", "fresh", "--opened",
        "2026-07-03", "--zone", "Europe/London", "--country", "GB"]  # fmt: skip


@pytest.mark.slow
@pytest.mark.timeout(3000)
def test_quay_house_from_the_call_to_the_all_clear(browser: Browser, tmp_path: Path) -> None:
    """T22 velvet is not missed, T30 whole tank or hospital, T39 days that count.

    0.18 mg/L of copper in 120.6 L is 85 mg of the crystals (the scenario's expert), and
    86 mg of crystals of 99 % w/w.
    """
    with serving(tmp_path, quay.EVENING) as served:
        context, desk = window(browser, served, **DESK)
        base = opened(desk, quay.OPENING)
        type_rows(desk, base, quay.CALL)
        at(desk, f"{base}/fits", "03-fits")
        assert "Marine velvet" in desk.page.locator(".miss").inner_text()
        type_rows(
            desk, base, [("suspected", "condition=MVELVET", "shown_by=gill clip"), *quay.MOVED]
        )
        at(desk, f"{base}/tank", "04-tank")
        asked = "agent=copper+sulphate&strength=0.18+mg/L+as+Cu&system=hospital"
        assert "0.086 g" in at(desk, f"{base}/amount?{asked}", "04-amount")
        started(desk, base, "Copper")
        assert "Display stands without fish" in at(desk, f"{base}/day")
        assert "with what is there" in at(desk, f"{base}/amount?{asked}", "08-amount")
        sound(desk, base, PAGES)
        context.close()
    with serving(tmp_path, "2026-07-20T18:00+02:00") as served:
        context, desk = window(browser, served, **DESK)
        type_rows(desk, base, [
            ("count", "group=clown", "method=gill-clip", f"velvet-cells={cells}",
             f"on=2026-06-{6 + day:02d}T18:00")
            for day, cells in ((2, 25), (4, 4), (7, 0), (10, 0), (14, 0))
        ])  # fmt: skip
        type_rows(desk, base, [
            ("water", "system=hospital", f"copper={mg_l} mg/L as Cu", f"on=2026-06-{6 + day:02d}")
            for day, mg_l in ((1, 0.12), (2, 0.18), (3, 0.19), (5, 0.11), (6, 0.18))
        ])  # fmt: skip
        assert "Days at strength" in at(desk, f"{base}/follow", "09-follow")
        assert "Quay House" in at(desk, "/")
        all_clear(desk, base, served)
        context.close()


@pytest.mark.slow
@pytest.mark.timeout(3000)
def test_mill_race_from_the_call_to_the_all_clear(browser: Browser, tmp_path: Path) -> None:
    """T28 when again: not before day 37, last positive and the slow cycle at 11 C."""
    with serving(tmp_path, "2026-03-16T18:30+00:00") as served:
        context, desk = window(browser, served, **DESK)
        base = opened(desk, mill.OPENING)
        type_rows(desk, base, [*mill.ROWS, *mill.BOTH])
        started(desk, base, "salt")
        sound(desk, base, PAGES)
        context.close()
    with serving(tmp_path, "2026-04-25T18:30+01:00") as served:
        context, desk = window(browser, served, **DESK)
        later = []
        for march, spots in mill.COUNTS:
            day = int(march)
            on = f"2026-03-{day}" if day < 32 else f"2026-04-{day - 31:02d}"
            later.append(("count", "group=minnow", f"spots=mean {spots}", f"on={on}T18:00"))
        type_rows(desk, base, later)
        assert "NOT BEFORE Wed 22 Apr 2026" in at(desk, f"{base}/follow", "09-follow")
        all_clear(desk, base, served)
        context.close()


@pytest.mark.slow
@pytest.mark.timeout(3000)
def test_mill_pond_from_the_call_to_the_all_clear(browser: Browser, tmp_path: Path) -> None:
    """T25 act before a result is there, T34 when to end suffering; a virus is never dosed."""
    with serving(tmp_path, "2026-07-03T18:30+01:00") as served:
        context, desk = window(browser, served, **DESK)
        base = opened(desk, POND)
        type_rows(desk, base, KOI.at_call)
        assert "Telephone the fish health" in at(desk, f"{base}/day", "02-day-of-care")
        assert "When to end suffering" in at(desk, f"{base}/plans")
        picked(desk, base, "isolate")
        check_and_start(desk)
        ticked(desk)
        desk.shot("07-day")
        sound(desk, base, PAGES)
        assert "gill" in at(desk, f"{base}/letter/laboratory", "08-laboratory")
        assert "Not an all-clear yet" in at(desk, f"{base}/letter/all-clear")
        context.close()
    with serving(tmp_path, "2026-07-22T18:30+01:00") as served:
        context, desk = window(browser, served, **DESK)
        type_rows(desk, base, KOI.after)
        assert "The authority says when it is over" in at(desk, f"{base}/follow", "09-follow")
        all_clear(desk, base, served)
        context.close()
