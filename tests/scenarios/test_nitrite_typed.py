"""Salt against nitrite from a case: chloride as it was read, and by the salt that went in since.

Figures by hand: 1 g of salt holds 35.45 / 58.44 g of chloride; ratios by mass of the ion (SRAC
462).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing

OPENING = ["--name", "Sluice End", "--keeper", "J. Amsel", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-03-02T08:00"]  # fmt: skip
TANK = ["system", "inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm",
        "hose=16.2 L/min for 10 min"]  # fmt: skip
READ = ["water", "nitrite=0.8 mg/L as N", "chloride=25 mg/L", "temperature=19 C",
        "on=2026-03-02T09:00"]  # fmt: skip
SALTED = ["done", "action=salt", "agent=salt", "amount=38 g", "on=2026-03-02T10:00"]
ION_MG_L = 0.8 * 46.005 / 14.007
LITRES = 162.0
Run = Callable[..., Ran]


@pytest.fixture(autouse=True)
def _that_noon(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T12:00+00:00")


def grams_at_20(run: Run, path: Path) -> float:
    results = run("water", "nitrite", "--case", str(path), "--json").answer["results"]
    (grams,) = [row["value"] for row in results if "20" in str(row)]
    return float(grams)


def missing_g(chloride_mg_l: float) -> float:
    """Salt to twenty parts of chloride on one of nitrite [g]."""
    return max(0.0, 20 * ION_MG_L - chloride_mg_l) * LITRES / 1000 * 58.44 / 35.45


def test_salt_logged_after_the_reading_counts(run: Run, typed: Typing) -> None:
    """38 g in 162 L bring 142 mg/L of chloride: nothing is missing any more."""
    bare = typed("nitrite-bare", [OPENING], [TANK, READ])
    assert grams_at_20(run, bare) == pytest.approx(missing_g(25), rel=0.02)
    salted = typed("nitrite-salted", [OPENING], [TANK, READ, SALTED])
    assert grams_at_20(run, salted) == 0
    few = [*SALTED[:3], "amount=3 g", SALTED[-1]]
    part = typed("nitrite-part", [OPENING], [TANK, READ, few])
    expected = missing_g(25 + 3000 / LITRES * 35.45 / 58.44)
    assert grams_at_20(run, part) == pytest.approx(expected, rel=0.05)


def test_a_reading_after_the_salt_stands_alone(run: Run, typed: Typing) -> None:
    later = [*READ[:-1], "on=2026-03-02T11:00"]
    path = typed("nitrite-later", [OPENING], [TANK, SALTED, later])
    assert grams_at_20(run, path) == pytest.approx(missing_g(25), rel=0.02)


def test_without_a_reading_of_nitrite_it_is_asked_for(run: Run, typed: Typing) -> None:
    path = typed("nitrite-unread", [OPENING], [TANK, ["water", "chloride=25 mg/L"]])
    assert run("water", "nitrite", "--case", str(path), "--json").error["code"] == "E-DOSE-20"


def test_a_case_and_typed_figures_together_are_refused(run: Run, typed: Typing) -> None:
    path = typed("nitrite-both", [OPENING], [TANK, READ])
    both = run("water", "nitrite", "--case", str(path), "--volume", "10 L", "--json")
    assert both.error["code"] == "E-CLI-04"
    assert run("water", "nitrite", "--volume", "10 L", "--json").error["code"] == "E-CLI-04"
