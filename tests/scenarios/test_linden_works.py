"""Scenario 5, Linden Works (invented): discus at 29 C with gill flukes; a half change lifts pH.

Figures are the scenario's own: 404.5 L by the tape and 405 L on the label, toxic ammonia 0.002
mg/L N (Emerson 1975 at 29.0 C and pH 6.4), alkalinity 36 mg/L, below the 50 mg/L that copper needs
(UF/IFAS FA008), half a change with tap water of pH 7.6 and 9 dH to about 7.0 at once.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing, add_at

from tankside.intake.follow_setup import FollowRequest, course_from, follow_setup
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.library import load
from tankside.plan import propose, read_levers
from tankside.records.case_file import read_case

Run = Callable[..., Ran]
Row = list[str]

OPENING = ["--name", "Linden Works", "--keeper", "Oskar Lindqvist-Rao", "--water", "fresh",
           "--opened", "2026-10-12", "--zone", "Europe/Berlin"]  # fmt: skip
NOW = "2026-10-12T10:00+02:00"
CALL: list[Row] = [
    ["system", "inside-length=148 cm", "inside-width=48.5 cm", "water-height=48 cm",
     "adds=60 L sump", "label=405 L", "plants=no", "invertebrates=no", "carbon=no"],
    ["stock", "discus", "name=discus", "count=6", "length=13 cm", "length-to=15 cm"],
    ["stock", "wild", "name=wild-caught discus", "host=discus", "count=2", "length=13 cm",
     "arrived=2026-09-21", "quarantined=no"],
    ["water", "temperature=29.0 C", "ph=6.4", "kh=2 dH", "ammonia=1.0 mg/L as N",
     "nitrite=0 mg/L as N", "nitrate=25 mg/L as NO3", "oxygen=6.2 mg/L"],
    ["water", "sample=tap", "ph=7.6", "kh=9 dH"],
    ["finding", "breathing=fast", "flashing=occasional", "body_condition=thin",
     "spots_visible=no"],
    ["wet-mount", "gill-clip", "alive=yes", "examined=3", "m_fluke_gill=many"],
    ["wet-mount", "skin-scrape", "alive=yes", "m_fluke_skin=none"],
    ["wet-mount", "droppings", "m_gut_flagellate=few"],
    *(["count", "method=gill-clip", "group=discus", f"fish=discus {n}", f"flukes={flukes}"]
      for n, flukes in enumerate((20, 12, 16), 1)),
    ["confirmed", "condition=gillfluke", "shown-by=gill clip"],
    ["label", "agent=praziquantel", "strength=pure", "scale=0.01 g", "predissolve=yes"],
]  # fmt: skip


@pytest.fixture(autouse=True)
def _that_day(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    del typed
    monkeypatch.setenv("TANKSIDE_NOW", NOW)


@pytest.fixture(scope="module")
def call(typed: Typing) -> Path:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        return typed("linden", [OPENING], CALL)


def dose(run: Run, file: Path, agent: str, strength: str, *more: str) -> Ran:
    return run("dose", "--case", str(file), "--agent", agent, "--strength", strength, *more,
               "--json")  # fmt: skip


def test_a_label_that_agrees_raises_no_warning(run: Run, call: Path) -> None:
    shown = run("case", "show", str(call)).out.replace("\u00a0", " ")
    assert "404.5 L" in shown
    assert "above the measured volume" not in shown
    assert "below the measured volume" not in shown


def test_gill_flukes_lead_and_few_flagellates_do_not(run: Run, call: Path) -> None:
    ranked = run("differential", str(call), "--no-own-idea", "--json").answer["ranked"]
    assert ranked[0]["condition"] == "GILLFLUKE"


def test_toxic_ammonia_is_0_002(run: Run) -> None:
    shown = run("water", "ammonia", "--temperature", "29.0 C", "--ph", "6.4",
                "--total", "1.0 mg/L as N", "--json").answer  # fmt: skip
    values = [row["value"] for row in shown["results"] if row["unit"] == "mg/L as N"]
    assert values[0] == pytest.approx(0.002, abs=0.0005)


def test_copper_is_blocked_by_an_alkalinity_of_36(run: Run, call: Path) -> None:
    refused = dose(run, call, "copper sulphate", "0.1 mg/L as Cu").error
    assert (refused["code"], refused["field"]) == ("E-DOSE-25", "alkalinity")
    assert "at least 50 mg/L" in refused["needed"]
    assert round(2 * 17.85) == 36


def test_formalin_is_not_for_29_degrees(run: Run, call: Path) -> None:
    refused = dose(run, call, "formalin", "15 mg/L").error
    assert (refused["code"], refused["field"]) == ("E-DOSE-25", "temperature")


def test_2_mg_per_litre_in_404_5_litres_are_0_81_g(run: Run, call: Path) -> None:
    amount = dose(run, call, "praziquantel", "2 mg/L").answer["amount"]
    assert float(amount["value"]) == pytest.approx(2 * 404.5 / 1000, abs=0.005)


def test_a_half_change_asks_for_the_tap_and_then_warns_of_the_jump(run: Run, typed: Typing) -> None:
    rows = [*CALL, ["dose", "agent=praziquantel", "strength=2 mg/L"],
            ["done", "agent=praziquantel"]]  # fmt: skip
    file = typed("linden change", [OPENING], rows)
    asked = dose(run, file, "praziquantel", "2 mg/L", "--changed", "202 L").error
    assert (asked["code"], asked["field"]) == ("E-WATER-04", "tap")
    assert run("case", "add", str(file), "system", "tap=chlorine").code == 0
    done = dose(run, file, "praziquantel", "2 mg/L", "--changed", "202 L").answer["do"]
    assert "pH 7.6 against 6.4 in the tank is too far" in done
    assert "free of chlorine" in done


def days_apart(name: str, times: int) -> int:
    """Return how many days apart the doses of a course are, by its name; 0 for another course."""
    after = name.partition(f" {times} times, ")[2].partition(" days apart")[0]
    return int(after or 0)


def test_a_second_dose_4_to_6_days_after_the_first_is_tried(call: Path) -> None:
    """Eggs hatch near day 2 and for some 3 days more; courses gave a dose every 3 days alone."""
    request = PlanRequest(only=("praziquantel",), warm=False)
    made = ready(read_case(call).view(), load(), request)
    names = [course.name for course in propose(made.trial.situation, read_levers(load()))]
    twice = {days_apart(name, 2) for name in names} - {0}
    assert twice
    assert all(4 <= days <= 6 for days in twice)


@pytest.mark.slow
def test_two_and_three_doses_after_hatching_are_compared_and_shown(run: Run, call: Path) -> None:
    words = ("--only", "praziquantel", "--no-warming", "--json")
    names = [row["name"] for row in run("plan", str(call), *words).answer["courses"]]
    assert sum(bool(days_apart(name, 2)) for name in names) == 1
    assert sum(bool(days_apart(name, 3)) for name in names) >= 1


# After day 6 -----------------------------------------------------------------------------------

SEEN_TO = ["label", "agent=praziquantel", "strength=pure", "scale=0.01 g", "predissolve=yes"]
DOSED = [["dose", "agent=praziquantel", "strength=2 mg/L"], ["done", "agent=praziquantel"]]


def flukes(*numbers: int) -> list[Row]:
    return [["count", "method=gill-clip", "group=discus", f"fish=discus {n}", f"flukes={seen}"]
            for n, seen in enumerate(numbers, 1)]  # fmt: skip


@pytest.fixture(scope="module")
def to_day_6(call: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Dosed on days 1 and 6 by hand, counted on days 3 and 5."""
    file = tmp_path_factory.mktemp("days") / "linden.jsonl"
    shutil.copy(call, file)
    add_at(file, "2026-10-13T18:00+02:00", SEEN_TO, *DOSED)
    add_at(file, "2026-10-15T18:00+02:00", *flukes(0, 0, 1))
    add_at(file, "2026-10-17T18:00+02:00", *flukes(4, 2, 5))
    add_at(file, "2026-10-18T18:00+02:00", SEEN_TO, *DOSED)
    return file


def test_what_was_given_without_a_course_is_in_the_water_of_the_follow_up(to_day_6: Path) -> None:
    """Doses by hand were left out: the flukes were believed to thrive in clean water."""
    setup = follow_setup(read_case(to_day_6).view(), FollowRequest())
    water = setup.trial.water(course_from(setup, 8, going_on=True)).tank_hours.strata[0].bodies[0]
    there = water.residue_high_mg_l["praziquantel"]
    second_h = 6 * 24 + 18
    assert there[24 + 17] == 0
    assert there[24 + 19] >= 2 * 0.9
    assert there[second_h + 1] > there[second_h - 2]


def test_the_second_dose_on_day_6_counts_what_may_be_left_of_the_first(
    to_day_6: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both are told: 0.81 g each in 404.5 L, so at most 4 mg/L, below the hard limit of 10."""
    monkeypatch.setenv("TANKSIDE_NOW", "2026-10-18T19:00+02:00")
    view = read_case(to_day_6).view()
    assert len(view.doses) == len(view.actions_done) == 2
    assert dose(run, to_day_6, "praziquantel", "9 mg/L").code != 0


@pytest.mark.slow
def test_day_14_clear_is_no_stop_before_the_slow_cycle_is_over(
    to_day_6: Path, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Last seen on day 5, a slow cycle of 9.2 days at 29 C: day 15; 15 days in print: day 20."""
    file = tmp_path / "linden.jsonl"
    shutil.copy(to_day_6, file)
    add_at(file, "2026-10-21T18:00+02:00", *flukes(0, 0, 0))
    add_at(file, "2026-10-26T18:00+01:00", *flukes(0, 0, 0))
    monkeypatch.setenv("TANKSIDE_NOW", "2026-10-26T18:00+01:00")
    answer = run("follow", str(file), "--json").answer
    assert (answer["day"], answer["last_seen_day"], answer["not_before_day"]) == (14, 5, 20)
    assert 15 in {named["day"] for named in answer["not_before_dates"]}
    assert not answer["advice"].startswith("stop")
