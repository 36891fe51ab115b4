"""Food that carries a medicine, equipment, what is missing, and tools: typed as a person types.

Sums are redone by hand in the docstrings.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.conftest import Ran, Typing

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


def dose(run: Run, path: Path, agent: str, strength: str, *more: str) -> Ran:
    asked = ("--agent", agent, "--strength", strength, *more)
    return run("dose", "--case", str(path), *asked, "--json")


def amount(ran: Ran) -> dict[str, Any]:
    shown: dict[str, Any] = ran.answer["amount"]
    return shown


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
