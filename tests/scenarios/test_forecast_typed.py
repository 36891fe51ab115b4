"""Forecasts as typed: scenario 1 without a course yet, scenario 6 in the cold, a refused parasite.

What is checked against something outside: the date by the counts and the slow cycle (worked by hand
by a practitioner, scenarios 1 and 6), printed times with their works, arithmetic of the shares.
"""

from __future__ import annotations

import csv
import io
import json
import re
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.test_elm_road import OPENING, SEEN, TANK, WATER
from tests.shaped import is_shaped

Run = Callable[..., Any]
FEW = ("--runs", "64")
DOCS = Path(__file__).parents[2] / "docs" / "json.md"
MILL = [
    ["system", "inside-length=180 cm", "inside-width=90 cm", "water-height=35 cm",
     "salt-rise=500 g raised 0.90 g/L", "carbon=no"],
    ["stock", "shubunkin", "name=shubunkin", "count=7", "length=12 cm"],
    ["stock", "comet", "name=comet", "count=3", "length=15 cm"],
    ["stock", "minnow", "name=fathead minnow", "count=12", "length=6 cm"],
    ["water", "temperature=11.0 C", "ph=7.6", "ammonia=0.25 mg/L as N", "oxygen=9.8 mg/L"],
    ["count", "group=minnow", "spots=mean 14"],
    ["suspected", "condition=ich", "shown-by=wet mount"],
]  # fmt: skip


@pytest.fixture(scope="module")
def elm(typed: Callable[..., Path]) -> str:
    return str(typed("elm", [OPENING], [*TANK, [*WATER, "kh=5 dH"], *SEEN]))


@pytest.fixture(scope="module")
def mill(typed: Callable[..., Path]) -> str:
    opening = ["--name", "Mill Race", "--keeper", "Bronagh Tierney", "--water", "fresh",
               "--opened", "2026-03-16", "--zone", "Europe/London"]  # fmt: skip
    return str(typed("mill", [opening], MILL))


@pytest.fixture(scope="module")
def answer(run: Run, elm: str) -> dict[str, Any]:
    words = ("forecast", elm, "--runs", "64", "--sweep", "trophont.strain_factor", "--json")
    foretold: dict[str, Any] = run(*words).answer
    return foretold


@pytest.fixture(scope="module")
def text(run: Run, elm: str) -> str:
    ran = run("forecast", elm, *FEW)
    assert ran.code == 0, ran.err
    return str(ran.out)


def test_without_a_chosen_course_water_only_stands_in_its_place(answer: dict[str, Any]) -> None:
    assert answer["plan"] == {"name": "water only", "version": 0}
    assert [course["name"] for course in answer["courses"]] == ["water only", "no treatment"]
    assert answer["day_0"] == "2026-03-02"


def test_the_earliest_re_check_is_last_seen_plus_the_slow_cycle(answer: dict[str, Any]) -> None:
    # Scenario 1: slow cycle 7.2 d at 25.5 C; last seen on day 0, so not before day 8.
    assert answer["not_before"] == "2026-03-10"


def test_every_day_has_ordered_quantiles_and_three_shares(answer: dict[str, Any]) -> None:
    names = ("low", "lower", "middle", "upper", "high")
    for course in answer["courses"]:
        for day in course["days"]:
            spreads = [
                day[k] for k in ("counted", "burden_per_fish", "bottom", "swimmers", "alive")
            ]
            for spread in [*spreads, *day["alive_by_group"].values()]:
                if spread is not None:
                    values = [spread[name] for name in names]
                    assert values == sorted(values)
            total = day["p_clear"] + day["p_left"] + day["p_no_fish"]
            assert total == pytest.approx((64 + 3 / 2) / 65, abs=2e-4)
            assert day["clear_words"].endswith("of 20")


def test_fish_alive_by_group_begin_with_the_stock_as_typed(answer: dict[str, Any]) -> None:
    first = answer["courses"][0]["days"][0]["alive_by_group"]
    assert {group: alive["low"] for group, alive in first.items()} == {
        "tetra": 12, "cory": 6, "gourami": 4, "loach": 2, "pleco": 1,
    }  # fmt: skip


def test_spots_are_never_the_burden(answer: dict[str, Any], text: str) -> None:
    countable = answer["courses"][0]["days"][0]["countable_share"]
    assert 0 < countable["low"] < countable["high"] < 0.6
    assert "SPOTS ARE NOT THE BURDEN" in text
    for word in ("too small to see", "on the gills", "a person counts"):
        assert word in text


def test_losses_are_unknown_where_a_kind_of_fish_has_no_dose_in_print(
    answer: dict[str, Any], text: str
) -> None:
    # Of tetras, loaches and a pleco no print gives deaths by number of parasites.
    for course in answer["courses"]:
        assert course["deaths_known"] is False
        assert course["lost_low"] is course["lost_middle"] is course["lost_high"] is None
        assert not course["lost_useful"]
        assert course["lost_by_group"] == {}
        assert "first_death" in {passage["what"] for passage in course["passages"]}
    assert "How many die is unknown: no print gives deaths by number of parasites" in text
    ends = text.split("HOW IT ENDS")[1].split("WHEN")[0]
    assert " to 15 of 15" not in ends
    dates = text.split("WHEN")[1].split("WHAT A CLEAN LOOK")[0]
    (first,) = (line for line in dates.splitlines() if "first death" in line)
    assert "of 20" not in first
    # Which look narrows them most, or that none does by as much as a twentieth.
    look, words = answer["courses"][0]["next_look"], " ".join(ends.split())
    assert ("No look of the next three days" in words) is (look is None)
    assert ("it is narrowed most by" in words) is (look is not None)


def test_what_was_sampled_is_listed_with_range_source_and_weights(
    answer: dict[str, Any], run: Run, elm: str
) -> None:
    rows = {row["key"]: row for row in answer["sampled"]}
    hatch = rows["cyst.hatch_top_c"]
    assert [rival["weight"] for rival in hatch["rivals"]] == pytest.approx([0.4, 0.4, 0.2])
    assert rows["trophont.residence"]["source"] == "noe_dickerson_1995"
    assert rows["kill.formalin.swimmer.lc50_mg_l"]["in_use"] is False
    assert {"per_fish.loach", "carriers.tetra", "weight_g.pleco"} <= set(rows)
    assert all(row["low"] < row["high"] for row in rows.values())
    listed = run("forecast", elm, *FEW, "--sampled").out
    assert "noe_dickerson_1995" in listed
    assert "of the runs (aihua_buchmann_2001)" in listed
    assert "kill" not in [line.split()[0] for line in listed.splitlines() if line.strip()]


def test_uncertain_water_is_a_few_strata_that_share_out_the_runs(answer: dict[str, Any]) -> None:
    assert [stratum["weight"] for stratum in answer["water"]] == [0.25, 0.5, 0.25]
    litres = [stratum["litres"] for stratum in answer["water"]]
    assert min(litres) == pytest.approx(173, abs=1)  # scenario 1: 173 L and 175 L by two methods
    assert max(litres) == pytest.approx(175, abs=1)


def test_a_held_claim_is_swept_over_its_range(answer: dict[str, Any], run: Run, elm: str) -> None:
    swept = answer["sweeps"][0]
    assert swept["key"] == "trophont.strain_factor"
    values = [point["value"] for point in swept["points"]]
    assert values == sorted(values)
    assert len(values) == 5
    assert 0.6 <= values[0] < values[-1] <= 1.2  # range of the claim
    assert swept["courses"] == ["water only", "no treatment"]


def test_the_shape_is_the_documented_one(answer: dict[str, Any]) -> None:
    page = DOCS.read_text(encoding="utf-8")
    part = page.split("## `forecast --json`", 1)[1].split("\n## ", 1)[0]
    assert set(re.findall(r"^\| `(\w+)` \|", part, re.MULTILINE)) == set(answer)
    named = set(re.findall(r"`(\w+)`", part))
    shares = {"clear", "left", "no_fish", "clear_when_seen_free", "clean_look", "clear_if_clean"}
    for where in (answer["courses"][0], answer["courses"][0]["days"][0]):
        for key in where:
            stem = re.sub(r"^p_|_of_20$|_words$", "", key)
            assert key in named or stem in shares & named, key


def test_the_same_case_gives_the_same_answer_twice(run: Run, elm: str) -> None:
    first, again = (run("forecast", elm, *FEW, "--json").answer for _ in range(2))
    for foretold in (first, again):
        foretold.pop("seconds")
    assert first == again


def test_quantiles_as_csv_are_those_of_the_answer(run: Run, elm: str, tmp_path: Path) -> None:
    target = tmp_path / "days.csv"
    ran = run("forecast", elm, *FEW, "--csv", str(target), "--json")
    assert f"Written: {target}" in ran.err
    rows = list(csv.DictReader(io.StringIO(target.read_text(encoding="utf-8"))))
    wanted = [r for r in rows if r["course"] == "water only" and r["what"] == "bottom"]
    days = ran.answer["courses"][0]["days"]
    assert [int(row["day"]) for row in wanted] == [day["day"] for day in days]
    assert [float(row["q50"]) for row in wanted] == [
        pytest.approx(day["bottom"]["middle"], rel=1e-5) for day in days
    ]
    assert wanted[3]["date"] == "2026-03-05"
    left = [r for r in rows if r["course"] == "no treatment" and r["what"] == "share_left"]
    other = [day["p_left"] for day in ran.answer["courses"][1]["days"]]
    assert [float(row["q50"]) for row in left] == other


@pytest.mark.parametrize(
    ("ending", "begins"), [(".svg", b"<svg "), (".png", b"\x89PNG"), (".pdf", b"%PDF")]
)
def test_the_figure_is_drawn_in_three_kinds(
    run: Run, elm: str, tmp_path: Path, ending: str, begins: bytes
) -> None:
    target = tmp_path / f"ahead{ending}"
    assert run("forecast", elm, *FEW, "--figure", str(target)).code == 0
    assert target.read_bytes().startswith(begins)


def test_a_figure_needs_the_drawing_library(
    run: Run, elm: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "vl_convert", None)
    target = tmp_path / "ahead.svg"
    refused = run("forecast", elm, *FEW, "--figure", str(target), "--json")
    assert (refused.code, refused.error["code"]) == (3, "E-PRINT-02")
    assert "table" in refused.error["next"]
    assert not target.exists()


@pytest.mark.parametrize(
    ("words", "code", "field"),
    [
        (["--runs", "0"], "E-FC-01", "runs"),
        (["--runs", "1000000000"], "E-FC-01", "runs"),
        (["--fish", "0"], "E-FC-01", "fish"),
        (["--against", "magic"], "E-FC-03", "against"),
        (["--sweep", "magic.number"], "E-FC-03", "sweep"),
        (["--figure", "ahead.bmp"], "E-PRINT-03", "figure"),
    ],
)
def test_what_cannot_be_asked_is_refused_by_name(
    run: Run, elm: str, words: list[str], code: str, field: str
) -> None:
    few = [] if "--runs" in words else ["--runs", "16"]
    ran = run("forecast", elm, *few, *words, "--json")
    assert (ran.code, ran.error["code"], ran.error["field"]) == (2, code, field)
    assert not Path("ahead.bmp").exists()


def test_in_the_cold_the_windows_and_the_re_check_are_those_of_the_scenario(
    run: Run, mill: str
) -> None:
    # Scenario 6 at 11 C: on fish 13-18 d, cycle 14-21 d.
    foretold = run("forecast", mill, *FEW, "--json").answer
    stage_durations = {row["what"]: (row["low"], row["high"]) for row in foretold["windows_days"]}
    assert [round(day) for day in stage_durations["on the fish"]] == [13, 18]
    assert round(stage_durations["release to release"][0]) == 14
    assert foretold["not_before"] == "2026-04-06"  # day 0 + 21 d, over the change of the clocks
    free = next(p for p in foretold["courses"][0]["passages"] if p["what"] == "first_spot")
    assert free["happens_words"] == "more than 19 of 20"


def test_days_follow_one_by_one_when_the_clocks_go_back(
    run: Run, typed: Callable[..., Path]
) -> None:
    # Scenario 5 in part: from 12 October, Berlin; clocks go back on 25 October 2026.
    opening = ["--name", "Linden Works", "--keeper", "Oskar", "--water", "fresh",
               "--opened", "2026-10-12", "--zone", "Europe/Berlin"]  # fmt: skip
    rows = [
        ["system", "meter=404.5 L"],
        ["stock", "discus", "name=discus", "count=8", "length=14 cm"],
        ["water", "temperature=29.0 C", "ph=6.4", "ammonia=1.0 mg/L as N", "oxygen=6.2 mg/L"],
        ["count", "group=discus", "flukes=20", "method=gill-clip"],
        ["suspected", "condition=gillfluke", "shown-by=gill clip"],
    ]
    file = str(typed("linden", [opening], rows))
    foretold = run("forecast", file, "--runs", "16", "--sweep", "movers", "--json").answer
    days = foretold["courses"][0]["days"]
    first = date(2026, 10, 12)
    assert len(days) > 14
    assert [day["date"] for day in days] == [
        (first + timedelta(days=k)).isoformat() for k in range(len(days))
    ]
    assert foretold["organism"] == "dactylogyrus_vastator"
    assert foretold["counted"]["how"] == "scrape"
    # No run of either course is clear: there is nothing for a held value to change.
    assert all(day is None for day in foretold["courses"][0]["clear_days"])
    assert foretold["sweeps"] == []


def test_a_parasite_without_figures_is_refused_with_the_dates_that_print_gives(
    run: Run, elm: str
) -> None:
    # Cycle of 18-25 d at 26-28 C (Hossain 2018), from Mon 2 March: 20 to 27 March.
    ran = run("forecast", elm, "--organism", "lernaea_cyprinacea", "--json")
    assert (ran.code, ran.error["code"]) == (3, "E-FC-02")
    foretold = json.loads(ran.out)
    assert "adult.lay_per_d" in foretold["missing"]
    is_shaped(foretold, "printed-dates")
    cycle = next(row for row in foretold["dates"] if row["part"] == "whole cycle")
    assert (cycle["from"], cycle["to"], cycle["source"]) == (
        "2026-03-20", "2026-03-27", "hossain_2018",
    )  # fmt: skip
    assert cycle["beside"] == "at this temperature"
    text = run("forecast", elm, "--organism", "lernaea_cyprinacea")
    assert text.code == 3
    assert "Fri 20 Mar 2026 to Fri 27 Mar 2026" in text.out
    assert text.err.startswith("E-FC-02")


def test_nothing_is_said_of_deaths_where_no_figure_says_what_kills(run: Run, elm: str) -> None:
    ran = run("forecast", elm, *FEW, "--organism", "trichodina_nobilis", "--json")
    course = ran.answer["courses"][0]
    assert course["deaths_known"] is False
    assert course["lost_low"] is None
    assert {p["what"] for p in course["passages"]} == {"peak", "clear"}
    text = run("forecast", elm, *FEW, "--organism", "trichodina_nobilis").out
    assert "deaths are not in this forecast" in text
    assert "0 to 0 of" not in text
