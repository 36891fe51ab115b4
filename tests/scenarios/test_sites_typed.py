"""What was seen stays what was seen: each fish, site and water keeps its finding, as typed.

Invented: two tanks at the Weir. What a finding says of a cause is in the tables; held here is which
finding reaches them, whatever was typed before and after it.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from tankside.records.case_file import read_case
from tankside.services.differential_case import evidence_of

Run = Callable[..., Any]
Typing = Callable[[str, list[list[str]], list[list[str]]], Path]

OPENING = ["--name", "Weir", "--keeper", "Nora Lind", "--water", "fresh",
           "--opened", "2026-05-04", "--zone", "Etc/UTC"]  # fmt: skip
TANK = [
    ["system", "inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm"],
    ["stock", "platy", "name=platy", "host=xiphophorus_maculatus", "count=12", "length=4 cm"],
    ["water", "on=2026-05-04", "temperature=24 C", "ph=7.5"],
]
NUMBER = count()
SLIDE = ["wet-mount", "skin-scrape", "on=2026-05-04T10:00"]
PROOF = [*SLIDE, "fish=worst platy", "m_big_ciliate=crescent"]


@pytest.fixture
def tank(typed: Typing) -> Callable[..., Path]:
    """Return what types a case with further rows."""

    def type_case(*rows: list[str]) -> Path:
        return typed(f"weir{next(NUMBER)}", [OPENING], [*TANK, *rows])

    return type_case


def chance(run: Run, file: Path, condition: str, *more: str) -> float:
    ranked = run("differential", str(file), "--json", *more).answer["ranked"]
    return float(next(row["probability"] for row in ranked if row["condition"] == condition))


def answers(file: Path, finding: str, system: str | None = None) -> set[str]:
    asked = () if system is None else (system,)
    return set(evidence_of(read_case(file).view(), *asked).answers[finding])


def test_a_scrape_with_many_and_a_clip_with_few_both_stand_and_many_is_ranked(
    run: Run, tank: Callable[..., Path]
) -> None:
    many = [*SLIDE, "fish=worst platy", "m_disc_ring=many"]
    few = ["wet-mount", "gill-clip", "on=2026-05-04T11:00", "fish=worst platy", "m_disc_ring=few"]
    one_way, other_way = tank(many, few), tank(few, many)
    assert answers(one_way, "m_disc_ring") == answers(other_way, "m_disc_ring") == {"many"}
    shown = run("case", "show", str(one_way)).out
    assert "disc with toothed ring: many, skin scrape, worst platy" in shown
    assert "disc with toothed ring: few, gill clip, worst platy" in shown
    alone = tank(many)
    assert chance(run, one_way, "TRICHO") == pytest.approx(chance(run, alone, "TRICHO"))


@pytest.mark.parametrize(
    "later",
    [
        "m_big_ciliate=0 of 2",
        "m_big_ciliate=not-looked",
        "m_big_ciliate=?",
        "m_big_ciliate=none",
    ],
)
@pytest.mark.parametrize("on", ["2026-05-04T12:00", "2026-05-06T12:00"])
def test_other_fish_and_unread_answers_never_replace_a_proven_parasite(
    run: Run, tank: Callable[..., Path], later: str, on: str
) -> None:
    file = tank(PROOF, ["wet-mount", "skin-scrape", f"on={on}", later])
    assert answers(file, "m_big_ciliate") == {"crescent_nucleus"}
    assert run("differential", str(file), "--json").answer["ranked"][0]["condition"] == "ICH"


def test_a_later_look_at_the_same_fish_and_site_does_replace_it(
    tank: Callable[..., Path],
) -> None:
    again = ["wet-mount", "skin-scrape", "on=2026-05-20T12:00", "fish=worst platy",
             "m_big_ciliate=none"]  # fmt: skip
    assert answers(tank(PROOF, again), "m_big_ciliate") == {"none"}
    gill = [again[0], "gill-clip", *again[2:]]
    assert answers(tank(PROOF, gill), "m_big_ciliate") == {"crescent_nucleus"}


def test_k_of_n_is_read_on_a_slide_and_by_eye(run: Run, tank: Callable[..., Path]) -> None:
    file = tank(
        [*SLIDE, "m_disc_ring=2 of 3 few", "m_fluke_skin=1 of 3", "m_flat_heart=0 of 3"],
        ["finding", "on=2026-05-04T10:00", "clamped_fins=4 of 12"],
    )
    assert answers(file, "m_disc_ring") == {"few"}
    assert answers(file, "m_fluke_skin") == {"few", "many"}
    assert answers(file, "m_flat_heart") == {"none"}
    assert answers(file, "clamped_fins") == {"yes"}
    shown = run("case", "show", str(file), "--json").answer["findings"]["m_disc_ring"]
    assert [(row["infected"], row["examined"]) for row in shown] == [(2, 3)]


@pytest.mark.parametrize(
    ("typed_answer", "code"),
    [("3 of 2", "E-COUNT-01"), ("0 of 0", "E-COUNT-01"), ("1.5 of 2", "E-COUNT-01")],
)
def test_a_share_that_cannot_be_is_refused_and_nothing_is_kept(
    run: Run, tank: Callable[..., Path], typed_answer: str, code: str
) -> None:
    file = tank()
    before = file.read_bytes()
    for words in (["wet-mount", "skin-scrape", f"m_disc_ring={typed_answer}"],
                  ["count", f"spots={typed_answer}"]):  # fmt: skip
        ran = run("case", "add", str(file), *words, "on=2026-05-04", "--json")
        assert ran.error["code"] == code
    assert file.read_bytes() == before


SECOND_TANK = [
    ["system", "q", "use=quarantine", "inside-length=60 cm", "inside-width=30 cm",
     "water-height=30 cm"],
    ["stock", "tetra", "name=neon tetra", "host=paracheirodon_innesi", "count=10", "length=3 cm",
     "system=q"],
    ["wet-mount", "skin-scrape", "on=2026-05-05T10:00", "group=tetra", "m_disc_ring=many"],
]  # fmt: skip


def test_the_ranking_asks_about_one_water_and_says_which(
    run: Run, tank: Callable[..., Path]
) -> None:
    sick = [*SLIDE, "group=platy", "m_big_ciliate=crescent"]
    rows = [["system", "main", "use=main"], *SECOND_TANK, sick]
    file = tank(*rows)
    evidence = evidence_of(read_case(file).view()).answers
    assert "m_disc_ring" not in evidence
    whole = run("differential", str(file), "--json").answer
    assert (whole["system"], whole["left_out_of_other_water"]) == ("main", 1)
    assert whole["ranked"][0]["condition"] == "ICH"
    other = run("differential", str(file), "--system", "q", "--json").answer
    assert (other["system"], other["left_out_of_other_water"]) == ("q", 1)
    assert "ICH" not in [row["condition"] for row in other["ranked"][:2]]
    assert answers(file, "m_disc_ring", "q") == {"many"}
    text = " ".join(run("differential", str(file), "--system", "q").out.split())
    assert "(system q), as asked." in text
    refused = run("differential", str(file), "--system", "pond", "--json").error
    assert (refused["code"], refused["field"]) == ("E-WORD-02", "system")
    assert "main" in refused["needed"]


def test_what_other_water_holds_changes_nothing_here(run: Run, tank: Callable[..., Path]) -> None:
    sick = [*SLIDE, "group=platy", "m_big_ciliate=crescent"]
    alone, beside = (
        tank(["system", "main", "use=main"], *SECOND_TANK[:2], sick),
        tank(["system", "main", "use=main"], *SECOND_TANK, sick),
    )
    assert evidence_of(read_case(alone).view()) == evidence_of(read_case(beside).view())
    assert chance(run, alone, "ICH") == chance(run, beside, "ICH")


def test_what_names_no_water_is_of_the_water_with_the_sick_fish(
    tank: Callable[..., Path],
) -> None:
    sign = ["finding", "on=2026-05-05T10:00", "flashing=frequent"]
    file = tank(["system", "main", "use=main"], *SECOND_TANK, sign)
    assert answers(file, "flashing") == {"frequent"}
    assert read_case(file).view().main is not None
    in_main = evidence_of(read_case(file).view(), "main").answers
    assert "flashing" not in in_main  # only the fish of q were seen to be ill
