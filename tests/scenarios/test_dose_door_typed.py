"""The door of amounts, typed as a person types it: products, labels, tools, and what is missing.

Sums are redone by hand in the docstrings; densities and formulas are from memory of handbooks.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing, amount, dose

Run = Callable[..., Ran]
Case = Callable[..., Path]

OPENING = ["--name", "Mill Bank", "--keeper", "R. Dunn", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-03-02"]  # fmt: skip
SIZE = ["inside-length=100 cm", "inside-width=50 cm", "water-height=20 cm"]
TANK = ["system", *SIZE, "hose=20 L/min for 5 min", "carbon=no", "uv=no", "plants=no",
        "invertebrates=no", "filter-ripe=yes", "food-fish=no"]  # fmt: skip
STOCK = ["stock", "name=swordtail", "count=6", "length=8 cm", "life-stage=adult",
         "gill-damage=no"]  # fmt: skip
WATER = ["water", "temperature=20 C", "ph=7.4", "oxygen=8 mg/L", "kh=8 dH",
         "ammonia=0 mg/L as N", "nitrite=0 mg/L as N"]  # fmt: skip
FORMALIN = ["label", "agent=formalin", "strength=37 % w/v as formaldehyde", "syringe=0.1 mL",
            "clear-solution=yes"]  # fmt: skip
PEROXIDE = ["label", "agent=hydrogen peroxide", "strength=3 % w/v", "syringe=0.1 mL"]


@pytest.fixture(autouse=True)
def _that_evening(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T18:00+00:00")


@pytest.fixture
def case(typed: Typing, request: pytest.FixtureRequest) -> Case:
    """Return what types a case of 100 L with more entries."""

    def type_in(*rows: list[str]) -> Path:
        name = "".join(c if c.isalnum() else "-" for c in request.node.name)
        return typed(name, [OPENING], [TANK, STOCK, WATER, *rows])

    return type_in


BATH = ("--route", "bath", "--minutes", "60 min")


# Volume per volume, and what a label directs ----------------------------------------------------


@pytest.mark.parametrize("strength", ["0.1 mL/L", "100 mL/m3", "10 mL for 100 L", "10 mL/100 L"])
def test_volume_per_volume_is_a_dose_of_the_product(case: Case, run: Run, strength: str) -> None:
    """10 mL of 3 % w/v in 100 L: 300 mg in 100 L are 3 mg/L. Read as g/L of the active it was
    333 mL for a hundredth of a millilitre a litre."""
    shown = amount(dose(run, case(PEROXIDE), "hydrogen peroxide", strength, *BATH))
    assert (shown["text"], shown["strength_mg_l"]) == ("10 mL", 3)


def test_a_hundredth_of_a_millilitre_a_litre_is_one_millilitre_in_a_hundred_litres(
    case: Case, run: Run
) -> None:
    shown = amount(dose(run, case(PEROXIDE), "hydrogen peroxide", "0.01 mL/L", *BATH))
    assert shown["text"] == "1 mL"


def test_volume_per_volume_without_the_strength_of_the_product_is_refused(
    case: Case, run: Run
) -> None:
    error = dose(run, case(), "hydrogen peroxide", "0.01 mL/L", *BATH).error
    assert (error["code"], error["field"]) == ("E-PROD-01", "strength")


def test_volume_per_volume_is_none_of_a_form(case: Case, run: Run) -> None:
    error = dose(run, case(PEROXIDE), "hydrogen peroxide", "0.01 mL/L as H2O2", *BATH).error
    assert error["code"] == "E-UNIT-03"


def test_formalin_alone_is_told_by_volume_by_convention(case: Case, run: Run) -> None:
    """25 mL/m3 are 2.5 mL of 37 % formaldehyde in 100 L (UF/IFAS VM-77)."""
    assert amount(dose(run, case(FORMALIN), "formalin", "25 mL/m3"))["text"] == "2.5 mL"


def test_directions_dose_the_bottle_as_it_is(case: Case, run: Run) -> None:
    """5 g of a powder of half the strength bring half of it: 2.5 g in 100 L, 25 mg/L."""
    path = case(["label", "agent=salt", "strength=50 % w/w", "scale=0.1 g"])
    shown = amount(dose(run, path, "salt", "200 g for 100 L"))
    assert (shown["text"], shown["strength_mg_l"]) == ("200 g", 1000)


def test_a_dose_of_a_product_that_is_kept_counts_as_what_it_brings(case: Case, run: Run) -> None:
    path = case(["label", "agent=salt", "strength=50 % w/w", "scale=0.1 g"])
    kept = run("case", "add", str(path), "dose", "agent=salt", "strength=200 g for 100 L")
    assert kept.code == 0, kept.err
    done = run("case", "add", str(path), "done", "action=salt", "agent=salt")
    assert done.code == 0, done.err
    error = dose(run, path, "salt", "1 g/L").error
    assert error["code"] in ("E-DOSE-25", "E-DOSE-22")


# Read-back, density, forms ----------------------------------------------------------------------


def test_no_read_back_invites_another_amount(case: Case, run: Run) -> None:
    """A bottle of 37 % is the product: beside it stood "2.7 times as much with product"."""
    back = amount(dose(run, case(FORMALIN), "formalin", "25 mL/m3"))["read_back"]
    assert "times as much" not in back
    assert "2.7" not in back


def test_a_read_back_is_proved_by_the_second_sum(run: Run) -> None:
    """85 mg of crystals bring 0.1794 mg/L; were they free of water, 63.546 / 159.6 of them are
    copper: 0.2806 mg/L in 120.6 L."""
    shown = run(
        "dose", "--agent", "copper_ionic", "--strength", "0.18 mg/L as Cu", "--volume", "120.6 L",
        "--label", "pure as CuSO4.5H2O", "--scale", "1 mg", "--animal", "clownfish",
        "--water", "marine", "--invertebrates", "no", "--plants", "no",
        "--alkalinity", "140 mg/L as CaCO3", "--ph", "8.1", "--temperature", "25 C", "--json",
    )  # fmt: skip
    back = shown.answer["amount"]["read_back"].replace("\xa0", " ")
    assert "0.2806 mg/L if it is cuso4 anhydrous" in back


def test_a_density_belongs_to_the_strength_of_the_solution(case: Case, run: Run) -> None:
    """1.13 g/mL is that of 35 % peroxide; a bottle of 3 % w/w asks for its own."""
    weak = ["label", "agent=hydrogen peroxide", "strength=3 % w/w", "syringe=0.1 mL"]
    error = dose(run, case(weak), "hydrogen peroxide", "6 mg/L", *BATH).error
    assert (error["code"], "density" in error["needed"]) == ("E-PROD-01", True)


def test_a_syringe_works_with_a_label_by_weight(case: Case, run: Run) -> None:
    """600 mg / 0.03 / 1.01 g/mL = 19.8 mL."""
    weak = ["label", "agent=hydrogen peroxide", "strength=3 % w/w", "syringe=0.1 mL",
            "density=1.01 g/mL"]  # fmt: skip
    assert amount(dose(run, case(weak), "hydrogen peroxide", "6 mg/L", *BATH))["text"] == "19.8 mL"


def test_a_density_that_is_on_file_is_taken_for_its_own_strength(case: Case, run: Run) -> None:
    """600 mg / 0.35 / 1.1317 g/mL = 1.515 mL (US 21 CFR 529.1150: 396.1 mg/mL)."""
    strong = ["label", "agent=hydrogen peroxide", "strength=35 % w/w", "syringe=0.01 mL"]
    shown = amount(dose(run, case(strong), "hydrogen peroxide", "6 mg/L", *BATH))
    assert shown["text"] in ("1.51 mL", "1.52 mL")


def test_a_mixture_names_what_it_brings_of_each_active(case: Case, run: Run) -> None:
    """25 mg/L of formalin with 0.1 mg/L of the dye: 20 bring 0.08 (Leteux and Meyer 1972)."""
    path = case(["label", "agent=formalin and malachite green", "strength=as product",
                 "syringe=0.1 mL"])  # fmt: skip
    shown = dose(run, path, "formalin and malachite green", "20 mL/m3").answer
    assert shown["brings"] == "20 mg/L formalin and 0.08 mg/L malachite green"


BLUE = "agent=methylene blue"


def test_a_label_that_does_not_tell_its_form_has_a_safe_end(case: Case, run: Run) -> None:
    """Taken for the form that holds most: the water gets what was asked for, or less."""
    error = run("case", "add", str(case()), "label", BLUE, "strength=1 % w/v", "syringe=0.1 mL",
                "--json").error  # fmt: skip
    assert "as ?" in error["needed"]


def test_an_unknown_form_is_taken_for_the_one_that_holds_most(case: Case, run: Run) -> None:
    """The dye without its water holds 373.9 / 319.9 of the trihydrate (g/mol): 200 mg / 0.01
    / 1.169 = 17.1 mL, where 20 mL would be needed of the weaker."""
    path = case(["label", BLUE, "strength=1 % w/v as ?", "syringe=0.1 mL"])
    shown = dose(run, path, "methylene blue", "2 mg/L as methylene blue trihydrate").answer
    assert float(shown["amount"]["value"]) == pytest.approx(200 / 10 * 319.9 / 373.9, rel=0.01)
    asked = next(c for c in shown["cautions"] if c["code"] == "E-PROD-04")
    assert "1.711" in asked["why"] or "1.71" in asked["why"]
    assert "never add more on a guess" in asked["instead"]


@pytest.mark.parametrize("form", ["as oxalate", "as OXALATE", "as  oxalate"])
def test_a_form_is_spelt_alike_in_a_strength_and_on_a_label(
    case: Case, run: Run, form: str
) -> None:
    path = case(["label", "agent=malachite green", f"strength=0.1 % w/v {form}", "syringe=0.1 mL",
                 "zinc-free=yes"])  # fmt: skip
    assert amount(dose(run, path, "malachite green", f"0.1 mg/L {form}"))["text"] == "10 mL"


# Tools ------------------------------------------------------------------------------------------


def test_too_little_for_the_scale_comes_with_a_recipe(case: Case, run: Run) -> None:
    """200 mg on a scale of 0.1 g and a syringe of 0.5 mL: 10 g to 1000 mL, 20 mL of it."""
    path = case(["label", BLUE, "strength=pure as methylene blue trihydrate", "scale=0.1 g",
                 "syringe=0.5 mL"])  # fmt: skip
    answer = dose(run, path, "methylene blue", "2.05 mg/L as methylene blue trihydrate").answer
    stock = answer["amount"]["stock_solution"]
    assert "Dissolve 10 g in water to make 1000 mL" in stock
    assert answer["amount"]["text"] == "20.5 mL"
    assert "of a stock solution" in answer["do"]


def test_a_coarse_syringe_dilutes_where_it_cannot_measure(case: Case, run: Run) -> None:
    """7.25 mL lie between two marks of 0.5 mL; ten times thinner they are 72.5 mL."""
    path = case(["label", "agent=malachite green", "strength=0.1 % w/v as oxalate",
                 "syringe=0.5 mL", "zinc-free=yes"])  # fmt: skip
    shown = amount(dose(run, path, "malachite green", "0.0725 mg/L as oxalate"))
    assert "Dilute 10 mL in water to make 100 mL" in shown["stock_solution"]
    assert shown["text"] == "72.5 mL"


# What is missing, and fields --------------------------------------------------------------------


def test_all_that_is_missing_is_told_at_once_and_the_fatal_first(run: Run) -> None:
    ask = ("dose", "--agent", "copper_sulphate", "--strength", "0.15 mg/L as Cu",
           "--volume", "100 L", "--json")  # fmt: skip
    error = run(*ask, "--animal", "swordtail").error
    words = f"{error['message']} {error['next']}"
    assert "alkalinity" in words
    assert "label" in words
    fatal = run(*ask, "--animal", "cherry shrimp").error
    assert fatal["code"] == "E-DOSE-26"
    assert "alkalinity" in fatal["next"]


@pytest.mark.parametrize(
    ("rows", "ask", "field"),
    [
        ((), ("salt", "9 g/L"), "strength"),
        ((), ("salt", "4 g/L"), "reason"),
        ((FORMALIN,), ("formalin", "100 mL/m3", "--route", "bath", "--minutes", "90 min"),
         "minutes"),
        ((), ("trichlorfon", "0.2 mg/L"), "agent"),
    ],
)  # fmt: skip
def test_a_refusal_names_the_box_and_no_key_of_the_library(
    case: Case, run: Run, rows: tuple[list[str], ...], ask: tuple[str, ...], field: str
) -> None:
    path = case(["label", "agent=salt", "strength=pure", "scale=1 g"], *rows)
    assert dose(run, path, *ask).error["field"] == field


def test_no_strength_or_volume_is_written_with_an_exponent(case: Case, run: Run) -> None:
    path = case(["label", "agent=salt", "strength=pure", "scale=1 g"])
    dip = run("dose", "--case", str(path), "--agent", "salt", "--strength", "25 g/L",
              "--route", "dip", "--minutes", "3 min", "--why")  # fmt: skip
    assert "e+0" not in dip.out + dip.err
    assert "30\xa0g/L" in dip.out


def test_a_dose_at_its_usual_strength_is_no_alarm(case: Case, run: Run) -> None:
    """2 mg/L of praziquantel is the usual strength; the volume's own error made it an alarm."""
    path = case(["label", "agent=praziquantel", "strength=pure", "scale=0.01 g",
                 "predissolve=yes"])  # fmt: skip
    codes = {c["code"] for c in dose(run, path, "praziquantel", "2 mg/L").answer["cautions"]}
    assert not codes & {"E-DOSE-11", "E-DOSE-13"}


def test_a_large_mass_is_stirred_in_lots(typed: Typing, run: Run) -> None:
    """44.7 kg of salt go into no bucket: 23 lots of under 2 kg."""
    pond = ["system", "inside-length=400 cm", "inside-width=300 cm", "water-height=120 cm",
            "adds=500 L filter", "meter=14900 L", *TANK[5:]]  # fmt: skip
    koi = ["stock", "name=koi", "count=5", "length=40 cm", "life-stage=adult", "gill-damage=no"]
    path = typed("pond", [OPENING], [pond, koi, WATER, ["label", "agent=salt", "strength=pure",
                                                         "scale=100 g"]])  # fmt: skip
    line = dose(run, path, "salt", "3 g/L").answer["do"]
    assert "44.7 kg, in 23 lots of about 1900 g" in line
    assert "Stir 44700" not in line


# Where an amount is not to be shown --------------------------------------------------------------


def test_a_fixative_is_no_formalin(case: Case, run: Run) -> None:
    weak = [*FORMALIN[:2], "strength=4 % w/v as formaldehyde", *FORMALIN[3:]]
    error = dose(run, case(weak), "formalin", "25 mL/m3").error
    assert (error["code"], error["field"]) == ("E-PROD-01", "label")


def test_a_pond_is_no_vessel_for_a_bath(typed: Typing, run: Run) -> None:
    pond = ["system", "inside-length=400 cm", "inside-width=300 cm", "water-height=120 cm",
            "adds=500 L filter", "meter=14900 L", *TANK[5:]]  # fmt: skip
    koi = ["stock", "name=koi", "count=5", "length=40 cm", "life-stage=adult", "gill-damage=no"]
    path = typed("bath-in-a-pond", [OPENING], [pond, koi, WATER, FORMALIN])
    error = dose(run, path, "formalin", "200 mL/m3", "--route", "bath", "--minutes", "30 min").error
    assert (error["code"], error["field"]) == ("E-DOSE-20", "system")


def test_nothing_is_put_back_of_what_was_never_given(case: Case, run: Run) -> None:
    path = case(["label", "agent=salt", "strength=pure", "scale=1 g"], ["in-water", "none"])
    assert dose(run, path, "salt", "1 g/L", "--changed", "40 L").error["code"] == "E-DOSE-20"
