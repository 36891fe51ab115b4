"""What a plan and its follow-up refuse, typed at the command line on the case of Elm Road."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.conftest import chosen
from tests.scenarios.test_elm_road import OPENING, PLAN, SEEN, TANK, WATER

Run = Callable[..., Any]
SYSTEM, *STOCK = TANK
BARE = PLAN[: PLAN.index("--label")]
NO_GROUP = [words for words in SEEN if not any(word.startswith("group=") for word in words)]


@pytest.fixture(scope="module")
def elm(typed: Callable[..., Path]) -> Path:
    return typed("elm", [OPENING], [*TANK, [*WATER, "kh=5 dH"], *SEEN])


def refused(run: Run, *words: object) -> dict[str, str]:
    """Run a command that must be refused; return what is said, all of it there."""
    error: dict[str, str] = run(*map(str, words), "--json").error
    assert [part for part in ("message", "needed", "next", "field") if not error[part]] == []
    return error


def test_a_course_outside_the_comparison_is_not_chosen(run: Run, elm: Path) -> None:
    before = elm.read_bytes()
    compared = run("plan", str(elm), *PLAN, "--json").answer
    for name in (
        "99",
        "water-onl",
        f"{compared['comparison']['id']}.none",
        "0123456789.water-only",
    ):
        error = refused(run, "plan", elm, "--choose", name)
        assert (error["code"], error["given"]) == ("E-PLAN-04", name)
        assert compared["courses"][0]["id"] in error["needed"]
    assert elm.read_bytes() == before


def test_a_course_whose_amounts_nobody_could_work_out_is_not_chosen(run: Run, elm: Path) -> None:
    before = elm.read_bytes()
    bare = run("plan", str(elm), *BARE, "--json").answer["courses"][2]["id"]
    error = refused(run, "plan", elm, "--choose", bare)
    assert error["code"] == "E-PLAN-05"
    assert "no amount" in error["given"]
    assert 'sodium_chloride=pure" --scale' in error["needed"]
    assert elm.read_bytes() == before


def test_dates_stay_where_no_step_was_missed_or_done_twice(
    run: Run, elm: Path, tmp_path: Path
) -> None:
    file = tmp_path / "elm.jsonl"
    shutil.copy(elm, file)
    chosen("plan", str(file), *PLAN, number=3)
    before = file.read_bytes()
    error = refused(run, "follow", file, "--redate")
    assert (error["code"], error["given"]) == ("E-PLAN-06", "")
    assert file.read_bytes() == before


def not_compared(run: Run, file: Path) -> dict[str, str]:
    """Return why no course is compared, beside the care that is told in its place."""
    answer = run("plan", str(file), "--json").answer
    assert answer["next_hour"]
    assert answer["look_again"]
    error: dict[str, str] = answer["refused"]
    assert error["next"] in " ".join(answer["why_not_simulated"])
    return error


def test_without_fish_there_is_no_course(run: Run, typed: Callable[..., Path]) -> None:
    file = typed("empty", [OPENING], [SYSTEM, [*WATER, "kh=5 dH"], *NO_GROUP])
    error = not_compared(run, file)
    assert (error["code"], error["given"]) == ("E-PLAN-02", "no group of fish with a number")


def test_in_water_so_cold_that_nothing_develops_no_course_has_an_end(
    run: Run, typed: Callable[..., Path]
) -> None:
    cold = ["temperature=0 C" if word.startswith("temperature") else word for word in WATER]
    file = typed("cold", [OPENING], [*TANK, cold, *SEEN])
    error = not_compared(run, file)
    assert (error["code"], error["given"]) == ("E-PLAN-01", "0 C")
    assert "thermometer" in error["next"]
