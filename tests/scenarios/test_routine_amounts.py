"""A hundred routine amounts and sixty attacks, typed entry by entry: what comes, and how it reads.

What the two files hold was written by fresh eyes; no fact of it is changed here. Where a routine
amount does not come, the reason stands below, by the print that the library keeps, and the test
holds that it is this reason and no other.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

import pytest
from tests.scenarios.conftest import Ran

Run = Callable[..., Ran]
Item = dict[str, Any]
HERE = Path(__file__).resolve().parent

NO_ROUTE = "printed only as a timed bath; asked without its end"
ABOVE = "above the hard limit on file for this route"
REASON = "at or above a soft limit: it comes with a written reason"
NOT_HARMLESS: Mapping[str, tuple[str, str]] = {
    "levamisole 2 mg/L, guppies with red worms": ("E-DOSE-10", NO_ROUTE),
    "levamisole 2 mg/L, goldfish": ("E-DOSE-10", NO_ROUTE),
    "levamisole 2 mg/L, koi vat with skin flukes": ("E-DOSE-10", NO_ROUTE),
    "levamisole 2 mg/L, quarantine of wild fish": ("E-DOSE-10", NO_ROUTE),
    "fenbendazole 2 mg/L, kribensis": ("E-DOSE-10", NO_ROUTE),
    "acriflavine 5 mg/L, gouramis with fin rot": ("E-DOSE-10", NO_ROUTE),
    "acriflavine 4 mg/L, goldfish hospital tub": ("E-DOSE-10", NO_ROUTE),
    "acriflavine 5 mg/L, marine hospital tank": ("E-DOSE-10", NO_ROUTE),
    "acriflavine 3 mg/L, quarantine of discus": ("E-DOSE-10", NO_ROUTE),
    "chloramine-T 1.5 mg/L, koi pond": ("E-DOSE-10", NO_ROUTE),
    "hydrogen peroxide 5 mg/L, end of a permanganate day": ("E-DOSE-10", NO_ROUTE),
    "hydrogen peroxide bath, fungus on a gourami": ("E-DOSE-10", ABOVE),
    "hydrogen peroxide bath 75 mg/L 30 min, tang": ("E-DOSE-10", ABOVE),
    "hydrogen peroxide 50 mg/L bath, goldfish fin rot": ("E-DOSE-10", ABOVE),
    "permanganate 2 mg/L, goldfish": ("E-DOSE-10", ABOVE),
    "permanganate 1.5 mg/L, koi pond": ("E-DOSE-10", ABOVE),
    "permanganate 2 mg/L, koi quarantine vat": ("E-DOSE-10", ABOVE),
    "permanganate 10 mg/L bath 30 min, koi in a bowl": ("E-DOSE-10", ABOVE),
    "salt 6 g/L, koi with heavy costia": ("E-DOSE-10", ABOVE),
    "salt bath 15 g/L 15 min, koi in a bowl": ("E-DOSE-10", ABOVE),
    "formalin bath 150 mL/m3 45 min, clownfish": (
        "E-DOSE-10", "at the limit for warm water; above it in the smallest volume that fits"),
    "chloroquine 10 mg/L, killifish with velvet": ("E-DOSE-25", "no evidence in fresh water"),
    "malachite green 0.1 mg/L, goldfish": (
        "E-DOSE-26", "shubunkins died at this strength (intorre_2007)"),
    "copper 0.15 mg/L, danios with velvet in hard water": (
        "E-DOSE-26", "pearl danio, by its relative"),
    "trichlorfon 0.25 mg/L, koi with fish lice": ("E-DOSE-27", "withdrawn in many places"),
    "oxytetracycline 20 mg/L, hospital tank": ("E-DOSE-27", "prescription only"),
    "praziquantel 2.5 mg/L, angelfish with gill flukes": ("E-DOSE-11", REASON),
    "praziquantel 2.5 mg/L, goldfish": ("E-DOSE-11", REASON),
    "praziquantel second dose after a week, goldfish": ("E-DOSE-11", REASON),
    "praziquantel 2.5 mg/L, public aquarium column": ("E-DOSE-11", REASON),
    "praziquantel put back after a change, marine": ("E-DOSE-11", REASON),
    "praziquantel 2.5 mg/L, hospital tank": ("E-DOSE-11", REASON),
    "praziquantel 2.5 mg/L, quarantine tub": ("E-DOSE-11", REASON),
    "chloroquine 15 mg/L, hospital tank": ("E-DOSE-11", REASON),
    "tricaine 80 mg/L, koi inspection bowl": ("E-DOSE-11", REASON),
    "tricaine 75 mg/L, marine gill clip": ("E-DOSE-11", REASON),
    "salt 5 g/L, koi in a treatment vat": ("E-DOSE-11", REASON),
    "salt 5 g/L, koi quarantine vat": ("E-DOSE-11", REASON),
}  # fmt: skip
"""Routine amounts that the limits on file stop: (code, why)."""
OF_COPPER = "copper"
VOLUME = "has not been measured"
LEAST = 0.95
MOST_WORDS = 120
NEW_WATER = re.compile(r"It may hold .*?(?= Put back|$)|New water: .*")
"""What a line says of the new water and of the drain: every change must say it, so it is apart."""
AFTER_THE_REASON: Mapping[str, str] = {
    "praziquantel second dose after a week, goldfish": "E-DOSE-20",
    "salt 5 g/L, koi in a treatment vat": "S-SALT-RATE",
    "salt 5 g/L, koi quarantine vat": "S-SALT-RATE",
}
"""What stands once the reason is written: looked at by hand a week ago; over 3 g/L in one day."""
WRITTEN = "as the veterinarian advised for this case"


@dataclass(frozen=True)
class Played:
    """One amount as it was answered: refused with a code, or with its notes and its words."""

    name: str
    code: str
    message: str
    notes: int
    words: int
    no_next: int
    strength_mg_l: float
    hard_mg_l: float


def items(file: str) -> list[Item]:
    read: list[Item] = json.loads((HERE / file).read_text(encoding="utf-8"))["items"]
    return read


def options(words: list[str]) -> list[str]:
    """Return what is asked as options of ``dose``: an entry's words are options too."""
    if words[0] != "dose":
        return words
    pairs = (word.split("=", 1) for word in words[1:])
    return [part for key, value in pairs for part in (f"--{key}", value)]


def play(run: Run, folder: Path, item: Item, *more: str) -> Played:
    """Type one case and its question; ``more`` is typed beside the question."""
    file = str(folder / f"{abs(hash(item['name']))}{len(more)}.jsonl")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", item["present"])
        assert run("case", "new", file, *item["opening"]).code == 0
        for entry in item["entries"]:
            added = run("case", "add", file, *entry)
            assert added.code == 0, (item["name"], entry, added.err)
        asked = ("dose", "--case", file, *options(item["dose"]), *more)
        shown, text = run(*asked, "--json"), run(*asked)
        if item["dose"][0] == "dose" and not more:
            assert (run("case", "add", file, *item["dose"]).code == 0) is (shown.code == 0)
    if shown.code != 0:
        error = shown.error
        return Played(item["name"], error["code"], error["message"], 0, 0, 0, 0.0, 0.0)
    answer = shown.answer
    cautions = answer["cautions"]
    no_next = sum(not caution["instead"].strip() for caution in cautions)
    return Played(
        item["name"], "", "", len(cautions), _words(text.out, answer["do"]), no_next,
        answer["amount"]["strength_smaller_volume_mg_l"], answer["limits_mg_l"]["hard"],
    )  # fmt: skip


def _words(shown: str, line: str) -> int:
    """Count what is read, without the recipe of new water and the rule of the drain."""
    apart = sum(len(part.split()) for part in NEW_WATER.findall(line))
    return len(shown.split()) - apart


@pytest.fixture(scope="module")
def routine(run: Run, tmp_path_factory: pytest.TempPathFactory) -> list[Played]:
    folder = tmp_path_factory.mktemp("routine")
    return [play(run, folder, item) for item in items("routine_amounts.json")]


def waits(played: Played) -> bool:
    """Whether another water of a case, or titrated copper, is what it waits for."""
    return played.code != "" and (VOLUME in played.message or OF_COPPER in played.name)


def test_every_harmless_routine_amount_comes(routine: list[Played]) -> None:
    """Of those that no limit on file stops and that do not wait for another part at least 95 %."""
    came = [each for each in routine if not each.code]
    stopped = [each for each in routine if each.code and each.name in NOT_HARMLESS]
    waiting = [each for each in routine if waits(each) and each.name not in NOT_HARMLESS]
    left = len(routine) - len(stopped) - len(waiting)
    print(f"came {len(came)}, stopped by a limit on file {len(stopped)}, wait {len(waiting)}")
    assert len(routine) == 100
    assert len(came) >= LEAST * left, [e for e in routine if e.code and e not in stopped]


def test_what_does_not_come_is_stopped_for_the_reason_that_is_told(routine: list[Played]) -> None:
    names = {each.name for each in routine}
    assert NOT_HARMLESS.keys() <= names
    for each in routine:
        if each.name in NOT_HARMLESS and VOLUME not in each.message:
            assert each.code == NOT_HARMLESS[each.name][0], each


def test_a_soft_limit_is_passed_with_a_written_reason(
    run: Run, tmp_path: Path, routine: list[Played]
) -> None:
    asked = {each.name for each in routine if each.code == "E-DOSE-11"}
    for item in items("routine_amounts.json"):
        if item["name"] in asked:
            with_reason = play(run, tmp_path, item, "--reason", WRITTEN)
            assert with_reason.code == AFTER_THE_REASON.get(item["name"], ""), with_reason


def test_a_routine_amount_is_told_little_and_nothing_that_nobody_can_act_on(
    routine: list[Played],
) -> None:
    notes = sorted(each.notes for each in routine if not each.code)
    tenth = notes[(9 * len(notes)) // 10]
    print(f"notes: median {median(notes)}, highest decile from {tenth}, most {notes[-1]}")
    assert median(notes) <= 1
    assert tenth <= 3
    assert sum(each.no_next for each in routine) == 0


def test_a_routine_amount_reads_in_few_words(routine: list[Played]) -> None:
    words = sorted(each.words for each in routine if not each.code)
    print(f"words: median {median(words)}, most {words[-1]}")
    assert words[-1] <= MOST_WORDS, [e for e in routine if e.words > MOST_WORDS]


RIGHT: Mapping[str, str] = {
    "salt where the volume was found with salt": "what the test put in is counted: only the rest",
    "carbon still in the filter": "carbon weakens it and is told to go out (S-CARBON); the amount "
    "itself stays inside the limit, and what it took out is not counted as gone",
    "display dosed after the fish were moved out": "no system is named, so it is for the hospital "
    "tank the fish are in (its 122.4 L), and says so; nothing goes to the display",
    "salinity meter reads 2 g/L, nothing told in the water": "what the meter reads is counted: "
    "only the missing gram a litre",
}
"""Attacks whose amount is right, or waits for another part, with the reason."""


def test_no_attack_gets_an_amount_over_a_hard_limit(run: Run, tmp_path: Path) -> None:
    played = [play(run, tmp_path, item) for item in items("hostile_amounts.json")]
    came = [each for each in played if not each.code]
    print(f"attacks {len(played)}, with an amount {len(came)}: {[each.name for each in came]}")
    assert len(played) == 60
    assert {each.name for each in came} <= RIGHT.keys()
    assert all(each.strength_mg_l <= each.hard_mg_l * (1 + 1e-9) for each in came)
