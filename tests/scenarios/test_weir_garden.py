"""Own scenario, Weir Garden (invented): a garden pond with an overflow, formalin of days before.

A pond of 4 m x 2.5 m x 1 m, by box and by hose 10,000 L, with 20 L/h running through it. Formalin
was asked for under another of its names (formol) and nobody said whether it went in. By hand:
300 mL at 1.08 g/mL are 324 g, 32.4 mg/L in 10,000 L; 10,000 g of salt for 1 g/L, 1,000 g for
1,000 L changed; exp(-Q t / V) of a substance is left where Q runs through V. That formalin and
permanganate may explode is in print (UF/IFAS FA-37), as is the limit of 25 mg/L in ponds (US label
of formalin).
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from math import exp
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.conftest import Ran, Typing

Run = Callable[..., Ran]
Answer = dict[str, Any]
Row = list[str]

NOW = "2026-06-14T09:00+00:00"
FIRST = "on=2026-06-12T08:00"
OPENING = ["--name", "Weir Garden", "--keeper", "Agnes Thorsby", "--water", "fresh",
           "--opened", "2026-06-12", "--zone", "Europe/London",
           "--country", "United Kingdom"]  # fmt: skip
POND = ["system", "inside-length=4 m", "inside-width=2.5 m", "water-height=1 m",
        "hose=40 L/min for 250 min", "carbon=no", "uv=no", "plants=no", "invertebrates=no",
        "filter-ripe=yes", "food-fish=no", "tap=none", "air-stone=yes", FIRST]  # fmt: skip
READ = ["water", "temperature=18 C", "ph=7.8", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N",
        "kh=8 dH", "oxygen=8.5 mg/L", "on=2026-06-14T08:00"]  # fmt: skip
KOI = ["stock", "koi", "name=koi", "count=6", "length=40 cm", "life-stage=adult",
       "gill-damage=no", FIRST]  # fmt: skip
HAND = [
    ["label", "agent=salt", "strength=pure", "scale=10 g", FIRST],
    ["label", "agent=permanganate", "strength=pure", "scale=0.1 g", "predissolve=yes",
     "demand-test=yes", "on=2026-06-14T08:00"],
    ["label", "agent=formol", "strength=37 % w/w as formaldehyde", "scale=1 g", "syringe=1 mL",
     "density=1.08 g/mL", "clear-solution=yes", FIRST],
]  # fmt: skip
MEASURED = ["overflow=yes", "inflow=20 L/h"]
ASKED = [
    ["water", *READ[1:-1], FIRST],
    ["dose", "agent=formol", "strength=15 mg/L", "on=2026-06-12T19:00"],
]
ILL = [
    ["finding", "spots_visible=yes", "flashing=frequent", "on=2026-06-14T08:30"],
    ["count", "group=koi", "fish=worst koi", "spots=14", "on=2026-06-14T08:30"],
    ["confirmed", "condition=ich", "shown-by=skin scrape", "on=2026-06-14T08:30"],
]
PLAN = ["--only", "salt", "--strength", "salt=1 g/L", "--change", "1000 L", "--no-warming"]


def pond(typed: Typing, name: str, flow: Row, *more: Row) -> Path:
    return typed(name, [OPENING], [[*POND, *flow], KOI, *HAND, *more, READ])


@pytest.fixture(autouse=True)
def morning(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", NOW)


def dose(run: Run, file: Path, agent: str, strength: str, *words: str) -> Ran:
    return run("dose", "--case", str(file), "--agent", agent, "--strength", strength, *words,
               "--json")  # fmt: skip


def add(run: Run, file: Path, *rows: Row) -> Path:
    for words in rows:
        ran = run("case", "add", str(file), *words)
        assert ran.code == 0, (words, ran.err)
    return file


# The overflow -----------------------------------------------------------------------------------


def test_an_overflow_nobody_measured_stops_the_amount_and_says_how_to_go_on(
    run: Run, typed: Typing
) -> None:
    file = pond(typed, "unmeasured", ["overflow=yes"])
    refused = dose(run, file, "salt", "1 g/L").error
    assert refused["code"] == "S-OVERFLOW"
    assert "inflow=" in refused["next"]
    add(run, file, ["system", "inflow=20 L/h"])
    assert dose(run, file, "salt", "1 g/L").answer["amount"]["value"] == "10000"


def test_an_overflow_that_is_shut_lets_the_amount_through_without_a_word_of_it(
    run: Run, typed: Typing
) -> None:
    file = add(run, pond(typed, "shut", ["overflow=yes"]), ["system", "overflow=no"])
    shown = dose(run, file, "salt", "1 g/L").answer
    assert shown["amount"]["value"] == "10000"
    assert [c for c in shown["cautions"] if c["code"] == "S-OVERFLOW"] == []


def test_an_inflow_that_may_be_off_is_shut_first(run: Run, typed: Typing) -> None:
    file = pond(typed, "off", [*MEASURED, "inflow-off=8 h"])
    assert dose(run, file, "salt", "1 g/L").answer["do"].startswith("Shut the inflow first")


def test_salt_of_two_days_ago_has_run_away_in_part(run: Run, typed: Typing) -> None:
    """10 kg 38 h ago: exp(-20 x 38 / 10,000) = 0.927 of it is there, so 2 g/L take the rest."""
    there = ["in-water", "agent=salt", "amount=10 kg", "on=2026-06-12T20:00"]
    shown = dose(run, pond(typed, "salted", MEASURED, there), "salt", "2 g/L").answer
    left_g = 10_000 * exp(-20 * 38 / 10_000)
    assert float(shown["amount"]["value"]) == pytest.approx(20_000 - left_g, abs=15)


# The dose that was asked for and never answered ---------------------------------------------


@pytest.mark.parametrize("agent", ["salt", "permanganate", "formalin"])
def test_nothing_more_is_weighed_until_the_formol_is_answered_for(
    run: Run, typed: Typing, agent: str
) -> None:
    file = pond(typed, f"asked-{agent}", MEASURED, *ASKED)
    refused = dose(run, file, agent, "1 g/L" if agent == "salt" else "1 mg/L").error
    assert refused["code"] == "E-DOSE-28"
    assert "formol 15 mg/L" in refused["given"]
    assert "answers=" in refused["next"]


def answered(run: Run, typed: Typing, name: str, *words: str) -> Path:
    """The words of the refusal itself are typed, with what the keeper says."""
    file = pond(typed, name, MEASURED, *ASKED)
    number = dose(run, file, "salt", "1 g/L").error["next"].split("answers=")[1].split()[0]
    row = [*words, "action=formol", "agent=formalin", f"answers={number}", "on=2026-06-12T20:00"]
    return add(run, file, row)


def test_permanganate_on_the_formalin_is_refused_with_the_reason_first(
    run: Run, typed: Typing
) -> None:
    file = answered(run, typed, "given", "done")
    refused = dose(run, file, "permanganate", "1 mg/L").error
    assert refused["code"] == "E-DOSE-23"
    assert "explode" in refused["needed"]


def test_the_explosive_pair_is_told_before_what_a_test_of_the_water_would_end(
    run: Run, typed: Typing
) -> None:
    """Whoever is sent to test the demand first is told afterwards that it may explode."""
    file = answered(run, typed, "untested", "done")
    label = [word for word in HAND[1] if not word.startswith("demand-test")]
    refused = dose(run, add(run, file, label), "permanganate", "1 mg/L").error
    assert refused["code"] == "E-DOSE-23"


def test_permanganate_under_the_name_of_formaldehyde_is_refused_too(
    run: Run, typed: Typing
) -> None:
    there = ["in-water", "agent=formaldehyde", "amount=?", "on=2026-06-12T20:00"]
    refused = dose(run, pond(typed, "aldehyde", MEASURED, there), "permanganate", "1 mg/L").error
    assert refused["code"] == "E-DOSE-23"


def test_another_amount_that_went_in_is_the_one_that_counts(run: Run, typed: Typing) -> None:
    """300 mL are 32.4 mg/L, over the limit of 25; little of it is gone after 38 h."""
    file = answered(run, typed, "other", "other-amount", "amount=300 mL")
    refused = dose(run, file, "formalin", "15 mg/L").error
    assert refused["code"] == "E-DOSE-10"
    there = float(refused["needed"].split("with ")[1].split()[0])
    assert 0.5 * 32.4 < there < 32.4 * exp(-20 * 38 / 10_000)


def test_formalin_again_before_72_hours_is_refused_even_below_the_limit(
    run: Run, typed: Typing
) -> None:
    file = answered(run, typed, "again", "done")
    add(run, file, [*HAND[2][:-1], "on=2026-06-14T08:30"])
    refused = dose(run, file, "formalin", "5 mg/L").error
    assert refused["code"] in ("E-DOSE-22", "E-DOSE-10")
    assert "72 h" in str(refused)


def test_what_was_not_given_stands_in_nobodys_way(run: Run, typed: Typing) -> None:
    file = answered(run, typed, "not-given", "not-done")
    assert dose(run, file, "salt", "1 g/L").answer["amount"]["value"] == "10000"
    refused = dose(run, file, "permanganate", "1 mg/L")
    assert "E-DOSE-23" not in refused.out


# Plan, card and follow-up -----------------------------------------------------------------------


@pytest.fixture(scope="module")
def planned(run: Run, typed: Typing) -> tuple[Path, Answer]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        file = add(run, answered(run, typed, "planned", "done"), *ILL)
        compared = run("plan", str(file), *PLAN, "--json").answer
        courses = compared["courses"]
        salted = next(course["id"] for course in courses if course["kind"] == "sodium_chloride")
        assert run("plan", str(file), "--choose", salted).code == 0
    return file, compared


def card(run: Run, file: Path, day: str) -> Answer:
    return run("today", str(file), "--date", day, "--json").answer


def said(shown: Answer) -> list[str]:
    return [line["text"].replace("\u00a0", " ") for line in shown["lines"]]


def test_every_change_says_new_water_and_where_water_with_formalin_may_not_go(
    planned: tuple[Path, Answer],
) -> None:
    changes = [
        action["text"].replace("\u00a0", " ")
        for course in planned[1]["courses"]
        if course["kind"] == "sodium_chloride"
        for action in course["actions"]
        if action["kind"] in ("siphon", "water_change")
    ]
    assert changes
    for text in changes:
        assert "within 1 C of the tank (18 C when read)" in text
        assert "untreated, so without chlorine" in text
        assert "10000 g" not in text
    assert any("Put back 1000 L with 1000 g of salt" in text for text in changes)
    assert "It may hold formalin" in changes[0]
    assert "never to a pond, stream or septic system" in changes[0]


def test_the_card_weighs_10_kg_once_and_takes_care_of_what_runs_through(
    run: Run, planned: tuple[Path, Answer]
) -> None:
    shown = card(run, planned[0], "2026-06-14")
    (salt,) = [text for text in said(shown) if "of salt" in text]
    assert "10000 g of salt, 10 kg" in salt
    assert "New water runs through" in str(shown)


def test_a_step_given_twice_is_counted_twice_and_a_late_one_when_it_was(
    run: Run, planned: tuple[Path, Answer], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """20 kg in place of 10: 2 g/L are there, so no more salt is weighed for 1 g/L."""
    copy = tmp_path / "weir.jsonl"
    shutil.copy(planned[0], copy)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-06-15T08:00+00:00")
    late = ["other-amount", "action=salt", "step=A0-1", "amount=20 kg", "on=2026-06-14T21:00"]
    add(run, copy, late)
    refused = dose(run, copy, "salt", "1 g/L")
    assert refused.code != 0
    assert not [text for text in said(card(run, copy, "2026-06-15")) if "Weigh out" in text]


def test_the_date_to_wait_for_comes_from_the_last_count(
    run: Run, planned: tuple[Path, Answer]
) -> None:
    """Last seen on day 2 and a slow cycle of 10.9 days at 18 C: day 13, 25 June."""
    followed = run("follow", str(planned[0]), "--json").answer
    assert followed["last_seen_day"] == 2
    assert followed["not_before"] == "2026-06-25"
    assert not followed["advice"].startswith("stop")
