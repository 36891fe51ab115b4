"""Every row of tests/golden/dose_worked_examples.csv: reproduced, or refused with its reason.

The expected value of each row was worked by hand from the printed input; its source stands in
the row. Rows marked wrong or refuse must be stopped as they are printed.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from tankside.course import Course, LabelEntry, StrengthBasis, System, Tool, ToolUnit, run
from tankside.course.actions import Dose
from tankside.course.amounts.double_check import confirm, strength_from_print
from tankside.course.amounts.limits import Around, hard_limit
from tankside.course.amounts.printing import label_words
from tankside.course.amounts.weighing import weigh_out
from tankside.errors import Mistake
from tankside.intake.labels import read_labels
from tankside.library import load
from tankside.quantity import Kind, parse_quantity
from tankside.water.dilution import left_after_changes

TABLE = Path(__file__).resolve().parents[1] / "golden" / "dose_worked_examples.csv"
FACTS = load()
G, MG, ML = ToolUnit.GRAM, ToolUnit.MILLIGRAM, ToolUnit.MILLILITRE
PURE, WW, WV, VV, PER_ML = (
    StrengthBasis.PURE,
    StrengthBasis.MASS_PER_MASS,
    StrengthBasis.MASS_PER_VOLUME,
    StrengthBasis.VOLUME_PER_VOLUME,
    StrengthBasis.MG_PER_ML,
)
# Exact by definition: the foot 0.3048 m, the US gallon 231 cubic inches, the pound 453.59237 g.
US_GAL = Decimal("3.785411784")
ACRE_FOOT = 43_560 * Decimal("3.048") ** 3
POUND_G = Decimal("453.59237")
COARSE = 0.012  # values are given to two or three digits


def label(basis: StrengthBasis, strength: str, unit: ToolUnit, share: str = "1",
          density: str | None = None) -> LabelEntry:  # fmt: skip
    heavy = None if density is None else Decimal(density)
    tool = Tool(unit, Decimal("0.000001"))
    return LabelEntry("x", Decimal(strength), basis, "a form", Decimal(share), heavy, tool)


def rows() -> dict[str, dict[str, str]]:
    lines = [r for r in TABLE.read_text(encoding="utf-8").splitlines() if not r.startswith("#")]
    return {row["id"]: row for row in csv.DictReader(lines)}


def take(mg_l: Decimal | str, litres: Decimal | str, entry: LabelEntry) -> float:
    """Return the amount that the program measures out, in the unit of the tool."""
    return float(weigh_out(Decimal(mg_l), Decimal(litres), entry).value)


def gives(amount: str, litres: Decimal | str, entry: LabelEntry) -> float:
    """Return the strength [mg/L] that a printed amount comes to."""
    return float(strength_from_print(amount, label_words(entry), "", str(litres)))


def at_alkalinity(mg_l: float) -> float:
    limit = hard_limit(FACTS, "copper_sulphate", "prolonged", Around(20.0, mg_l, False, "fresh"))
    assert limit is not None
    return limit.mg_l


SOUND: dict[str, Callable[[], float]] = {
    "copper_sulphate_1": lambda: at_alkalinity(80.0),
    "formalin_2": lambda: take("52.8", 10 * US_GAL, label(VV, "1", ML)),
    "formalin_3": lambda: gives("1 mL", "5", label(VV, "1", ML)),
    "formalin_5": lambda: take("50", "1000", label(VV, "1", ML)),
    "formalin_6": lambda: 100 / FACTS.number("agent.formalin.form.formaldehyde"),
    "formalin_7": lambda: 25 * FACTS.number("agent.formalin.oxygen_demand"),
    "potassium_permanganate_2": lambda: take(  # 2 mg/L of permanganate, answered mg for mg
        Decimal(2) * Decimal(str(FACTS.number("agent.potassium_permanganate.neutralise_ratio"))),
        "100", label(PER_ML, "30", ML)),
    "methylene_blue_1": lambda: gives("5 mL", 10 * US_GAL, label(WV, "0.02303", ML)),
    "copper_chelated_1": lambda: gives("3 g", "0.75", label(PURE, "1", G, "0.2545")) / 1000,
    "copper_sulphate_3": lambda: take(
        "0.5", 15_000_000 * US_GAL, label(WW, "0.25", G)) / float(POUND_G),
    "copper_sulphate_4": lambda: take(
        Decimal("0.9") * POUND_G * 1000 / ACRE_FOOT, 35 * ACRE_FOOT, label(PURE, "1", G)
    ) / float(POUND_G),
    "general_1": lambda: take("1", ACRE_FOOT, label(PURE, "1", G)) / float(POUND_G),
    "general_2": lambda: take("10000", "1", label(PURE, "1", G)),
    "chloroquine_1": lambda: gives("44 mg", US_GAL, label(PURE, "1", MG)),
    "lufenuron_1": lambda: gives("409.8 mg", "3785", label(PURE, "1", MG)),
    "tricaine_1": lambda: gives("4.2 mL", "0.1042", label(PER_ML, "4", ML)),
    "eugenol_1": lambda: gives("0.2 mL", "5", label(WW, "1", ML, density="1.05")),
    "eugenol_2": lambda: gives("0.44 mL", "10", label(WW, "1", ML, density="1.05")),
    # 0.1 mL of 10 % w/v against 15 mg/L of chlorine in 120 mL
    "sodium_thiosulphate_1": lambda: gives("0.1 mL", "0.12", label(WV, "0.1", ML)) / 15,
    "hypochlorite_1": lambda: 0.5 * (1 - left_after_changes(0.1, 1).number),
    "hypochlorite_3": lambda: take("5000", "1", label(WW, "0.7", G)),
    "sodium_chloride_3": lambda: 2 * FACTS.number("agent.sodium_chloride.form.chloride"),
    # printed: 82.54 of a 30 % product holds 24.76
    "hydrogen_peroxide_1": lambda: 0.30 * gives("82.54 mg", "1", label(WW, "0.30", MG)) / 24.76,
    "praziquantel_1": lambda: take("10", "1000", label(PURE, "1", G)),
    "hydrogen_peroxide_2": lambda: take("75", "100", label(WW, "0.35", ML, density="1.1317")),
    "chloramine_t_1": lambda: take("20", "100", label(PURE, "1", G)),
}  # fmt: skip


@pytest.mark.parametrize("example", SOUND)
def test_a_sound_example_comes_out_as_worked_by_hand(example: str) -> None:
    value = float(rows()[example]["value"])
    assert SOUND[example]() == pytest.approx(value, rel=COARSE)


def above(agent: str, mg_l: float, around: Around) -> str:
    limit = hard_limit(FACTS, agent, "prolonged", around)
    assert limit is not None
    return "E-DOSE-10" if mg_l > limit.mg_l else ""


def code(call: Callable[..., object], *args: object, **kwargs: object) -> str:
    with pytest.raises(Mistake) as refused:
        call(*args, **kwargs)
    assert refused.value.message
    assert refused.value.next_step
    return refused.value.code


COOL = Around(15.0, 120.0, young=False)
# row -> what it would have the keeper do, and the refusal
REFUSED: dict[str, tuple[str, Callable[[], str]]] = {
    "formalin_1": ("E-DOSE-10", lambda: above("formalin", 25_000.0, COOL)),
    "sodium_chloride_1": ("E-DOSE-10", lambda: above("sodium_chloride", 15_000.0, COOL)),
    "potassium_permanganate_1": ("E-DOSE-900", lambda: claimed(
        "1 mL", US_GAL, label(WV, "0.01", ML), "2")),
    "copper_sulphate_2": ("E-DOSE-900", lambda: claimed(
        "1 mL", Decimal("10.5") * US_GAL, label(PER_ML, "10", ML), "0.5")),
    "tricaine_2": ("E-DOSE-900", lambda: claimed(
        "1 mL", Decimal("0.011"), label(PER_ML, "4", ML), "400")),
    "hypochlorite_2": ("E-DOSE-900", lambda: claimed(
        "35 mL", US_GAL, label(WV, "0.0525", ML), "200")),
    "sodium_chloride_2": ("E-UNIT-04", lambda: code(
        parse_quantity, "1 teaspoon", Kind.MASS, field="amount")),
    "malachite_green_1": ("E-UNIT-04", lambda: code(
        parse_quantity, "8 drops", Kind.VOLUME, field="amount")),
    "diflubenzuron_1": ("E-PROD-01", lambda: code(
        read_labels, FACTS, ["diflubenzuron=as product"], "1 g", None)),
    "formalin_4": ("E-DOSE-10", lambda: bath_limit_warm(158.5)),
    # told in kg per hectare and in pounds per acre: lime on a pond bottom is no amount here
    "equipment_disinfection_1": ("E-UNIT-05", lambda: code(
        parse_quantity, "1000 kg/ha", Kind.MASS_CONCENTRATION, field="strength")),
}  # fmt: skip


def claimed(amount: str, litres: Decimal, entry: LabelEntry, mg_l: str) -> str:
    """Claim for an amount the strength that is printed for it."""
    return code(confirm, amount, label_words(entry), "", str(litres), mg_l, mg_l)


def bath_limit_warm(mg_l: float) -> str:
    """The print gives no temperature: where it is not known the warm limit holds."""
    limit = hard_limit(FACTS, "formalin", "bath", Around(None, 120.0, young=False))
    cool = hard_limit(FACTS, "formalin", "bath", COOL)
    assert limit is not None
    assert cool is not None
    assert mg_l <= cool.mg_l
    return "E-DOSE-10" if mg_l > limit.mg_l else ""


@pytest.mark.parametrize("example", REFUSED)
def test_an_unsound_example_is_stopped_as_printed(example: str) -> None:
    wanted, attempt = REFUSED[example]
    assert attempt() == wanted


WHAT_IT_GIVES = {
    "potassium_permanganate_1": ("1 mL", US_GAL, label(WV, "0.01", ML)),
    "copper_sulphate_2": ("1 mL", Decimal("10.5") * US_GAL, label(PER_ML, "10", ML)),
    "tricaine_2": ("1 mL", Decimal("0.011"), label(PER_ML, "4", ML)),
    "sodium_chloride_2": ("0.0057 g", US_GAL, label(PURE, "1", G)),
}


@pytest.mark.parametrize("example", WHAT_IT_GIVES)
def test_what_an_unsound_example_really_gives_is_what_the_hand_found(example: str) -> None:
    computed = gives(*WHAT_IT_GIVES[example])
    assert computed == pytest.approx(float(rows()[example]["value"]), rel=COARSE)


def test_an_amount_in_feed_is_not_worked_out_and_its_print_is_inside_the_limit() -> None:
    """levamisole_1: 1.8 g in a pound of feed at 1 % of the weight of the fish is 39.7 mg/kg."""
    printed = 1.8e6 / float(POUND_G) * 0.01
    assert printed == pytest.approx(float(rows()["levamisole_1"]["value"]), rel=0.001)
    limit = FACTS.find("agent.levamisole.hard_max.feed")
    assert limit is not None
    assert printed <= limit.number() < printed * 1.1


def test_every_row_is_reproduced_or_refused() -> None:
    table = rows()
    sound = {key for key, row in table.items() if row["verdict"] == "sound"}
    assert set(SOUND) | {"levamisole_1"} == sound
    assert set(REFUSED) == set(table) - sound


@pytest.mark.parametrize("alkalinity", [49.9, 36.0, 0.0])
def test_copper_below_an_alkalinity_of_50_is_refused(water: System, alkalinity: float) -> None:
    soft = replace(water, alkalinity_mg_l_caco3=alkalinity)
    course_run = run([soft], [], Course("c", 1, (Dose(8, "main", "copper_sulphate", 0.1),)), FACTS)
    assert any(c.code == "E-DOSE-25" and "alkalinity" in c.words for c in course_run.blocked)
