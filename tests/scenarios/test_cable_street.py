"""Cable Street (invented): a marine display with shrimps, its fish in hospital, copper by test.

The days that count: held by readings of 0.15 to 0.20 mg/L (UF/IFAS FA165, from memory, as on file);
a day read below that range does not count. Amounts are worked out by hand from 100 L of water and a
stock of 1 mg of copper in a millilitre.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Answer, Ran, Typing, add_at, invoke

Run = Callable[..., Ran]
Row = list[str]

OPENING = ["--name", "Cable Street", "--keeper", "D. Amsel", "--water", "marine",
           "--opened", "2026-03-02", "--zone", "Europe/London"]  # fmt: skip
START = "2026-03-02T12:00+00:00"
BOTH = ["tap=none", "uv=no", "carbon=no", "food-fish=no", "air-stone=yes", "filter-ripe=yes"]
SEA = ["temperature=26 C", "salinity=35 psu", "ph=8.2", "ammonia=0 mg/L as N", "kh=8 dH",
       "nitrite=0 mg/L as N", "oxygen=6.7 mg/L"]  # fmt: skip
CALL: list[Row] = [
    ["system", "reef", "use=main", "inside-length=120 cm", "inside-width=50 cm",
     "water-height=50 cm", "hose=30 L/min for 10 min", *BOTH],
    ["system", "bare", "use=hospital", "inside-length=80 cm", "inside-width=35 cm",
     "water-height=36 cm", "meter=100 L", "plants=no", "invertebrates=no", "substrate=no",
     "volume-by=meter", *BOTH],
    ["stock", "damsel", "name=common clownfish", "count=3", "length=5 cm", "system=reef"],
    ["stock", "shrimp", "name=cleaner shrimp", "count=2", "system=reef"],
    ["water", "system=reef", *SEA],
    ["water", "system=bare", *SEA],
    ["in-water", "none", "system=bare"],
    ["confirmed", "condition=mvelvet", "shown-by=gill clip"],
    ["count", "group=damsel", "method=gill-clip", "velvet-cells=40"],
    ["label", "agent=copper ionic", "strength=1 g/L as Cu", "syringe=0.1 mL"],
    ["stock", "damsel", "system=bare"],
]  # fmt: skip


@pytest.fixture(scope="module")
def planned(typed: Typing) -> Path:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", START)
        file = typed("cable", [OPENING], CALL)
        words = ["plan", str(file), "--only", "copper_ionic", "--no-warming", "--json"]
        courses = invoke(*words).answer["courses"]
        picked = next(c["id"] for c in courses if c["name"].startswith("Copper"))
        assert invoke("plan", str(file), "--choose", picked).code == 0
        return file


@pytest.fixture
def course(planned: Path, tmp_path: Path) -> Path:
    copy = tmp_path / "cable.jsonl"
    shutil.copy(planned, copy)
    return copy


def gave(day: int) -> Row:
    return ["done", "agent=copper ionic", "system=bare", f"on=2026-03-{day:02d}T20:00"]


def read(day: int, mg_l: float) -> Row:
    return ["water", "system=bare", f"copper={mg_l} mg/L as Cu", "copper-form=free",
            f"on=2026-03-{day:02d}T08:00"]  # fmt: skip


def card(run: Run, file: Path, day: int, monkeypatch: pytest.MonkeyPatch) -> Answer:
    monkeypatch.setenv("TANKSIDE_NOW", f"2026-03-{day:02d}T09:00+00:00")
    return run("today", str(file), "--json").answer


UP = [gave(2), gave(3), gave(4)]


def test_copper_never_goes_into_the_reef(run: Run, planned: Path,
                                         monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setenv("TANKSIDE_NOW", START)
    refused = run("dose", "--case", str(planned), "--agent", "copper ionic", "--strength",
                  "0.1 mg/L as Cu", "--system", "reef", "--json").error  # fmt: skip
    assert refused["code"] == "E-DOSE-26"
    assert "cleaner shrimp" in refused["message"]


def test_a_reading_below_the_range_gives_the_difference_of_100_litres(
    run: Run, course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add_at(course, "2026-03-06T09:00+00:00", *UP, read(5, 0.17), read(6, 0.11))
    lines = card(run, course, 6, monkeypatch)["lines"]
    amounts = [float(line["amounts"][0]["value"]) for line in lines if ": Stir " in line["text"]]
    assert len(amounts) == 1
    assert 100 * (0.15 - 0.11) <= amounts[0] <= 100 * (0.20 - 0.11)


def test_days_below_the_range_do_not_count(
    run: Run, course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    levels = (0.17, 0.18, 0.11, 0.12, 0.17)
    readings = [read(day, mg_l) for day, mg_l in enumerate(levels, 5)]
    add_at(course, "2026-03-09T09:00+00:00", *UP, *readings)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-09T09:00+00:00")
    (stands,) = run("follow", str(course), "--json").answer["at_strength"]
    below = sum(mg_l < 0.15 for mg_l in levels)
    assert (stands["counted"], stands["lost"]) == (len(levels) - below, below)


def test_every_change_is_sea_water_out_of_the_bare_tank_by_the_drain_rule(
    run: Run, course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add_at(course, "2026-03-05T09:00+00:00", *UP, read(5, 0.17))
    text = " ".join(
        line["text"]
        for day in range(5, 9)
        for line in run("today", str(course), "--date", f"2026-03-{day:02d}", "--json")
        .answer["lines"]
    ).replace("\u00a0", " ")  # fmt: skip
    assert "from bare (to the tape)" in text
    assert "sea salt mix" in text
    assert "It may hold copper, free ion" in text
