"""140 generated amounts against a second implementation in exact fractions.

The second sum starts from what a label states about one millilitre or one gram of the container
and counts how much of it is needed; it shares no line with the program's.
"""

from __future__ import annotations

import csv
import itertools
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from tankside.course import LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.course.amounts.weighing import weigh_out

F = Fraction
BASES = [*StrengthBasis]
PRINTED = Path(__file__).resolve().parents[1] / "golden" / "dose_printed_cases.csv"


def generated() -> list[tuple[Decimal, Decimal, LabelEntry]]:
    """Return 140 cases: every basis by every tool, over strengths, volumes, forms, densities."""
    cases = []
    pairs = [*itertools.product(BASES, [*ToolUnit])]
    for number, (basis, unit) in zip(range(140), itertools.cycle(pairs), strict=False):
        share = Decimal(1 + 7 * number % 100) / 100
        per_ml = Decimal(1 + 13 * number % 300)
        label = LabelEntry(
            "x", per_ml if basis is StrengthBasis.MG_PER_ML else share, basis, "a form",
            Decimal(100 + 37 * number % 900) / 1000, Decimal(800 + 29 * number % 600) / 1000,
            Tool(unit, Decimal("0.000001")), solid=number // len(pairs) % 2 == 0,
        )  # fmt: skip
        mg_l = Decimal(1 + 97 * number % 5000) / Decimal(10 ** (number % 4))
        cases.append((mg_l, Decimal(10 + 331 * number % 20_000) / 10, label))
    return cases


def needed(mg_l: Decimal, litres: Decimal, label: LabelEntry) -> Fraction:
    """Return how many units of the tool hold the strength in that water."""
    rho = F(label.density_g_ml or 0)
    strength = F(label.strength)
    by_volume = label.basis is StrengthBasis.AS_PRODUCT and not label.solid
    if label.basis is StrengthBasis.MG_PER_ML:
        form_in_one_ml = strength
    elif by_volume or "v" in label.basis.value:
        form_in_one_ml = strength * 1000
    else:
        form_in_one_ml = strength * 1000 * rho
    agent_in_one_ml = form_in_one_ml * F(label.active_per_form)
    millilitres = F(mg_l) * F(litres) / agent_in_one_ml
    per_ml = {ToolUnit.MILLILITRE: F(1), ToolUnit.GRAM: rho, ToolUnit.MILLIGRAM: rho * 1000}
    return millilitres * per_ml[label.tool.unit]


@pytest.mark.parametrize("case", generated(), ids=lambda c: f"{c[2].basis}-{c[2].tool.unit}-{c[0]}")
def test_the_program_agrees_with_a_second_sum(case: tuple[Decimal, Decimal, LabelEntry]) -> None:
    weighed = weigh_out(*case)
    assert abs(F(weighed.exact) / needed(*case) - 1) < F(1, 10**40)


def test_every_basis_is_met_by_every_tool_as_a_solid_and_as_a_liquid() -> None:
    met = {(label.basis, label.tool.unit, label.solid) for _, _, label in generated()}
    assert met == set(itertools.product(BASES, [*ToolUnit], (True, False)))


# Sums that others printed, through the program's own forward sum ---------------------------

# Exact by definition: the foot 0.3048 m, the US gallon 231 cubic inches, the imperial gallon
# 4.54609 L, the pound 453.59237 g.
US_GALLON = F(231) * F(254, 1000) ** 3
FOOT = F(3048, 1000) ** 3
LITRES = {"L": F(1), "mL": F(1, 1000), "m3": F(1000), "US gal": US_GALLON,
          "imp gal": F(454609, 100_000), "ft3": FOOT, "acre-ft": 43_560 * FOOT}  # fmt: skip
POUND = F(45_359_237, 100_000)
GRAMS = {"g": F(1), "kg": F(1000), "mg": F(1, 1000), "lb": POUND, "oz": POUND / 16,
         "grain": POUND / 7000}  # fmt: skip
MILLILITRES = {"mL": F(1), "uL": F(1, 1000), "fl oz": US_GALLON * 1000 / 128}
STRENGTH = {"mg/L": F(1), "uL/L": F(1), "g/L": F(1000)}


def printed() -> list[dict[str, str]]:
    lines = [x for x in PRINTED.read_text(encoding="utf-8").splitlines() if not x.startswith("#")]
    return [row for row in csv.DictReader(lines) if row["kind"] == "amount"]


def decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


@pytest.mark.parametrize("row", printed(), ids=lambda row: row["id"])
def test_an_amount_printed_elsewhere_comes_out_of_the_forward_sum(row: dict[str, str]) -> None:
    """The printed answer follows within its own rounding (the source stands in the row)."""
    liquid = row["answer_unit"] in MILLILITRES
    by_mass = row["x_unit"] != "uL/L" and row["share"] != "1"
    basis = StrengthBasis.VOLUME_PER_VOLUME if liquid else StrengthBasis.MASS_PER_MASS
    if liquid and by_mass:
        basis = StrengthBasis.MASS_PER_VOLUME
    unit = ToolUnit.MILLILITRE if liquid else ToolUnit.GRAM
    label = LabelEntry("x", Decimal(row["share"]), basis, "x", Decimal(1), None,
                       Tool(unit, Decimal("0.0000000001")))  # fmt: skip
    mg_l = decimal(F(row["x"]) * STRENGTH[row["x_unit"]])
    litres = decimal(F(row["y"]) * LITRES[row["y_unit"]])
    amount = F(weigh_out(mg_l, litres, label).value)
    answer = F(row["answer"]) * (MILLILITRES if liquid else GRAMS)[row["answer_unit"]]
    assert abs(amount / answer - 1) <= F(row["rounding"]), row["as_printed"]


def test_the_printed_amounts_are_told_in_the_measures_of_several_countries() -> None:
    rows = printed()
    assert {"L", "US gal"} <= {row["y_unit"] for row in rows}
    assert {row["answer_unit"] for row in rows} & set(GRAMS)
    assert {row["answer_unit"] for row in rows} & set(MILLILITRES)
