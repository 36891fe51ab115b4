"""Own scenario, Chandler Row (invented): six tanks of 50 L on one sump of 100 L, one tank parted.

Checked by hand: 6 x 50 + 100 = 400 L, so 400 g of salt for 1 g/L; with tank 3 parted 350 L and
50 L, and what was dissolved before the parting is in both at the same strength; 80 L changed at
1 g/L take 80 g. That copper kills shrimps is in print (UF/IFAS FA-165).
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.conftest import Ran, Typing

Run = Callable[..., Ran]
Answer = dict[str, Any]
Row = list[str]

NOW = "2026-09-07T09:00+00:00"
FIRST = "on=2026-09-05T09:00"
READ = "on=2026-09-07T08:00"
OPENING = ["--name", "Chandler Row", "--keeper", "Ivo Lanner", "--water", "fresh",
           "--opened", "2026-09-05", "--zone", "Europe/London"]  # fmt: skip
CALM = ["carbon=no", "uv=no", "plants=no", "filter-ripe=yes", "food-fish=no", "tap=chlorine",
        "air-stone=yes", "overflow=no", "invertebrates=no"]  # fmt: skip
WATERS = [
    ["system", "sump", "use=fishless", "inside-length=50 cm", "inside-width=50 cm",
     "water-height=40 cm", "meter=100 L", *CALM, FIRST],
    *(["system", f"t{number}", "inside-length=50 cm", "inside-width=40 cm", "water-height=25 cm",
       "meter=50 L", "shares-water-with=sump", *CALM, FIRST] for number in range(1, 7)),
]  # fmt: skip


def fish(group: str, name: str, count: int, system: str) -> Row:
    return ["stock", group, f"name={name}", f"count={count}", "length=4 cm", f"system={system}",
            "life-stage=adult", "gill-damage=no", FIRST]  # fmt: skip


def read(system: str) -> Row:
    return ["water", f"system={system}", "temperature=24 C", "ph=7.6", "ammonia=0 mg/L as N",
            "nitrite=0 mg/L as N", "kh=9 dH", "oxygen=7.6 mg/L", READ]  # fmt: skip


GOLDFISH = fish("gold", "common goldfish", 4, "t1")
MOLLIES = fish("molly", "black molly", 6, "t2")
SHRIMPS = ["stock", "shrimp", "name=cherry shrimp", "count=20", "length=2 cm", "system=t6", FIRST]
HAND = [
    ["label", "agent=salt", "strength=pure", "scale=1 g", FIRST],
    ["label", "agent=copper sulphate", "strength=pure as CuSO4.5H2O", "scale=0.001 g", FIRST],
]
ICH = [
    ["count", "group=gold", "fish=worst goldfish", "spots=12", READ],
    ["confirmed", "condition=ich", "shown-by=skin scrape", READ],
]
SALTED = ["in-water", "agent=salt", "amount=200 g", "system=t4", "on=2026-09-06T08:00"]
PARTED = ["system", "t3", "shares-water-with=none", "on=2026-09-06T20:00"]
PLAN = ["--only", "salt", "--strength", "salt=1 g/L", "--change", "80 L", "--no-warming"]


@pytest.fixture(autouse=True)
def morning(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", NOW)


@pytest.fixture(scope="module")
def row(typed: Typing) -> Path:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        return typed("row", [OPENING], [*WATERS, GOLDFISH, MOLLIES, *HAND, read("t1")])


def with_more(run: Run, file: Path, folder: Path, *rows: Row) -> Path:
    copy = folder / "row.jsonl"
    shutil.copy(file, copy)
    for words in rows:
        ran = run("case", "add", str(copy), *words)
        assert ran.code == 0, (words, ran.err)
    return copy


def dose(run: Run, file: Path, agent: str, strength: str, *words: str) -> Ran:
    return run("dose", "--case", str(file), "--agent", agent, "--strength", strength, *words,
               "--json")  # fmt: skip


def grams(run: Run, file: Path, system: str, strength: str = "1 g/L") -> str:
    answer = dose(run, file, "salt", strength, "--system", system).answer
    return str(answer["amount"]["value"])


# One water ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", ["t1", "t5", "sump"])
def test_every_tank_is_dosed_as_the_whole_of_400_litres(run: Run, row: Path, system: str) -> None:
    assert grams(run, row, system) == "400"


def test_a_shrimp_in_one_tank_bars_copper_for_all_of_them(
    run: Run, row: Path, tmp_path: Path
) -> None:
    alone = dose(run, row, "copper sulphate", "0.1 mg/L as Cu", "--system", "t1")
    assert "cherry shrimp" not in alone.out
    file = with_more(run, row, tmp_path, SHRIMPS)
    for system in ("t1", "t2", "t6", "sump"):
        refused = dose(run, file, "copper sulphate", "0.1 mg/L as Cu", "--system", system).error
        assert refused["code"] == "E-DOSE-26"
        assert "cherry shrimp" in str(refused), system


def test_200_g_in_one_tank_are_half_a_gram_per_litre_in_all(
    run: Run, row: Path, tmp_path: Path
) -> None:
    file = with_more(run, row, tmp_path, SALTED)
    assert {grams(run, file, system) for system in ("t1", "t4", "t6", "sump")} == {"200"}


# A tank is parted ---------------------------------------------------------------------------------


def test_a_parted_tank_keeps_the_strength_and_is_dosed_alone_from_then_on(
    run: Run, row: Path, tmp_path: Path
) -> None:
    """0.5 g/L in both: tank 3 lacks 0.5 x 50 = 25 g, the others 0.5 x 350 = 175 g."""
    gone = fish("danio", "zebra danio", 5, "t3")
    file = with_more(run, row, tmp_path, gone, SALTED, PARTED, read("t3"))
    assert (grams(run, file, "t3"), grams(run, file, "t1")) == ("25", "175")


def test_what_goes_in_after_the_parting_stays_on_its_side(
    run: Run, row: Path, tmp_path: Path
) -> None:
    """100 g more in the sump: 0.5 + 100/350 = 0.786 g/L there, 0.5 g/L in tank 3 as before."""
    gone = fish("danio", "zebra danio", 5, "t3")
    later = ["in-water", "agent=salt", "amount=100 g", "system=sump", "on=2026-09-06T20:30"]
    file = with_more(run, row, tmp_path, gone, SALTED, PARTED, later, read("t3"))
    assert (grams(run, file, "t3"), grams(run, file, "t1")) == ("25", "75")


def test_shrimps_in_the_parted_tank_bar_copper_there_and_there_alone(
    run: Run, row: Path, tmp_path: Path
) -> None:
    moved = ["stock", "shrimp", "name=cherry shrimp", "count=20", "length=2 cm", "system=t3", FIRST]
    file = with_more(run, row, tmp_path, moved, PARTED, read("t3"))
    there = dose(run, file, "copper sulphate", "0.1 mg/L as Cu", "--system", "t3").error
    assert there["code"] == "E-DOSE-26"
    for system in ("t1", "sump"):
        ran = dose(run, file, "copper sulphate", "0.1 mg/L as Cu", "--system", system)
        assert "cherry shrimp" not in ran.out


def test_a_move_of_fish_takes_their_limits_with_them(run: Run, row: Path, tmp_path: Path) -> None:
    """The shrimps go into the tank that was parted: copper is free of them in the five others."""
    to_t3 = ["stock", "shrimp", "system=t3", "on=2026-09-06T21:00"]
    file = with_more(run, row, tmp_path, SHRIMPS, PARTED, to_t3, read("t3"))
    ran = dose(run, file, "copper sulphate", "0.1 mg/L as Cu", "--system", "t1")
    assert "cherry shrimp" not in ran.out
    back = ["stock", "shrimp", "system=t6", "on=2026-09-07T07:00"]
    assert run("case", "add", str(file), *back).code == 0
    refused = dose(run, file, "copper sulphate", "0.1 mg/L as Cu", "--system", "t1").error
    assert "cherry shrimp" in str(refused)


# Plan, card, follow-up ----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def planned(run: Run, row: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Answer]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        file = with_more(run, row, tmp_path_factory.mktemp("plan"), SALTED, *ICH)
        compared = run("plan", str(file), *PLAN, "--json").answer
        number = [c["kind"] for c in compared["courses"]].index("sodium_chloride") + 1
        salted = compared["courses"][number - 1]["id"]
        assert run("plan", str(file), "--choose", salted).code == 0
    return file, compared["courses"][number - 1]


def test_the_course_is_for_400_litres_and_counts_the_salt_that_is_in(
    planned: tuple[Path, Answer],
) -> None:
    salt = [a for a in planned[1]["actions"] if a["kind"] == "salt"]
    total = sum(int(amount.split()[0]) for step in salt for amount in step["amounts"])
    assert total == pytest.approx(200, abs=2)


def test_every_change_takes_80_g_for_80_litres_and_says_what_the_water_is(
    planned: tuple[Path, Answer],
) -> None:
    kinds = ("siphon", "water_change")
    changes = [a["text"] for a in planned[1]["actions"] if a["kind"] in kinds]
    assert changes
    said = [change.replace("\u00a0", " ") for change in changes]
    salted = [text.split("Put back 80 L")[1] for text in said if "g of salt" in text]
    assert {text.split(" of salt")[0] for text in salted} == {" with 80 g"}
    for text in said:
        assert "free of chlorine" in text
        assert "within 1 C of the tank (24 C when read)" in text
        assert "Salty water to the house drain" in text


def test_an_unanswered_step_stops_the_card_of_the_next_day(
    run: Run, planned: tuple[Path, Answer], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-09-09T08:00+00:00")
    shown = run("today", str(planned[0]), "--date", "2026-09-09", "--json").answer
    assert "A0-1" in str(shown["stops"])


def test_the_wait_is_counted_from_the_last_count(
    run: Run, planned: tuple[Path, Answer], tmp_path: Path
) -> None:
    """Seen on 7 September; 24 C has a slow cycle of 7.8 days, so eight days on."""
    followed = run("follow", str(planned[0]), "--json").answer
    assert followed["not_before"] == "2026-09-15"
    assert not followed["advice"].startswith("stop")
