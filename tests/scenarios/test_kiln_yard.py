"""Kiln Yard (invented): dust-like signs on one betta in a nano tank of 14 L, with snails.

Amounts are worked out by hand: 14 L times the strength asked for, less what went in before.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing

Run = Callable[..., Ran]
Row = list[str]

OPENING = ["--name", "Kiln Yard", "--keeper", "S. Orde", "--water", "fresh",
           "--opened", "2026-05-04", "--zone", "Europe/London"]  # fmt: skip
NOW = "2026-05-04T19:00+01:00"
CALL: list[Row] = [
    ["system", "inside-length=30 cm", "inside-width=20 cm", "water-height=25 cm",
     "takes-away=1 L gravel", "meter=14 L", "label=20 L", "carbon=yes", "uv=no",
     "filter-ripe=yes", "plants=yes", "food-fish=no"],
    ["stock", "betta", "name=betta", "count=1", "length=5 cm", "arrived=2026-04-28"],
    ["stock", "snail", "name=nerite snail", "count=2"],
    ["water", "temperature=25.0 C", "ph=7.2", "kh=4 dH", "ammonia=0.1 mg/L as N",
     "nitrite=0 mg/L as N", "oxygen=7.4 mg/L"],
    ["finding", "onset_speed=days", "spots_visible=yes", "spot_size=dust",
     "spot_colour=gold_rust", "spot_form=powder", "clamped_fins=yes", "flashing=frequent"],
    ["label", "agent=salt", "strength=pure", "scale=0.1 g"],
]  # fmt: skip
ASKED = ["dose", "agent=salt", "strength=1 g/L"]


@pytest.fixture
def case(typed: Typing, request: pytest.FixtureRequest,
         monkeypatch: pytest.MonkeyPatch) -> Callable[..., Path]:  # fmt: skip
    monkeypatch.setenv("TANKSIDE_NOW", NOW)
    return lambda *rows: typed(request.node.name, [OPENING], [*CALL, *rows])


def salt(run: Run, file: Path, strength: str, *more: str) -> Ran:
    return run("dose", "--case", str(file), "--agent", "salt", "--strength", strength, *more,
               "--json")  # fmt: skip


def test_dust_in_gold_is_velvet_before_anybody_owns_a_microscope(
    run: Run, case: Callable[..., Path]
) -> None:
    shown = run("differential", str(case()), "--no-own-idea", "--json").answer
    assert shown["ranked"][0]["condition"] == "FWVELVET"
    assert "FWVELVET" in [row["condition"] for row in shown["must_not_miss"]]


def test_copper_is_not_for_snails(run: Run, case: Callable[..., Path]) -> None:
    refused = run("dose", "--case", str(case()), "--agent", "copper sulphate",
                  "--strength", "0.1 mg/L as Cu", "--json").error  # fmt: skip
    assert refused["code"] == "E-DOSE-26"
    assert "nerite snail" in refused["message"]


def test_14_g_make_1_g_per_litre_and_are_not_offered_again(
    run: Run, case: Callable[..., Path]
) -> None:
    file = case()
    assert float(salt(run, file, "1 g/L").answer["amount"]["value"]) == 14
    assert run("case", "add", str(file), *ASKED).code == 0
    assert salt(run, file, "1 g/L").error["code"] == "E-DOSE-28"
    assert run("case", "add", str(file), "done", "agent=salt").code == 0
    assert salt(run, file, "1 g/L").error["code"] == "E-DOSE-25"
    assert float(salt(run, file, "2 g/L").answer["amount"]["value"]) == 14


def test_4_litres_out_take_4_g_back_with_the_new_water_and_the_drain(
    run: Run, case: Callable[..., Path]
) -> None:
    file = case(ASKED, ["done", "agent=salt"])
    assert salt(run, file, "1 g/L", "--changed", "4 L").error["field"] == "tap"
    assert run("case", "add", str(file), "system", "tap=chloramine").code == 0
    answer = salt(run, file, "1 g/L", "--changed", "4 L").answer
    assert float(answer["amount"]["value"]) == 4
    tap = ("free of chloramine", "standing and air do not remove it", "then test the ammonia")
    for words in (*tap, "house drain"):
        assert words in answer["do"]
