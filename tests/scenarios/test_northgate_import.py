"""Scenario 7, Northgate Import (invented): three loops of a wholesaler, one of them ill.

Each loop is 20 tanks of 100 L and a sump of 400 L, 2,400 L by the scenario. The tanks that the
scenario says something of are typed each for itself, the others of a loop as one system of their
whole volume, so that every volume is that of the scenario. No course is simulated here: with
nine groups of fish in one water that takes minutes.

Figures are the scenario's own: 97 of 180, 49 of 200, 33 of 60 and 40 of 120 dead (54, 24.5, 55 and
33 %), 2,400 g of salt for 1 g/L, never 100 g; up to 45 % carriers at 0 of 5.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing

Run = Callable[..., Ran]
Row = list[str]

NOW = "2026-05-20T12:00+00:00"
READ = "on=2026-05-20T11:00"
EARLIER = "on=2026-05-19T09:00"
OPENING = ["--name", "Northgate Import", "--keeper", "Northgate Import", "--practitioner",
           "Paulo Mendieta", "--water", "fresh", "--zone", "Europe/London",
           "--opened", "2026-05-12"]  # fmt: skip
CALM = ["carbon=no", "plants=no", "filter-ripe=yes", "food-fish=no", "tap=chlorine",
        "overflow=no", "air-stone=yes"]  # fmt: skip
TANKS = {"a": ("a01", "a05"), "b": ("b23", "b24", "b27", "b31", "b36"), "c": ("c44",)}
FISH = {
    "a01": ("neon tetra", 150, "3"), "a05": ("zebra danio", 158, "3"),
    "a-rest": ("zebra danio", 18 * 158, "3"),
    "b23": ("tiger barb", 180, "3"), "b24": ("cardinal tetra", 200, "2.5"),
    "b27": ("clown loach", 60, "5"), "b31": ("zebra danio", 158, "3"),
    "b36": ("bronze corydoras", 158, "3"), "b-rest": ("zebra danio", 15 * 158, "3"),
    "c44": ("guppy", 120, "3"), "c-rest": ("zebra danio", 19 * 158, "3"),
}  # fmt: skip
DEAD = {
    "b23": (2, 1, 1, 3, 9, 22, 31, 28),
    "b24": (4, 3, 2, 2, 3, 5, 11, 19),
    "b27": (0, 0, 1, 2, 6, 9, 8, 7),
    "c44": (6, 5, 4, 5, 6, 4, 5, 5),
}


def water(name: str, litres: int, *more: str) -> Row:
    return ["system", name, f"meter={litres} L", f"hose={litres / 10:g} L/min for 10 min", *CALM,
            *more]  # fmt: skip


def loops() -> list[Row]:
    rows = []
    for loop, tanks in TANKS.items():
        sump = f"sump-{loop}"
        rows.append(water(sump, 400, "use=fishless", "uv=yes", "invertebrates=no"))
        for tank in tanks:
            shrimps = "yes" if tank == "b31" else "no"
            rows.append(water(tank, 100, f"shares-water-with={sump}", "uv=no",
                              f"invertebrates={shrimps}"))  # fmt: skip
        rest = 2000 - 100 * len(tanks)
        rows.append(water(f"{loop}-rest", rest, f"shares-water-with={sump}", "uv=no",
                          "invertebrates=no"))  # fmt: skip
    return rows


def living() -> list[Row]:
    fish = [
        ["stock", f"{place}-fish", f"name={name}", f"count={number}", f"length={long} cm",
         "life-stage=adult", "gill-damage=no", f"system={place}", "arrived=2026-05-12"]
        for place, (name, number, long) in FISH.items()
    ]  # fmt: skip
    shrimps = ["stock", "b31-shrimp", "name=cherry shrimp", "count=150", "length=2 cm",
               "system=b31"]  # fmt: skip
    dead = [
        ["death", str(number), f"group={place}-fish", f"system={place}",
         f"on=2026-05-{12 + day}T09:00"]
        for place, days in DEAD.items()
        for day, number in enumerate(days, 1)
    ]  # fmt: skip
    return [*fish, shrimps, *dead]


SEEN = [
    ["water", "system=a01", "temperature=25.0 C", "ph=7.4", "ammonia=0.1 mg/L as N", READ],
    ["water", "system=b23", "temperature=25.2 C", "ph=7.2", "ammonia=0.8 mg/L as N",
     "nitrite=0.5 mg/L as N", READ],
    ["water", "system=c44", "temperature=25.0 C", "ph=7.6", "ammonia=0.2 mg/L as N", READ],
    ["wet-mount", "skin-scrape", "system=a05", "group=a05-fish", "examined=5", "alive=yes",
     "m_big_ciliate=none"],
    ["finding", "system=a05", "group=a05-fish", "spots_visible=no"],
    ["wet-mount", "skin-scrape", "system=b23", "group=b23-fish", "examined=5", "alive=yes",
     "m_big_ciliate=4 crescent", "m_disc_ring=many"],
    ["wet-mount", "skin-scrape", "system=c44", "group=c44-fish", "examined=5", "alive=yes",
     "m_pear_ciliate=deep", "m_big_ciliate=none"],
]  # fmt: skip
HAND = [
    ["label", "agent=salt", "strength=pure", "scale=1 g"],
    ["label", "agent=copper sulphate", "strength=pure as CuSO4.5H2O", "scale=0.001 g"],
]


@pytest.fixture(scope="module")
def day_8(typed: Typing) -> Path:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        return typed("northgate", [OPENING], [*loops(), *living(), *SEEN, *HAND])


@pytest.fixture(autouse=True)
def on_day_8(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", NOW)


def dose(run: Run, file: Path, agent: str, strength: str, *words: str) -> Ran:
    return run("dose", "--case", str(file), "--agent", agent, "--strength", strength, *words,
               "--json")  # fmt: skip


def with_more(run: Run, file: Path, folder: Path, *rows: Row) -> Path:
    copy = folder / "northgate.jsonl"
    shutil.copy(file, copy)
    for words in rows:
        ran = run("case", "add", str(copy), *words)
        assert ran.code == 0, (words, ran.err)
    return copy


@pytest.mark.parametrize("system", ["a01", "sump-a", "b23", "b36", "b-rest", "c44"])
def test_any_tank_of_a_loop_is_dosed_for_2400_litres_never_for_100(
    run: Run, day_8: Path, system: str
) -> None:
    shown = dose(run, day_8, "salt", "1 g/L", "--system", system.replace("-", "_")).answer
    assert shown["amount"]["value"] == "2400"
    assert float(shown["amount"]["for_l"]) == 2400


def test_the_amount_is_for_the_loop_with_the_sick_fish_not_for_the_first(
    run: Run, day_8: Path
) -> None:
    """A05 was looked at and nothing was seen; B23 has the parasite on its slides."""
    said = dose(run, day_8, "salt", "1 g/L").answer["do"]
    assert "sump b" in said
    assert "sump a" not in said


def test_shrimps_and_a_sensitive_fish_bar_copper_for_the_whole_loop_at_once(
    run: Run, day_8: Path
) -> None:
    for system in ("b23", "b36", "sump_b"):
        refused = dose(run, day_8, "copper sulphate", "0.1 mg/L as Cu", "--system", system).error
        assert refused["code"] == "E-DOSE-26"
        assert "cherry shrimp" in str(refused), refused


def test_shrimps_of_one_loop_bar_nothing_in_another(run: Run, day_8: Path) -> None:
    refused = dose(run, day_8, "copper sulphate", "0.1 mg/L as Cu", "--system", "c44").error
    assert "cherry shrimp" not in str(refused)


def test_a_kind_that_lives_in_many_tanks_is_named_once(run: Run, day_8: Path) -> None:
    cautions = dose(run, day_8, "salt", "1 g/L", "--system", "b23").answer["cautions"]
    (care,) = [c["words"] for c in cautions if "care with" in c["words"]]
    assert care.count("zebra danio") == 1
    for kind in ("clown loach", "bronze corydoras", "cardinal tetra"):
        assert kind in care


def test_each_group_is_judged_against_its_own_number_not_the_site(run: Run, day_8: Path) -> None:
    cautions = str(dose(run, day_8, "salt", "1 g/L", "--system", "b23").answer["cautions"])
    for share in ("(97 of 180)", "(49 of 200)", "(33 of 60)"):
        assert share in cautions
    assert "guppy" not in cautions
    assert "(40 of 120)" in str(dose(run, day_8, "salt", "1 g/L", "--system", "c44").answer)


def test_a_length_that_was_told_is_not_asked_for_again(run: Run, day_8: Path) -> None:
    cautions = str(dose(run, day_8, "salt", "1 g/L", "--system", "b23").answer["cautions"])
    assert "weight of cherry shrimp" in cautions
    assert "length or weight" not in cautions


def test_what_went_into_one_sump_is_in_every_tank_of_its_loop_and_in_no_other(
    run: Run, day_8: Path, tmp_path: Path
) -> None:
    """1,200 g in sump B are 0.5 g/L in 2,400 L: 1,200 g more make 1 g/L; A still takes 2,400 g."""
    salted = ["in-water", "agent=salt", "amount=1200 g", "system=sump_b", EARLIER]
    file = with_more(run, day_8, tmp_path, salted)
    for system, grams in (("b36", "1200"), ("a01", "2400"), ("c44", "2400")):
        shown = dose(run, file, "salt", "1 g/L", "--system", system).answer
        assert shown["amount"]["value"] == grams, system


def test_240_litres_changed_in_the_loop_take_the_dose_of_240_litres(
    run: Run, day_8: Path, tmp_path: Path
) -> None:
    held = ["in-water", "agent=salt", "amount=2400 g", "system=sump_b", EARLIER]
    file = with_more(run, day_8, tmp_path, held)
    shown = dose(run, file, "salt", "1 g/L", "--system", "b24", "--changed", "240 L").answer
    assert shown["amount"]["value"] == "240"
    for words in ("within 1 C of the tank (25.2 C when read)", "free of chlorine",
                  "Salty water to the house drain"):  # fmt: skip
        assert words in shown["do"].replace("\u00a0", " ")


def test_ammonia_comes_from_the_loop_that_is_meant(run: Run, day_8: Path) -> None:
    """0.8 mg/L N in B was read in B23; nothing of it may stand beside an amount for A."""
    assert (
        "ammonia"
        not in str(
            [
                c["words"]
                for c in dose(run, day_8, "salt", "1 g/L", "--system", "a01").answer["cautions"]
            ]
        ).lower()
    )


def test_white_spot_leads_in_one_loop_and_the_second_cause_in_the_other(
    run: Run, day_8: Path
) -> None:
    def led(*words: str) -> str:
        shown = run("differential", str(day_8), "--no-own-idea", "--json", *words).answer
        return str(shown["ranked"][0]["condition"])

    assert (led(), led("--system", "c44")) == ("ICH", "TETRA")
