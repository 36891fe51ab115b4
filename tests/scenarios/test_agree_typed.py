"""Statements that agree, signs that can be seen, deaths not dropped: typed as a keeper does."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Answer, Ran, Typing, add_at, dose, invoke
from tests.scenarios.steps_case import OPENING, TANK, choose

from tankside.course.actions import Count, Siphon
from tankside.course.actions.action import Action

Run = Callable[..., Ran]
NUMBER = count()
REEF = ["--name", "Reef Row", "--keeper", "K. Dunn", "--zone", "Etc/UTC", "--water", "marine",
        "--opened", "2026-03-02T08:00"]  # fmt: skip
SEA = [
    ["system", "inside-length=120 cm", "inside-width=50 cm", "water-height=50 cm",
     "hose=20 L/min for 15 min", "carbon=no", "uv=no", "plants=no", "invertebrates=no",
     "filter-ripe=yes", "food-fish=no", "tap=none"],
    ["stock", "clown", "name=ocellaris clownfish", "count=4", "length=6 cm"],
    ["stock", "tang", "name=yellow tang", "count=2", "length=12 cm"],
    ["water", "temperature=26 C", "ph=8.1", "oxygen=6.5 mg/L", "salinity=35 g/L"],
    ["suspected", "condition=MVELVET", "shown-by=torch"],
]  # fmt: skip
LOOKS: tuple[Action, ...] = tuple(
    step for day in range(2, 20, 2)
    for step in (Count(24 * day + 9, "main", "clown"), Siphon(24 * day + 18, "main", 70))
)  # fmt: skip
PLATY = ["stock", "platy", "name=platy", "host=xiphophorus_maculatus", "count=6", "length=5 cm"]


@pytest.fixture(autouse=True)
def present() -> Iterator[None]:
    """Stand long after the days typed."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", "2026-10-31T18:00+00:00")
        yield


@pytest.fixture
def reef(typed: Typing) -> Callable[..., Path]:
    def made(*rows: list[str]) -> Path:
        path = typed(f"reef{next(NUMBER)}", [REEF], SEA)
        choose(path, LOOKS, days=20)
        for words in rows:
            ran = invoke("case", "add", str(path), *words)
            assert ran.code == 0, (words, ran.err)
        return path

    return made


@pytest.fixture
def tank(typed: Typing) -> Callable[..., Path]:
    def made(*rows: list[str]) -> Path:
        return typed(f"agree{next(NUMBER)}", [OPENING], [*TANK, PLATY, *rows])

    return made


def follow(path: Path, *more: str) -> Answer:
    return invoke("follow", str(path), "--json", *more).answer


def dust(day: int, share: str, *, group: str = "clown") -> list[str]:
    return ["count", f"dust={share}", f"group={group}", f"on={_day(day)}T09:00"]


def scrape(day: int, share: str) -> list[str]:
    return ["count", f"trophonts={share}", "method=skin-scrape", "group=clown",
            f"on={_day(day)}T09:30"]  # fmt: skip


def _day(number: int) -> str:
    return f"2026-03-{2 + number:02d}" if number < 30 else f"2026-04-{number - 29:02d}"


# Signs that can be seen.


def test_dust_is_asked_for_as_dust_on_the_card_and_in_the_follow_up(
    reef: Callable[..., Path],
) -> None:
    path = reef(dust(0, "3 of 4"))
    card = invoke("today", str(path), "--date", _day(2)).out
    text = invoke("follow", str(path)).out
    for page in (card, text):
        assert re.search(r"dust in torchlight.*breaths a minute.*scrape", page)
        assert not re.search(r"(?i)\bspots on the worst fish|spot can be seen", page)
    assert "dust on ____ of ____ fish" in card
    assert "No count yet" not in text


def test_a_case_of_dust_can_come_to_an_end(reef: Callable[..., Path]) -> None:
    """Twenty days: the longest cycle in print for marine velvet (Smith and Schwarz, 7 to 20)."""
    clean = [
        row for day in (8, 14, 20, 24, 28) for row in (dust(day, "0 of 4"), scrape(day, "0 of 4"))
    ]
    early, late = reef(dust(0, "3 of 4"), *clean[:4]), reef(dust(0, "3 of 4"), *clean)
    assert follow(early)["advice"] == "go on"
    answer = follow(late)
    assert answer["not_before_day"] == 20
    assert "may be discussed" in answer["advice"], answer["reasons"]


# Deaths.


def test_deaths_of_no_named_group_count_in_the_share_of_all(
    tank: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ten danios and six platies; one platy named, six of no group: 7 of 16 are 43.8 %."""
    path = tank(["death", "1", "group=platy", "on=2026-03-02T09:00"],
                ["death", "6", "on=2026-03-02T20:00"])  # fmt: skip
    shown = invoke("case", "show", str(path), "--json").answer
    groups = {row["group"]: (row["alive"], row["deaths"]) for row in shown["stock"]}
    # 6 among 10 danios and 5 platies: 4 and 2.
    assert groups == {"danio": (6, 4), "platy": (3, 3)}
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T21:00+00:00")
    asked = dose(invoke, path, "sodium_chloride", "1 g/L").answer
    why = [caution["why"] for caution in asked["cautions"]]
    assert any("Over all animals it is 43.8%" in words for words in why), why  # 7 of 16
    assert "Deaths of no named group" in invoke("case", "show", str(path)).out
    assert any(key.startswith("death.") for key in shown["not_asked"])


def test_three_deaths_are_never_ranked_as_none(tank: Callable[..., Path], run: Run) -> None:
    path = tank(["finding", "mortality=none", "flashing=frequent", "on=2026-03-02T09:00"],
                ["death", "3", "on=2026-03-04T09:00"])  # fmt: skip
    page = run("differential", str(path), "--no-own-idea").out
    assert "deaths = none" not in page.lower()


def test_each_water_is_judged_by_its_own_deaths(tank: Callable[..., Path], run: Run) -> None:
    """Five of six died in a night beside a pond of sixty: a mass death, no few."""
    path = tank(
        ["system", "pond", "inside-length=4 m", "inside-width=3 m", "water-height=1 m"],
        ["stock", "koi", "name=koi", "count=60", "length=20 cm", "system=pond"],
        ["death", "5", "group=platy", "on=2026-03-03T08:00"],
        ["death", "4", "group=danio", "on=2026-03-03T09:00"],
    )
    page = run("differential", str(path), "--no-own-idea").out
    assert "deaths = most within 24 hours" in page.lower()


def test_fewer_parasites_and_more_deaths_send_back_to_the_cause(tank: Callable[..., Path]) -> None:
    path = tank(
        ["count", "spots=40", "fish=worst danio", "group=danio", "on=2026-03-02T09:00"],
        ["count", "spots=2", "fish=worst danio", "group=danio", "on=2026-03-08T09:00"],
        ["death", "2", "group=danio", "on=2026-03-08T10:00"],
    )
    answer = follow(path)
    assert answer["advice"].startswith("look for the cause again")
    assert answer["examine"][0]["reason"] == "another cause"


# Statements that agree.


def test_not_before_is_the_latest_of_its_named_dates_on_every_page(
    reef: Callable[..., Path],
) -> None:
    path = reef(dust(0, "3 of 4"))
    answer = follow(path)
    days = [named["day"] for named in answer["not_before_dates"]]
    assert answer["not_before_day"] == max(days) == 20
    words = answer["not_before_words"]
    for named in ("one cycle", "longest in print", "always waited", "course that is followed"):
        assert named in words
    assert words in invoke("forecast", str(path), "--runs", "20").out.replace("\n", " ")


def test_the_card_names_the_group_that_was_seen_worst(tank: Callable[..., Path]) -> None:
    path = tank(["count", "spots=9", "fish=worst danio", "group=danio", "on=2026-03-02T09:00"])
    choose(path, (*(Count(24 * d + 9, "main", "danio") for d in (1, 3)),))
    for words in (["count", "spots=12", "fish=worst danio", "group=danio"],
                  ["count", "spots=61", "fish=worst platy", "group=platy"]):  # fmt: skip
        assert invoke("case", "add", str(path), *words, "on=2026-03-04T09:00").code == 0
    before = invoke("today", str(path), "--date", "2026-03-03").out
    after = invoke("today", str(path), "--date", "2026-03-05").out
    assert "worst fish (zebra danio)" in before
    assert "worst fish (platy)" in after


def test_a_suspicion_is_not_called_a_confirmed_diagnosis(tank: Callable[..., Path]) -> None:
    assert "diagnosis confirmed" not in invoke("case", "show", str(tank()), "--history").out


def test_day_numbers_are_those_of_the_case(tank: Callable[..., Path]) -> None:
    worst = ("count", "fish=worst danio", "group=danio")
    path = tank([*worst, "spots=2", "on=2026-03-07T09:00"],
                [*worst, "spots=900", "on=2026-03-08T09:00"])  # fmt: skip
    assert {row["day"] for row in follow(path)["foretold"]} <= {5, 6}


def test_an_own_idea_on_the_morning_of_the_case_is_not_in_the_future(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T08:30+00:00")
    path = tmp_path / "idea.jsonl"
    assert invoke("case", "new", str(path), *OPENING).code == 0
    add_at(path, "2026-03-02T08:30+00:00", ["finding", "flashing=frequent", "on=2026-03-02"])
    ran = invoke("differential", str(path), "--own-idea", "ICH")
    assert "Your own first idea: White spot" in ran.out, ran.err


def test_an_own_idea_is_taken_by_its_name(tank: Callable[..., Path]) -> None:
    ran = invoke("differential", str(tank()), "--own-idea", "white spot")
    assert ran.code == 0, ran.err


def test_an_own_idea_with_several_meanings_names_them(tank: Callable[..., Path]) -> None:
    ran = invoke("differential", str(tank()), "--own-idea", "velvet", "--json")
    assert ran.error["code"] == "E-WORD-02"
    assert "MVELVET" in ran.error["needed"]
    assert "FWVELVET" in ran.error["needed"]
