"""Protections typed through a case: none falls when more is told, each names what would lift it."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from typing import Any

import pytest
from tests.scenarios.conftest import Answer, Ran, Typing

Ask = Callable[..., Ran]
Row = list[str]
NUMBER = count()
OPENING = ["--name", "Fern Court", "--keeper", "B. Aske", "--zone", "Europe/London",
           "--opened", "2026-10-31T09:00"]  # fmt: skip
TANK = ["inside-length=98 cm", "inside-width=38 cm", "water-height=42 cm", "takes-away=9 L gravel",
        "adds=5 L filter", "hose=12 L/min for 12.7 min", "carbon=no", "uv=no", "filter-ripe=yes",
        "plants=no", "food-fish=no", "air-stone=yes"]  # fmt: skip
READ = ["temperature=24 C", "ph=7.6", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "kh=9 dH",
        "oxygen=7.6 mg/L"]  # fmt: skip
GOLDFISH = ["stock", "name=common goldfish", "count=4", "length=12 cm", "gill-damage=no"]
CLOWNFISH = ["stock", "name=common clownfish", "count=2", "length=6 cm", "gill-damage=no",
             "life-stage=adult"]  # fmt: skip
PURE = {
    "salt": ["strength=pure", "scale=1 g"],
    "copper sulphate": ["strength=pure as CuSO4.5H2O", "scale=0.001 g"],
    "copper ionic": ["strength=12.5 g/L as Cu", "syringe=0.1 mL"],
    "praziquantel": ["strength=pure", "scale=0.01 g", "predissolve=yes"],
    "diflubenzuron": ["strength=25 % w/w", "scale=0.001 g"],
    "lufenuron": ["strength=pure", "scale=0.001 g"],
    "chloroquine": ["strength=pure as chloroquine diphosphate", "scale=0.01 g"],
    "malachite green": ["strength=0.1 % w/v as oxalate", "syringe=0.1 mL", "zinc-free=yes"],
}


@pytest.fixture(scope="module")
def ask(typed: Typing, run: Callable[..., Ran]) -> Ask:
    """Return a function that types a case and asks for one amount of it."""

    def asked(
        agent: str,
        strength: str,
        *stock: Row,
        tank: Row | None = None,
        water: Row | None = None,
        kind: str = "fresh",
        more: tuple[Row, ...] = (),
        words: tuple[str, ...] = (),
    ) -> Ran:
        rows = [
            ["system", *TANK, *(tank or ["invertebrates=no"])],
            *stock,
            ["water", *(water or READ)],
            *more,
            ["label", f"agent={agent}", *PURE[agent]],
        ]
        file = typed(f"case{next(NUMBER)}", [[*OPENING, "--water", kind]], rows)
        return run("dose", "--case", str(file), "--agent", agent, "--strength", strength, *words,
                   "--json")  # fmt: skip

    return asked


def codes(answer: Answer) -> list[str]:
    return [caution["code"] for caution in answer["cautions"]]


# Naming lifts nothing --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("agent", "strength", "kind", "fish", "name"),
    [
        ("diflubenzuron", "0.02 mg/L", "fresh", GOLDFISH, "cherry shrimp"),
        ("diflubenzuron", "0.02 mg/L", "fresh", GOLDFISH, "marbled crayfish"),
        ("lufenuron", "0.1 mg/L", "fresh", GOLDFISH, "nerite snail"),
        ("chloroquine", "10 mg/L as chloroquine diphosphate", "marine", CLOWNFISH,
         "cleaner shrimp"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("counted", [["count=6"], []])
@pytest.mark.parametrize("ticked", ["invertebrates=yes", "invertebrates=no", "invertebrates=?"])
def test_naming_the_invertebrates_unlocks_nothing(
    ask: Ask, agent: str, strength: str, kind: str, fish: Row, name: str, counted: Row, ticked: str
) -> None:
    """Neither their name, nor a number nobody counted, nor the box ticked otherwise."""
    unnamed = ask(agent, strength, fish, kind=kind, tank=["invertebrates=yes"])
    assert unnamed.error["code"] == "E-DOSE-26"
    named = ask(agent, strength, fish, ["stock", f"name={name}", *counted], kind=kind,
                tank=[ticked])  # fmt: skip
    assert named.error["code"] == "E-DOSE-26"
    assert name in named.error["message"]


def test_a_plant_that_is_named_is_protected_like_the_rest(ask: Ask) -> None:
    fern = ["stock", "name=java fern", "living=plant"]
    stopped = ask("copper sulphate", "0.1 mg/L as Cu", GOLDFISH, fern)
    assert (stopped.error["code"], "java fern" in stopped.error["message"]) == ("E-DOSE-26", True)


# One active under two names ---------------------------------------------------------------------


@pytest.mark.parametrize("agent", ["copper sulphate", "copper ionic"])
@pytest.mark.parametrize(
    ("kh", "code", "named"),
    [
        ("kh=1 dH", "E-DOSE-25", "at least 50 mg/L as CaCO3"),
        ("nitrate=20 mg/L as NO3", "E-DOSE-20", "at least 50 mg/L as CaCO3"),
    ],
)
def test_copper_in_soft_water_is_refused_under_either_name(
    ask: Ask, agent: str, kh: str, code: str, named: str
) -> None:
    soft = [word for word in READ if not word.startswith("kh=")]
    refused = ask(agent, "0.1 mg/L as Cu", GOLDFISH, water=[*soft, kh]).error
    assert refused["code"] == code
    assert named in refused["needed"]


@pytest.mark.parametrize("agent", ["copper sulphate", "copper ionic"])
@pytest.mark.parametrize("strength", ["0.15 mg/L as Cu", "0.19 mg/L as Cu"])
def test_the_usual_copper_of_sea_water_needs_no_reason(ask: Ask, agent: str, strength: str) -> None:
    """UF/IFAS FA165: 0.15 to 0.20 mg/L of copper (the figure from memory, as on file)."""
    salty = [*READ, "salinity=34 psu"]
    answer = ask(agent, strength, CLOWNFISH, kind="marine", water=salty).answer
    assert "E-DOSE-11" not in codes(answer)
    above = ask(agent, "0.22 mg/L as Cu", CLOWNFISH, kind="marine", water=salty).error
    assert above["code"] == "E-DOSE-10"


# From the first hour ----------------------------------------------------------------------------


def test_salt_that_rises_too_fast_at_once_is_stopped_and_what_is_there_counts(ask: Ask) -> None:
    """3 g/L in a day are borne with care, 4 are not; of 4 with 2 there only 2 are new."""
    why = ("--reason", "as the vet advised")
    assert "S-SALT-RATE" in codes(ask("salt", "3 g/L", GOLDFISH, words=why).answer)
    fast = ask("salt", "4 g/L", GOLDFISH, words=why).error
    assert fast["code"] == "S-SALT-RATE"
    there: tuple[Row, ...] = (["in-water", "agent=salt", "amount=2 g/L", "on=2026-10-29T09:00"],)
    assert codes(ask("salt", "4 g/L", GOLDFISH, words=why, more=there).answer) == ["E-DOSE-11"]


def test_a_dose_of_this_morning_counts_for_the_interval(ask: Ask) -> None:
    """Salt goes in steps 12 h apart: 8 h after the last it is too soon, two days after not."""

    def salted(on: str) -> Ran:
        there: tuple[Row, ...] = (["in-water", "agent=salt", "amount=1 g/L", f"on={on}"],)
        return ask("salt", "2 g/L", GOLDFISH, more=there)

    assert salted("2026-10-31T10:00").error["code"] == "E-DOSE-22"
    assert salted("2026-10-29T10:00").answer["amount"]["text"]


# What the animals there bear --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("agent", "passes", "above", "name"),
    [
        ("salt", "2 g/L", "3 g/L", "bronze corydoras"),
        ("salt", "2 g/L", "2.5 g/L", "cardinal tetra"),
        ("salt", "2 g/L", "2.5 g/L", "clown loach"),
        ("malachite green", "0.05 mg/L as oxalate", "0.1 mg/L as oxalate", "clown loach"),
        ("malachite green", "0.05 mg/L as oxalate", "0.1 mg/L as oxalate", "pictus catfish"),
    ],
)
def test_a_lower_figure_for_the_animals_there_stops_more_unless_a_reason_is_typed(
    ask: Ask, agent: str, passes: str, above: str, name: str
) -> None:
    platy = ["stock", "name=platy", "count=6", "length=4 cm", "gill-damage=no"]
    them = ["stock", f"name={name}", "count=5", "length=5 cm", "gill-damage=no"]
    assert ask(agent, above, platy).code == 0
    assert ask(agent, passes, platy, them).code == 0
    stopped = ask(agent, above, platy, them).error
    assert (stopped["code"], f"for {name}" in stopped["needed"]) == ("E-DOSE-11", True)
    passed = ask(agent, above, platy, them, words=("--reason", "as the vet advised")).answer
    assert "E-DOSE-11" in codes(passed)


@pytest.mark.parametrize(
    ("name", "strength"), [("clown loach", "29 g/L"), ("cardinal tetra", "25 g/L")]
)
def test_a_salt_dip_is_held_to_what_the_animals_bear(ask: Ask, name: str, strength: str) -> None:
    them = ["stock", f"name={name}", "count=5", "length=5 cm", "gill-damage=no"]
    dip = ("--route", "dip", "--minutes", "5 min")
    stopped = ask("salt", strength, them, words=dip).error
    assert (stopped["code"], f"for {name}" in stopped["needed"]) == ("E-DOSE-11", True)


def test_a_salt_dip_of_a_kind_that_is_known_for_days_only_says_so(ask: Ask) -> None:
    dip = ("--route", "dip", "--minutes", "5 min")
    (caution,) = ask("salt", "25 g/L", GOLDFISH, words=dip).answer["cautions"]
    assert (caution["code"], caution["level"]) == ("S-SALT-HOST", "care")
    assert "common goldfish" in caution["words"]
    assert "for days" in caution["why"]


def test_shrimps_and_plants_stay_in_the_tank_while_the_fish_are_bathed(ask: Ask) -> None:
    bath = ("--route", "bath", "--minutes", "30 min")
    stay = (["stock", "name=cherry shrimp", "count=9"], ["stock", "name=java fern", "living=plant"])
    alone, beside = (
        ask("salt", "9 g/L", GOLDFISH, *others, words=bath).answer for others in ((), stay)
    )
    assert alone["amount"]["text"] == beside["amount"]["text"]
    assert alone["cautions"] == beside["cautions"]


# False alarms -----------------------------------------------------------------------------------


def discus(*words: str) -> Row:
    return ["stock", "name=discus", "count=6", "gill-damage=no", *words]


def test_length_tells_grown_fish_and_a_stop_asks_by_the_word_it_takes(ask: Ask) -> None:
    """Praziquantel above 1 mg/L is for no larvae: 14 cm discus are none, 4 cm may be."""
    assert ask("praziquantel", "2 mg/L", discus("length=14 cm")).code == 0
    small = ask("praziquantel", "2 mg/L", discus("length=4 cm")).error
    assert small["code"] == "E-DOSE-10"
    assert "life-stage=juvenile or life-stage=adult of discus" in small["needed"]
    assert "a length of at least discus 6.6 cm" in small["needed"].replace("\xa0", " ")
    assert ask("praziquantel", "2 mg/L", discus("length=4 cm", "life-stage=juvenile")).code == 0
    assert ask("praziquantel", "2 mg/L", discus("length=6.6 cm")).code == 0
    fry = ask("praziquantel", "2 mg/L", discus("length=14 cm", "life-stage=fry")).error
    assert fry["code"] == "E-DOSE-10"
    assert "life-stage" not in fry["needed"]


def test_a_ripe_filter_and_no_ammonia_read_raise_no_alarm(ask: Ask) -> None:
    warm = ["temperature=25 C", "ph=8.3", *READ[2:]]
    assert codes(ask("salt", "1 g/L", GOLDFISH, water=warm).answer) == []
    toxic = [word.replace("ammonia=0 ", "ammonia=0.5 ") for word in warm]
    assert codes(ask("salt", "1 g/L", GOLDFISH, water=toxic).answer) == ["S-AMMONIA"]


def test_a_dose_at_the_ends_of_what_is_usual_is_neither_weak_nor_strong(ask: Ask) -> None:
    """Salt 1 to 3 g/L: the volume is known to a percent, the scale shows whole grams."""
    for strength in ("1 g/L", "3 g/L"):
        answer = ask("salt", strength, GOLDFISH).answer
        assert not {"E-DOSE-11", "E-DOSE-13"} & set(codes(answer))


def test_a_refusal_of_the_whole_says_what_is_there_and_what_is_to_be_added(ask: Ask) -> None:
    there: tuple[Row, ...] = (["in-water", "agent=salt", "amount=2 g/L", "on=2026-10-29T09:00"],)
    refused: dict[str, Any] = ask("salt", "3.5 g/L", GOLDFISH, more=there).error
    assert refused["code"] == "E-DOSE-11"
    assert "3.5 g/L in all (2 g/L there, 1.5 g/L to add)" in refused["needed"].replace("\xa0", " ")
