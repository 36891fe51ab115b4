"""Scenario 2, Harbour Street (invented): goldfish, water first; gallons, ions and one unknown.

Figures are the expert's arithmetic of the scenario: 0.027 mg/L toxic N (Emerson 1975 at 19.0 C and
pH 7.8), salt for nitrite about 0.3 g at 10:1 and 7 g at 20:1 in 162 L, against the 16 g of reading
the ion as nitrogen (ratios by mass of the ion, SRAC 462).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]

OPENING = ["--name", "Harbour Street", "--keeper", "Tomas Brandl", "--water", "fresh",
           "--opened", "2026-04-09", "--zone", "Europe/Berlin"]  # fmt: skip
ROWS = [
    ["system", "inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm",
     "filter=new internal, 3 weeks old", "filter-ripe=no"],
    ["stock", "oranda", "name=oranda", "host=carassius_auratus_fancy", "count=2", "length=14 cm"],
    ["stock", "ryukin", "name=ryukin", "host=carassius_auratus_fancy", "count=3",
     "length=11 cm", "arrived=2026-03-05", "quarantined=no"],
    ["in-water", "on=2026-04-07", "agent=all-in-one pond remedy", "amount=?"],
    ["water", "temperature=19.0 C", "ph=7.8", "ammonia=1.2 mg/L as N",
     "nitrite=2.6 mg/L as NO2", "chloride=25 mg/L", "oxygen=6.0 mg/L", "conditioner=yes"],
    ["finding", "flashing=occasional", "clamped_fins=yes", "skin_film=local"],
]  # fmt: skip


@pytest.fixture(scope="module")
def day_0(typed: Callable[..., Path]) -> Path:
    return typed("harbour", [OPENING], ROWS)


def test_volume_is_162_litres(run: Run, day_0: Path) -> None:
    assert "162 L" in run("case", "show", str(day_0)).out.replace("\u00a0", " ")


@pytest.mark.parametrize("gallons", ["40 gallons", "40 gal"])
def test_a_gallon_without_its_country_is_refused(run: Run, day_0: Path, gallons: str) -> None:
    ran = run("case", "add", str(day_0), "system", f"keeper-says={gallons}", "--json")
    assert ran.code == 2
    assert ran.error["code"] == "E-UNIT-04"
    assert "US gal" in ran.error["needed"]
    assert "imperial gal" in ran.error["needed"]


def test_toxic_ammonia_is_0_027_mg_per_litre(run: Run) -> None:
    shown = run("water", "ammonia", "--temperature", "19.0 C", "--ph", "7.8",
               "--total", "1.2 mg/L as N", "--json").answer  # fmt: skip
    values = [row["value"] for row in shown["results"] if row["unit"].startswith("mg/L")]
    assert any(value == pytest.approx(0.027, abs=0.0005) for value in values)


def test_salt_for_nitrite_is_0_3_g_or_7_g_and_the_trap_of_16_g_is_named(run: Run) -> None:
    shown = run("water", "nitrite", "--nitrite", "2.6 mg/L as NO2", "--chloride", "25 mg/L",
               "--volume", "162 L", "--json").answer  # fmt: skip
    grams = {row["name"]: row["value"] for row in shown["results"]}
    assert grams["salt at 10 to 1"] == pytest.approx(0.3, abs=0.05)
    assert grams["salt at 20 to 1"] == pytest.approx(7, abs=0.5)
    assert any("16 g" in warning for warning in shown["warnings"])


def test_water_problems_reach_the_differential_by_themselves(run: Run, day_0: Path) -> None:
    shown = run("differential", str(day_0), "--json").answer
    ranked = [row["condition"] for row in shown["ranked"]]
    strip = [row["condition"] for row in shown["must_not_miss"]]
    assert "NITROGEN" in ranked[:3] or "NITROGEN" in strip


def test_no_life_cycle_is_made_up_when_no_parasite_is_shown(run: Run, day_0: Path) -> None:
    ran = run("case", "add", str(day_0), "confirmed", "condition=nitrogen", "shown-by=kit")
    assert ran.code == 0
    answer = run("plan", str(day_0), "--json").answer
    assert answer["refused"]["code"] == "E-FC-02"
    assert "courses" not in answer
    assert [cause["cause"] for cause in answer["causes"]] == ["NITROGEN"]


def test_without_a_course_follow_asks_to_count_first(run: Run, day_0: Path) -> None:
    shown = run("follow", str(day_0), "--organism", "ichthyophthirius_multifiliis", "--json").answer
    assert shown["advice"] == "count first"
    assert shown["not_before"] is None
