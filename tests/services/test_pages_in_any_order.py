"""Whatever was typed first: the same dated observations give the same pages, byte for byte.

Ranking, plan, follow-up and card are asked for through the command line of one case typed in two
random orders. The numbers of entries and the mark of the case file are left out, since they are
the order itself; so is the time the answer took.
"""

from __future__ import annotations

import random
import re
from functools import partial
from pathlib import Path

import pytest
from tests.intake.test_any_order import looked
from tests.report.plan_answers_shown import compared_with
from tests.scenarios.conftest import invoke
from tests.services.salt_case import salt_case

from tankside.case import entry_from
from tankside.follow import Effort, sample_posterior, search
from tankside.intake.clock import VARIABLE
from tankside.plan.compare import Sizes
from tankside.plan.racing import RaceRules
from tankside.records.case_file import create_case, read_case
from tankside.services import follow, plan

PRESENT = "2026-05-20T12:00+00:00"
ORDERS = 40
FEW = Effort(search=24, final=48)
SIGNS = {"flashing": ("occasional", "frequent"), "spots_visible": ("yes",), "breathing": ("fast",),
         "motion": ("whirling", "darting"), "spot_size": ("grain_0p3_1mm", "over_1mm")}  # fmt: skip
SLIDES = {"m_disc_ring": ("few", "many"), "m_big_ciliate": ("crescent_nucleus",),
          "m_fluke_gill": ("few", "many")}  # fmt: skip
ASKED = {
    "ranking": ["differential", "CASE"],
    "follow-up": ["follow", "CASE"],
    "card": ["today", "CASE", "--date", "2026-05-08"],
    "plan": ["plan", "CASE", "--on", "2026-05-08", "--only", "salt", "--no-warming"],
}
MARKS = (
    (re.compile(r'"seconds": [0-9.e-]+'), ""),
    (re.compile(r"[Ff]ile [0-9a-f]{8}"), ""),
    (re.compile(r'"id": "[0-9a-f]{10}'), ""),
    (re.compile(r"\b(entry|entries) [0-9]+"), r"\1 N"),
)
"""What is the order itself: the time taken, marks of file and comparison, numbers of entries."""


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, PRESENT)
    monkeypatch.setattr(follow, "search", partial(search, effort=FEW))
    monkeypatch.setattr(follow, "sample_posterior", partial(sample_posterior, effort=FEW))
    small = Sizes(RaceRules(4, 1, 4), final=16, ablated=1)
    monkeypatch.setattr(plan, "compare", compared_with(small))


def drawn(r: random.Random) -> list[dict[str, object]]:
    """Draw observations of some days, several of them at one moment; no count is told twice."""
    observed: list[dict[str, object]] = []
    for place in range(r.randint(5, 9)):
        at = {"occurred_at": f"2026-05-0{r.choice((4, 4, 5, 7))}T{r.choice((10, 10, 15))}:00+00:00"}
        here = at | r.choice(({}, {"group": "platy"}, {"group": "danio"}))
        fish = r.choice(({}, {"fish": "worst platy"}))
        kind = r.choice(("finding", "wet_mount", "count", "death", "water_test"))
        if kind == "finding":
            observed.append({**here, **fish, "kind": kind, "looked": looked(r, SIGNS)})
        elif kind == "wet_mount":
            aged = r.choice(({}, {"alive": "no"}, {"fields": 4}, {"objective": "4x"}))
            slide = {"sample": "skin_scrape", "looks": [looked(r, SLIDES)], **aged}
            observed.append({**here, **fish, "kind": kind, **slide})
        elif kind == "death":
            observed.append({**here, "kind": kind, "number": 1})
        elif kind == "count":
            stated = r.choice(({"number": r.randint(0, 60)}, {"mean": "4.5"},
                               {"infected": r.randint(0, 3), "examined": 3}))  # fmt: skip
            what = {"fish": f"fish {place}", "what": r.choice(("spots", "trophonts", "gasping"))}
            observed.append({**here, **what, "kind": kind, **stated})
        else:
            oxygen = {"value": str(r.randint(3, 9)), "unit": "mg/L"}
            line = {"what": "oxygen", "state": "answered", "amount": oxygen}
            moment = {"occurred_at": f"2026-05-05T{place:02}:00+00:00"}
            observed.append({**moment, "kind": kind, "system": "main", "readings": [line]})
    return observed


def asked_pages(folder: Path, name: str, observed: list[dict[str, object]]) -> dict[str, str]:
    """Write the case in one order of its observations, and return every page of it."""
    place = folder / name
    place.mkdir(parents=True)
    pages: dict[str, str] = {}
    for course in (True, False):
        begun = read_case(salt_case(place, course=course)).entries
        stamp = {"recorded_at": "2026-05-20T10:00:00Z", "by": "t"}
        typed = [entry_from({"id": n, **seen, **stamp})
                 for n, seen in enumerate(observed, len(begun) + 1)]  # fmt: skip
        file = place / f"{'followed' if course else 'open'}.jsonl"
        create_case(file, (*begun, *typed))
        (place / "weir.jsonl").unlink()
        for page, words in ASKED.items():
            if course == (page != "plan"):
                ran = invoke(*(str(file) if word == "CASE" else word for word in words), "--json")
                pages[page] = plain(ran.out + ran.err, place)
                assert ran.code == 0, (page, ran.out, ran.err)
    return pages


def plain(text: str, place: Path) -> str:
    for mark, instead in MARKS:
        text = mark.sub(instead, text)
    return text.replace(str(place), "")


def orders(folder: Path, seeds: range) -> None:
    for seed in seeds:
        r = random.Random(seed)
        observed = drawn(r)
        said = []
        for name in ("first", "second"):
            r.shuffle(observed)
            said.append(asked_pages(folder / str(seed), name, list(observed)))
        for page in ASKED:
            assert said[0][page] == said[1][page], (seed, page)


def test_any_order_of_typing_gives_the_same_pages(tmp_path: Path) -> None:
    orders(tmp_path, range(2))


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_forty_orders_of_typing_give_the_same_pages(tmp_path: Path) -> None:
    orders(tmp_path, range(2, 2 + ORDERS))
