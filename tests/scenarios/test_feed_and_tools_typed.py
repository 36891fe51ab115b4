"""Food that carries a medicine, equipment, what is missing, and tools: typed as a person types.

Sums are redone by hand in the docstrings.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing, amount, dose, invoke
from tests.shaped import is_shaped

Run = Callable[..., Ran]
Case = Callable[..., Path]

OPENING = ["--name", "Weir Cottage", "--keeper", "P. Lowe", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-03-02"]  # fmt: skip
SIZE = ["inside-length=100 cm", "inside-width=50 cm", "water-height=20 cm"]
TANK = ["system", *SIZE, "hose=20 L/min for 5 min", "carbon=no", "uv=no", "plants=no",
        "invertebrates=no", "filter-ripe=yes", "food-fish=no"]  # fmt: skip
STOCK = ["stock", "name=freshwater angelfish", "count=10", "weight=20 g", "life-stage=adult",
         "gill-damage=no"]  # fmt: skip
WATER = ["water", "temperature=25 C", "ph=7.2", "oxygen=8 mg/L", "kh=8 dH",
         "ammonia=0 mg/L as N", "nitrite=0 mg/L as N"]  # fmt: skip
BLUE = ["label", "agent=methylene blue", "strength=1 % w/v as ?", "syringe=0.01 mL"]


@pytest.fixture(autouse=True)
def _that_evening(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T18:00+00:00")


@pytest.fixture
def case(typed: Typing, request: pytest.FixtureRequest) -> Case:
    """Return what types a case of 100 L and 200 g of fish with more entries."""

    def type_in(*rows: list[str]) -> Path:
        name = "".join(c if c.isalnum() else "-" for c in request.node.name)
        return typed(name, [OPENING], [TANK, STOCK, WATER, *rows])

    return type_in


def add(run: Run, path: Path, *words: str) -> Ran:
    ran = run("case", "add", str(path), *words, "--json")
    assert ran.code == 0, ran.out
    return ran


# A form that the label does not tell, in the account ------------------------------------------


def test_an_unknown_form_counts_as_the_poorest_where_an_effect_is_counted(
    case: Case, run: Run
) -> None:
    """10 mL of 1 % are 100 mg if the dye holds its water, 116.9 mg of that (373.9 / 319.9) if not.

    1 mg/L is surely there, so that 0.5 mg/L are wanting: 50 mg / 10 / 1.169 = 4.28 mL. Counted as
    the richest form alone 33.1 mg would be wanting: 2.83 mL.
    """
    path = case(BLUE)
    add(run, path, "done", "action=blue", "agent=methylene blue", "amount=10 mL")
    shown = amount(dose(run, path, "methylene blue", "1.5 mg/L as methylene blue trihydrate"))
    assert float(shown["value"]) == pytest.approx(50 / 10 * 319.9 / 373.9, rel=0.01)


def test_an_unknown_form_counts_as_the_richest_where_a_limit_is_held(case: Case, run: Run) -> None:
    """26 mL are 2.6 mg/L of the poorest form and 3.04 mg/L of the richest, where 3 mg/L is the
    most: nothing more may come."""
    path = case(BLUE)
    add(run, path, "done", "action=blue", "agent=methylene blue", "amount=26 mL")
    error = dose(run, path, "methylene blue", "2.7 mg/L as methylene blue trihydrate").error
    assert error["code"] == "E-DOSE-10"


def test_an_amount_asked_for_and_given_counts_its_unknown_form(case: Case, run: Run) -> None:
    """1 mg/L asked for, weighed as the richest form: of the poorest it is 0.8556 mg/L (319.9 /
    373.9). To 1.5 mg/L are wanting 0.6444 mg/L: 64.44 / 10 / 1.169 = 5.51 mL, not 4.28."""
    path = case(BLUE)
    add(run, path, "dose", "agent=methylene blue", "strength=1 mg/L as methylene blue trihydrate")
    add(run, path, "done", "action=blue", "agent=methylene blue")
    shown = amount(dose(run, path, "methylene blue", "1.5 mg/L as methylene blue trihydrate"))
    wanting_mg = 100 * (1.5 - 319.9 / 373.9)
    assert float(shown["value"]) == pytest.approx(wanting_mg / 10 * 319.9 / 373.9, rel=0.01)


# Food that carries a medicine -------------------------------------------------------------------

METRO = ["label", "agent=metronidazole", "strength=pure", "scale=0.1 mg"]
FEED = ("--route", "feed", "--ration", "1 % of body weight")


def test_a_dose_in_food_is_worked_out_from_the_weight_of_the_stock(case: Case, run: Run) -> None:
    """10 angelfish of 20 g: 50 mg/kg x 0.2 kg = 10 mg into 1 % of 200 g = 2 g of food; 5 days
    (Whaley and Francis-Floyd 1991)."""
    answer = dose(run, case(METRO), "metronidazole", "50 mg/kg/d", *FEED).answer
    shown = answer["amount"]
    assert (shown["text"], shown["for_days"], shown["food_g"]) == ("10 mg", 1, 2)
    assert (shown["active_mg_a_day"], answer["food_g_a_day"], answer["days"]) == (10, 2, 5)
    said = " ".join([answer["do"], *answer["rules"]])
    for word in ("gelatine", "whaley_1991", "not eaten", "not counted as in the water",
                 "Waiting time", "veterinarian"):  # fmt: skip
        assert word in said


def test_the_label_holds_less_than_the_whole(case: Case, run: Run) -> None:
    """A powder of 20 % holds 10 mg in 50 mg."""
    weak = ["label", "agent=metronidazole", "strength=20 % w/w", "scale=1 mg"]
    answer = dose(run, case(weak), "metronidazole", "50 mg/kg/d", *FEED).answer
    assert answer["amount"]["text"] == "50 mg"


@pytest.mark.parametrize("strength", ["2.5 g/kg feed", "0.25 % of feed", "2500 mg/kg feed"])
def test_a_content_of_the_food_is_brought_to_the_fish(case: Case, run: Run, strength: str) -> None:
    """2.5 g/kg of food at 1 % of body weight are 25 mg/kg (UF/IFAS CIR91)."""
    path = case(["label", "agent=fenbendazole", "strength=pure", "scale=1 mg"])
    shown = amount(dose(run, path, "fenbendazole", strength, *FEED))
    assert (shown["mg_per_kg_a_day"], shown["active_mg_a_day"]) == (25, 5)


def test_food_told_in_grams_is_a_share_of_the_fish(case: Case, run: Run) -> None:
    """4 g/kg feed and 2 g a day are 8 mg for 200 g: 40 mg/kg of levamisole (UF/IFAS CIR91)."""
    path = case(["label", "agent=levamisole", "strength=pure as levamisole hydrochloride",
                 "scale=0.1 mg"])  # fmt: skip
    shown = amount(dose(run, path, "levamisole", "4 g/kg feed as levamisole hydrochloride",
                        "--route", "feed", "--ration", "2 g/d"))  # fmt: skip
    assert (shown["text"], shown["mg_per_kg_a_day"]) == ("8 mg", 40)


def test_a_farm_of_ninety_kilograms_as_it_is_printed() -> None:
    """75 mg/kg for 90 kg of fish are 6750 mg a day (otc_dosage_nigeria_2023 in works.csv); the
    agent is another, since no amount of an antibiotic is worked out."""
    ran = invoke(
        "dose", "--agent", "praziquantel", "--route", "feed", "--strength", "75 mg/kg/d",
        "--ration", "1 % of body weight", "--fish-weight", "90 kg", "--animal", "koi",
        "--label", "pure", "--scale", "1 mg", "--seen-to", "predissolve=yes",
        "--food-fish", "no", "--json",
    )  # fmt: skip
    assert (ran.answer["amount"]["value"], ran.answer["amount"]["unit"]) == ("6750", "mg")
    is_shaped(ran.answer, "feed")


def test_no_dose_in_food_passes_its_limit_for_the_lightest_fish(case: Case, run: Run) -> None:
    """50 mg/kg is the most that is printed."""
    assert dose(run, case(METRO), "metronidazole", "51 mg/kg/d", *FEED).error["code"] == "E-DOSE-10"


def test_fish_told_by_length_may_be_lighter_than_reckoned(case: Case, run: Run) -> None:
    by_length = case(METRO, ["stock", "name=discus", "count=2", "length=12 cm",
                             "life-stage=adult", "gill-damage=no"])  # fmt: skip
    error = dose(run, by_length, "metronidazole", "50 mg/kg/d", *FEED).error
    assert (error["code"], "Weigh the fish" in error["next"]) == ("E-DOSE-10", True)


def test_too_little_for_the_scale_is_weighed_for_more_days(case: Case, run: Run) -> None:
    """10 mg are ten steps of a scale of 1 mg, each a tenth of it; 30 mg for 3 days are thirty."""
    coarse = ["label", "agent=metronidazole", "strength=pure", "scale=1 mg"]
    answer = dose(run, case(coarse), "metronidazole", "50 mg/kg/d", *FEED).answer
    shown = answer["amount"]
    assert (shown["text"], shown["for_days"], shown["food_g"]) == ("30 mg", 3, 6)
    assert shown["finer_tool"] == ""
    assert "cold, dry" in " ".join(answer["rules"])


def test_a_scale_too_coarse_for_all_days_gets_a_better_one(case: Case, run: Run) -> None:
    """3 mg a day are on no mark of 5 mg; the 15 mg of five days are three steps of a third each."""
    coarse = ["label", "agent=metronidazole", "strength=pure", "scale=5 mg"]
    shown = amount(dose(run, case(coarse), "metronidazole", "15 mg/kg/d", *FEED))
    assert (shown["text"], shown["for_days"]) == ("15 mg", 5)
    assert "better steps of 0.6 mg" in shown["finer_tool"]


def test_all_that_is_missing_of_a_dose_in_food_is_told_at_once(run: Run) -> None:
    error = run("dose", "--agent", "metronidazole", "--route", "feed", "--strength", "50 mg/kg/d",
                "--animal", "freshwater angelfish", "--json").error  # fmt: skip
    words = f"{error['message']} {error['next']}"
    assert (error["code"], error["field"]) == ("E-DOSE-20", "fish_weight")
    assert "fed in a day" in words
    assert "label" in words


def test_no_amount_of_an_antibiotic_is_worked_out(case: Case, run: Run) -> None:
    path = case(["label", "agent=oxytetracycline", "strength=pure", "scale=1 mg"])
    error = dose(run, path, "oxytetracycline", "75 mg/kg/d", *FEED, "--days", "10 d").error
    assert (error["code"], "veterinarian" in error["needed"]) == ("E-DOSE-27", True)


def test_fish_that_are_eaten_get_none_while_the_waiting_time_is_not_known(
    case: Case, run: Run
) -> None:
    path = case(METRO, ["system", "food-fish=yes"])
    assert dose(run, path, "metronidazole", "50 mg/kg/d", *FEED).error["code"] == "S-FOOD"


def test_more_days_than_are_printed_are_refused(case: Case, run: Run) -> None:
    error = dose(run, case(METRO), "metronidazole", "50 mg/kg/d", *FEED, "--days", "10 d").error
    assert (error["code"], error["field"]) == ("E-DOSE-12", "days")


def test_pounds_taken_for_kilograms_do_not_fit_the_length(case: Case, run: Run) -> None:
    """A koi of 30 cm weighs about a pound; half a kilogram typed as 0.5 g or 5 kg does not fit."""
    heavy = ["stock", "name=koi", "count=1", "length=30 cm", "weight=5 kg", "life-stage=adult",
             "gill-damage=no"]  # fmt: skip
    error = dose(run, case(METRO, heavy), "metronidazole", "50 mg/kg/d", *FEED).error
    assert (error["code"], error["field"]) == ("E-DOSE-20", "fish_weight")


def test_food_is_in_no_water_and_never_given_with_the_same_in_the_water(
    case: Case, run: Run
) -> None:
    path = case(METRO)
    fed = ("dose", "agent=metronidazole", "route=feed", "strength=50 mg/kg/d",
           "ration=1 % of body weight")  # fmt: skip
    added = add(run, path, *fed)
    assert "10 mg" in " ".join(added.answer["notes"]).replace("\xa0", " ")
    again = run("case", "add", str(path), *fed, "--json").error
    assert again["code"] == "E-DOSE-22"
    water = dose(run, path, "metronidazole", "5 mg/L").error
    assert (water["code"], "in the food" in water["message"]) == ("E-DOSE-22", True)
    dosed = ("done", "action=metronidazole", "agent=metronidazole", "amount=10 mg")
    for once_more in ((), ("--again",)):
        add(run, path, *dosed, *once_more)
    # Not counted in the water, nor asked about before another agent goes in.
    salt = case_salt(run, path)
    assert salt.code == 0, salt.out


def case_salt(run: Run, path: Path) -> Ran:
    add(run, path, "label", "agent=salt", "strength=pure", "scale=1 g")
    return dose(run, path, "salt", "1 g/L")


def test_food_does_not_go_on_what_is_in_the_water(case: Case, run: Run) -> None:
    path = case(METRO, ["in-water", "agent=metronidazole", "amount=0.4 g"])
    error = dose(run, path, "metronidazole", "50 mg/kg/d", *FEED).error
    assert (error["code"], "in the water already" in error["message"]) == ("E-DOSE-22", True)


# Equipment and empty tanks ----------------------------------------------------------------------

BLEACH = ["label", "agent=household bleach", "strength=5 % w/v", "syringe=1 mL"]
BUCKET = ("--route", "equipment", "--vessel", "10 L", "--minutes", "60 min")


def test_nets_are_disinfected_in_a_bucket(case: Case, run: Run) -> None:
    """200 mg/L in 10 L are 2 g; 5 % w/v holds 50 g/L: 40 mL. Thiosulphate at 7.4 mg for each mg:
    14.8 g (Piper 1982, page 283)."""
    answer = dose(run, case(BLEACH), "household bleach", "200 mg/L", *BUCKET).answer
    assert answer["amount"]["text"] == "40 mL"
    assert answer["thiosulphate_g"] == pytest.approx(14.8, rel=0.02)
    said = " ".join([answer["do"], *answer["rules"]])
    for word in ("acid", "ammonia", "slime", "Rinse", "bone dry", "Never with animals"):
        assert word in said
    assert "Gloves" in answer["people"]["ppe"]


def test_the_printed_gallon_of_bleach(run: Run) -> None:
    """14.4 mL of 5.25 % bleach in a US gallon are 200 mg/L (reckoned anew for the Merck manual)."""
    shown = run(
        "dose", "--agent", "hypochlorite", "--strength", "200 mg/L", "--route", "equipment",
        "--vessel", "1 US gal", "--minutes", "60 min", "--label", "5.25 % w/v",
        "--syringe", "0.1 mL", "--json",
    )  # fmt: skip
    assert amount(shown)["text"] == "14.4 mL"
    is_shaped(shown.answer, "equipment")


def test_a_tank_that_holds_animals_is_never_disinfected(case: Case, run: Run) -> None:
    path = case(BLEACH)
    error = dose(run, path, "hypochlorite", "200 mg/L", "--route", "equipment",
                 "--minutes", "60 min").error  # fmt: skip
    assert (error["code"], "angelfish" in error["message"]) == ("E-DOSE-26", True)
    bath = dose(run, path, "hypochlorite", "200 mg/L").error
    assert bath["code"] == "E-DOSE-27"


EMPTY = ["system", "hospital", "use=fishless", "inside-length=50 cm", "inside-width=40 cm",
         "water-height=20 cm", "plants=no", "invertebrates=no"]  # fmt: skip


def test_an_empty_tank_of_the_case_is_disinfected_whole(case: Case, run: Run) -> None:
    """40 L x 200 mg/L / 50 mg/mL = 160 mL."""
    path = case(BLEACH, EMPTY)
    asked = ("--system", "hospital", "--route", "equipment", "--minutes", "60 min")
    assert amount(dose(run, path, "hypochlorite", "200 mg/L", *asked))["text"] == "160 mL"


def test_bleach_never_meets_what_is_in_an_empty_tank(case: Case, run: Run) -> None:
    path = case(BLEACH, EMPTY, ["in-water", "agent=formalin", "amount=5 g", "system=hospital"])
    asked = ("--system", "hospital", "--route", "equipment", "--minutes", "60 min")
    error = dose(run, path, "hypochlorite", "200 mg/L", *asked).error
    assert (error["code"], "gas" in error["needed"]) == ("E-DOSE-23", True)


def test_nothing_stronger_than_printed_and_what_is_weaker_is_said(case: Case, run: Run) -> None:
    path = case(BLEACH)
    assert dose(run, path, "hypochlorite", "500 mg/L", *BUCKET).error["code"] == "E-DOSE-10"
    weak = dose(run, path, "hypochlorite", "100 mg/L", "--route", "equipment", "--vessel", "10 L",
                "--minutes", "10 min").answer  # fmt: skip
    assert [caution["code"] for caution in weak["cautions"]] == ["E-DOSE-13", "E-DOSE-13"]


def test_what_no_file_prints_for_equipment_is_not_offered(case: Case, run: Run) -> None:
    path = case(["label", "agent=hydrogen peroxide", "strength=3 % w/v", "syringe=1 mL"])
    assert dose(run, path, "hydrogen peroxide", "200 mg/L", *BUCKET).error["code"] == "E-DOSE-27"


def test_an_entry_for_equipment_is_in_no_water(case: Case, run: Run) -> None:
    path = case(BLEACH)
    add(run, path, "dose", "agent=hypochlorite", "route=equipment", "strength=200 mg/L",
        "vessel=10 L", "minutes=60 min")  # fmt: skip
    add(run, path, "done", "action=bleach the nets", "agent=hypochlorite", "amount=40 mL")
    assert case_salt(run, path).code == 0


# What is missing where nobody measured the water --------------------------------------------------


def test_with_no_volume_all_else_that_is_missing_is_told_too(run: Run) -> None:
    error = run("dose", "--agent", "copper_sulphate", "--strength", "0.15 mg/L as Cu",
                "--animal", "freshwater angelfish", "--json").error  # fmt: skip
    assert (error["code"], error["field"]) == ("E-DOSE-20", "volume")
    assert "alkalinity" in error["next"]
    assert "label" in error["next"]


def test_with_no_volume_in_a_case_the_fatal_still_comes_first(typed: Typing, run: Run) -> None:
    tank = [words for words in TANK if "=" not in words or "cm" not in words]
    tank = [words for words in tank if not words.startswith("hose")]
    path = typed("no-volume", [OPENING], [tank, STOCK])
    error = dose(run, path, "copper_sulphate", "0.15 mg/L as Cu").error
    assert (error["code"], error["field"]) == ("E-DOSE-20", "volume")
    assert "alkalinity" in error["next"]
    add(run, path, "stock", "name=cherry shrimp", "count=5", "life-stage=adult")
    fatal = dose(run, path, "copper_sulphate", "0.15 mg/L as Cu").error
    assert fatal["code"] == "E-DOSE-26"
    assert "volume" in fatal["next"]


def test_with_no_tank_in_a_case_all_else_that_is_missing_is_told_too(
    typed: Typing, run: Run
) -> None:
    path = typed("no-tank", [OPENING], [STOCK])
    error = dose(run, path, "copper_sulphate", "0.15 mg/L as Cu").error
    assert (error["code"], error["field"]) == ("E-DOSE-20", "volume")
    assert "alkalinity" in error["next"]


# Tools ------------------------------------------------------------------------------------------


def test_a_step_of_more_than_a_twentyfifth_gets_a_better_tool(case: Case, run: Run) -> None:
    """5 mL on marks of 0.5 mL lie on one, but a mark is a tenth of them: 0.2 mL would be a
    twenty-fifth. On marks of 0.2 mL nothing is said."""
    path = case(["label", "agent=malachite green", "strength=0.1 % w/v as oxalate",
                 "syringe=0.5 mL", "zinc-free=yes"])  # fmt: skip
    ask = ("malachite green", "0.05 mg/L as oxalate")
    shown = amount(dose(run, path, *ask))
    assert shown["text"] == "5 mL"
    assert "10 % of it: better steps of 0.2 mL, or a stock solution" in shown["finer_tool"]
    add(run, path, "label", "agent=malachite green", "strength=0.1 % w/v as oxalate",
        "syringe=0.2 mL", "zinc-free=yes")  # fmt: skip
    fine = dose(run, path, *ask).answer["amount"]
    assert (fine["text"], fine["finer_tool"]) == ("5 mL", "")


def test_a_better_tool_stands_in_the_words_too(case: Case, run: Run) -> None:
    path = case(["label", "agent=salt", "strength=pure", "scale=10 g"])
    ran = run("dose", "--case", str(path), "--agent", "salt", "--strength", "1 g/L")
    assert "A step is 10 % of it" in ran.out.replace("\xa0", " ")


# What a meter reads -------------------------------------------------------------------------------


def test_a_salinity_meter_counts_before_salt_is_asked(case: Case, run: Run) -> None:
    """2 g/L are read and 3 g/L wanted: 100 g in 100 L, not 300 g."""
    path = case(["in-water", "none"], ["water", "salinity=2 g/L"],
                ["label", "agent=salt", "strength=pure", "scale=1 g"])  # fmt: skip
    assert amount(dose(run, path, "salt", "3 g/L"))["text"] == "100 g"
