"""Sums printed by others, worked again in exact fractions: the table may be used as a yardstick."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from tankside.library import load

TABLE = Path(__file__).resolve().parents[1] / "golden" / "dose_printed_cases.csv"

# Exact definitions; litres and milligrams (or millilitres told in microlitres) are the base.
FOOT_L = Fraction(3048, 1000) ** 3  # 0.3048 m, in dm
US_GALLON_L = 231 * Fraction(254, 1000) ** 3  # 231 cubic inches, in dm
LITRES = {
    "L": Fraction(1),
    "mL": Fraction(1, 1000),
    "m3": Fraction(1000),
    "US gal": US_GALLON_L,
    "imp gal": Fraction(454609, 100000),
    "ft3": FOOT_L,
    "acre-ft": 43560 * FOOT_L,
}
POUND_MG = Fraction(45359237, 100)
# Milligrams of mass, or microlitres of liquid: both are one part in a million of a litre of water.
PARTS = {
    "mg": Fraction(1),
    "g": Fraction(1000),
    "kg": Fraction(1000000),
    "lb": POUND_MG,
    "oz": POUND_MG / 16,
    "grain": POUND_MG / 7000,
    "uL": Fraction(1),
    "mL": Fraction(1000),
    "fl oz": US_GALLON_L * 1000000 / 128,
}
STRENGTHS = {"mg/L": Fraction(1), "uL/L": Fraction(1), "g/L": Fraction(1000)}
ROUND_NUMBER = Fraction(314159265, 100000000)


def rows() -> list[dict[str, str]]:
    lines = [x for x in TABLE.read_text(encoding="utf-8").splitlines() if not x.startswith("#")]
    return list(csv.DictReader(lines))


def box(lengths: str, unit: str) -> Fraction:
    """Return the volume [L] of a box, or of a round vessel given by its diameter."""
    side = {"m": Fraction(10), "ft": Fraction(3048, 1000)}[unit]
    total = Fraction(1)
    for part in lengths.split(" x "):
        number = Fraction(part.removesuffix(" round")) * side
        total *= number**2 / 4 * ROUND_NUMBER if part.endswith("round") else number
    return total


def worked(row: dict[str, str]) -> Fraction:
    """Return the answer in the unit of the print."""
    if row["kind"] == "volume":
        return box(row["x"], row["x_unit"]) / LITRES[row["answer_unit"]]
    x, y, share = Fraction(row["x"]), Fraction(row["y"]), Fraction(row["share"])
    if row["kind"] == "amount":
        parts = x * STRENGTHS[row["x_unit"]] * y * LITRES[row["y_unit"]] / share
        return parts / PARTS[row["answer_unit"]]
    if row["kind"] == "strength":
        parts = x * PARTS[row["x_unit"]] * share
        return parts / (y * LITRES[row["y_unit"]]) / STRENGTHS[row["answer_unit"]]
    return x * y / share / PARTS[row["answer_unit"]]  # feed: mg/kg of kg


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_print_follows_from_its_own_input(
    row: dict[str, str], trust_record: Callable[..., None]
) -> None:
    off = float(worked(row) / Fraction(row["answer"]) - 1)
    allowed = float(row["rounding"])
    trust_record(
        "dose_printed_cases",
        row["source"],
        f"printed {row['kind']} against exact fractions",
        off,
        allowed,
        "pass" if abs(off) <= allowed else "fail",
    )
    assert abs(off) <= allowed, row["as_printed"]


def test_every_case_has_an_id_of_its_own_and_a_registered_source() -> None:
    works = load().sources
    assert len({row["id"] for row in rows()}) == len(rows())
    assert all(row["source"] in works for row in rows())
    assert all(re.search(r"\d", row["as_printed"]) for row in rows())


def test_a_tenfold_slip_is_seen() -> None:
    row = rows()[0] | {"answer": "1767"}
    assert abs(float(worked(row) / Fraction(row["answer"]) - 1)) > float(row["rounding"])
