"""A hundred routine amounts and sixty attacks, typed entry by entry: what comes, and how it reads.

What the two files hold was written by fresh eyes; no fact of it is changed here. Where a routine
amount does not come, the reason stands below, by the print that the library keeps, and the test
holds that it is this reason and no other.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

import pytest
from tests.scenarios.conftest import Ran

from tankside.library import load

Run = Callable[..., Ran]
Item = dict[str, Any]
HERE = Path(__file__).resolve().parent

PEROXIDE = "agent.hydrogen_peroxide.hard_max.bath"
SALT_SOFT = "agent.sodium_chloride.soft_max.prolonged"
GOLDFISH_GREEN = "host.carassius_auratus.tolerance.malachite"
STOPPED: Mapping[str, tuple[str, str, str, str]] = {
    "hydrogen peroxide bath, fungus on a gourami": (
        "E-DOSE-10", PEROXIDE, "russo_2007", "blue gouramis died at every level from 6 mg/L up"),
    "hydrogen peroxide bath 75 mg/L 30 min, tang": (
        "E-DOSE-10", PEROXIDE, "russo_2007", "34 is the most tried on an ornamental fish; 75 and "
        "85 in sea water are of threadfin and kingfish, none of a reef fish was read"),
    "hydrogen peroxide 50 mg/L bath, goldfish fin rot": (
        "E-DOSE-10", PEROXIDE, "russo_2007", "34 hurt two of five kinds; no figure of goldfish"),
    "hydrogen peroxide 5 mg/L, end of a permanganate day": (
        "E-DOSE-23", "agent.hydrogen_peroxide.incompatible.potassium_permanganate", "",
        "from memory; ten times what ends that permanganate (0.32 mg for 1 mg)"),
    "salt 6 g/L, koi with heavy costia": (
        "E-DOSE-10", "agent.sodium_chloride.hard_max.prolonged", "",
        "our estimate: half the 96-h LC50 of common fish (10 to 11 g/L); put in at once, too"),
    "salt bath 15 g/L 15 min, koi in a bowl": (
        "E-DOSE-10", "agent.sodium_chloride.hard_max.bath", "uf_ifas_vm86",
        "10 g/L for hours, 30 g/L for at most 10 min; nothing is printed between"),
    "salt 5 g/L, koi in a treatment vat": (
        "E-DOSE-11", SALT_SOFT, "mifsud_rowland_2008", "2 to 3 g/L; at once it rises too fast"),
    "salt 5 g/L, koi quarantine vat": (
        "E-DOSE-11", SALT_SOFT, "mifsud_rowland_2008", "2 to 3 g/L; at once it rises too fast"),
    "formalin bath 150 mL/m3 45 min, clownfish": (
        "E-DOSE-10", "agent.formalin.hard_max_warm.bath", "uf_ifas_vm77",
        "150 above 21 C is the most, and the smallest volume that fits is smaller"),
    "chloroquine 10 mg/L, killifish with velvet": (
        "E-DOSE-25", "agent.chloroquine.needs.marine", "",
        "from memory: no strength for fresh water was found in print"),
    "chloroquine 15 mg/L, hospital tank": (
        "E-DOSE-11", "agent.chloroquine.soft_max.prolonged", "reef_wiki_chloroquine",
        "5 to 10 mg/L is printed; 15 is the upper end of practice"),
    "malachite green 0.1 mg/L, goldfish": (
        "E-DOSE-26", GOLDFISH_GREEN, "intorre_2007", "goldfish died at the dose of the trial"),
    "copper 0.15 mg/L, danios with velvet in hard water": (
        "E-DOSE-26", "host.danio_rerio.tolerance.copper", "silva_2014",
        "pearl danio, by its relative"),
    "trichlorfon 0.25 mg/L, koi with fish lice": (
        "E-DOSE-27", "agent.trichlorfon.not_offered", "german_trichlorfon_entry", "withdrawn"),
    "oxytetracycline 20 mg/L, hospital tank": (
        "E-DOSE-27", "agent.oxytetracycline.not_offered", "eu_regulation_2019_6",
        "prescription only"),
    "praziquantel second dose after a week, goldfish": (
        "E-DOSE-20", "agent.praziquantel.needs.predissolve", "",
        "common practice; what is looked at by hand was answered a week ago"),
}  # fmt: skip
"""Routine amounts that do not come as they are asked: (code, claim, its source, why).

A source of "" is a claim without a work: memory, practice or our estimate, as the words say.
"""
OF_COPPER: Mapping[str, str] = {
    "copper top-up after a reading of 0.12": "E-DOSE-25",
    "copper put back for 30 L, hospital tank": "E-DOSE-20",
    "chelated copper 1.5 mg/L, hospital tank": "E-DOSE-20",
}
"""What no limit stops: it belongs to the account of titrated copper and its forms."""
LEAST = 81
"""Of the hundred. Ninety-five cannot be had: what stops the others stands above."""
MOST_WORDS = 120
AFTER_THE_REASON: Mapping[str, str] = {
    "salt 5 g/L, koi in a treatment vat": "S-SALT-RATE",
    "salt 5 g/L, koi quarantine vat": "S-SALT-RATE",
}
"""What stands once the reason is written: over 3 g/L in one day."""
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
        item["name"], "", "", len(cautions), len(text.out.split()), no_next,
        answer["amount"]["strength_smaller_volume_mg_l"], answer["limits_mg_l"]["hard"],
    )  # fmt: skip


@pytest.fixture(scope="module")
def routine(run: Run, tmp_path_factory: pytest.TempPathFactory) -> list[Played]:
    folder = tmp_path_factory.mktemp("routine")
    return [play(run, folder, item) for item in items("routine_amounts.json")]


def test_a_hundred_are_asked_and_what_comes_is_counted_of_the_hundred(
    routine: list[Played],
) -> None:
    """What does not come is listed, by name and code; nothing else is missing."""
    came = [each for each in routine if not each.code]
    missing = {each.name: each.code for each in routine if each.code}
    print(f"came {len(came)} of {len(routine)}, stopped by a claim {len(STOPPED)}")
    assert len(routine) == 100
    assert missing == {name: row[0] for name, row in STOPPED.items()} | dict(OF_COPPER)
    assert len(came) >= LEAST


def test_what_does_not_come_names_a_claim_that_the_library_keeps() -> None:
    facts = load()
    for name, (_, key, source, why) in STOPPED.items():
        claim = facts.find(key)
        assert claim is not None, (name, key)
        assert claim.source == source, (name, claim.source)
        assert why


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
