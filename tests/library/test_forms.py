"""Conversions of salts and hydrates follow from the atomic weights of their formulas."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tankside.library import load

TABLE = Path(__file__).resolve().parents[1] / "golden" / "form_factors.csv"
# IUPAC abridged standard atomic weights (2021), recalled
WEIGHTS = {
    "H": 1.008,
    "C": 12.011,
    "N": 14.007,
    "O": 15.999,
    "Na": 22.990,
    "P": 30.974,
    "S": 32.06,
    "Cl": 35.45,
    "Cu": 63.546,
}
ALLOWED = 0.001


def molar_mass(formula: str) -> float:
    """Add up a formula such as CuSO4(H2O)5."""
    total = 0.0
    for inner, times, symbol, count in re.findall(
        r"\(([A-Za-z0-9]+)\)(\d+)|([A-Z][a-z]?)(\d*)", formula
    ):
        if inner:
            total += molar_mass(inner) * int(times)
        else:
            total += WEIGHTS[symbol] * int(count or 1)
    return total


def rows() -> list[dict[str, str]]:
    lines = [x for x in TABLE.read_text(encoding="utf-8").splitlines() if not x.startswith("#")]
    return list(csv.DictReader(lines))


def test_the_sum_is_right_for_water() -> None:
    assert molar_mass("H2O") == pytest.approx(18.015)
    assert molar_mass("CuSO4(H2O)5") == pytest.approx(249.68, abs=0.01)


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['agent']}-{row['form']}")
def test_factor_of_a_form(row: dict[str, str], trust_record: Callable[..., None]) -> None:
    per_active = molar_mass(row["basis_formula"]) / int(row["basis_ions"])
    expected = per_active / (molar_mass(row["formula"]) / int(row["ions"]))
    stated = load().number(f"agent.{row['agent']}.form.{row['form']}")
    off = stated / expected - 1
    trust_record(
        "form_factors",
        "iupac_atomic_weights",
        "mass on the agent's basis in one mass of a salt or hydrate",
        difference=off,
        tolerance=ALLOWED,
        verdict="pass" if abs(off) <= ALLOWED else "fail",
        note="relative; atomic weights recalled",
    )
    assert abs(off) <= ALLOWED


def test_every_form_with_a_conversion_is_checked() -> None:
    checked = {(row["agent"], row["form"]) for row in rows()}
    missing = [
        f"{agent.id}: {short}"
        for agent in load().agents.values()
        for short, rivals in agent.claims.items()
        if short.startswith("form.")
        and rivals[0].value != 1
        and (agent.id, short.removeprefix("form.")) not in checked
        and agent.id != "formalin"  # by definition of the product: 37 %
    ]
    assert missing == []
