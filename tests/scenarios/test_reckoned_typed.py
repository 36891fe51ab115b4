"""What an independent reckoning found wrong in the account of the water, typed entry by entry.

Each expectation is worked out by hand from what was typed: 200 L by box and hose, or 181.8 to 220 L
where only the box was measured.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing
from tests.scenarios.test_account_typed import (
    BLUE,
    BLUE_STRENGTH,
    CALM,
    HOSE,
    OPENING,
    SALT,
    SIZE,
    STOCK,
    TANK,
    WATER,
)

Run = Callable[..., Ran]
Case = Callable[..., Path]
ASK_ONE = ["dose", "agent=salt", "strength=1 g/L"]
GIVEN = ["done", "action=salt", "agent=sodium_chloride"]
REASON = "reason=as the vet advised on 3 March"


@pytest.fixture(autouse=True)
def _the_next_evening(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-04T18:00+00:00")


@pytest.fixture
def case(typed: Typing, request: pytest.FixtureRequest) -> Case:
    def type_in(*rows: list[str], tank: list[list[str]] = TANK) -> Path:
        name = request.node.name.replace("[", "-").strip("]")
        return typed(name, [OPENING], [*(at("02", row) for row in tank), *rows])

    return type_in


def at(day: str, row: list[str], clock: str = "10:00") -> list[str]:
    return [*row, f"on=2026-03-{day}T{clock}"]


def salt(run: Run, path: Path, strength: str, *more: str) -> Ran:
    words = ("--case", str(path), "--agent", "salt", "--strength", strength, *more)
    return run("dose", *words, "--json")


def test_salt_asked_for_in_steps_is_counted_once(case: Case, run: Run) -> None:
    """1 g/L in 200 L, then up to 2 g/L: 200 g each time; 400 g are there, 200 g are missing."""
    ask_two = ["dose", "agent=salt", "strength=2 g/L"]
    path = case(
        at("02", SALT), at("02", ASK_ONE, "10:05"), at("02", GIVEN, "10:10"),
        at("03", WATER, "10:20"), at("03", ask_two, "10:25"), at("03", GIVEN, "10:30"),
        at("04", WATER, "11:00"),
    )  # fmt: skip
    assert salt(run, path, "3 g/L").answer["amount"]["value"] == "200"


def test_what_was_told_later_changes_nothing_of_what_was_weighed(case: Case, run: Run) -> None:
    """200 g were shown and given before anybody told of the 100 g of that morning."""
    morning = ["done", "action=salt", "agent=salt", "amount=100 g"]
    path = case(
        at("03", SALT), at("03", WATER), at("03", ASK_ONE, "12:00"), at("03", GIVEN, "12:10"),
        at("03", morning, "11:00"), at("04", WATER, "11:00"),
    )  # fmt: skip
    assert salt(run, path, "2 g/L").answer["amount"]["value"] == "100"


def test_what_was_poured_holds_what_the_label_says(case: Case, run: Run) -> None:
    """20 mL of 1 % are 200 mg, 1 mg/L in 200 L; another 1 mg/L is another 20 mL."""
    poured = ["done", "action=methylene blue", "agent=methylene_blue", "amount=20 mL"]
    path = case(at("04", BLUE), at("04", WATER, "11:00"), at("04", poured, "18:00"))
    words = ("--agent", "methylene_blue", "--strength", BLUE_STRENGTH, "--json")
    assert run("dose", "--case", str(path), *words).answer["amount"]["value"] == "20.0"


def test_what_was_poured_without_a_label_is_unknown(case: Case, run: Run) -> None:
    poured = ["done", "action=methylene blue", "agent=methylene_blue", "amount=20 mL"]
    path = case(at("04", poured, "10:00"), at("04", BLUE, "11:00"), at("04", WATER, "11:00"))
    words = ("--agent", "methylene_blue", "--strength", BLUE_STRENGTH, "--json")
    assert run("dose", "--case", str(path), *words).error["code"] == "E-DOSE-20"


@pytest.mark.parametrize(
    "lot",
    [["in-water", "agent=salt", "amount=900 g"], [*GIVEN, "amount=900 g"]],
    ids=["told", "logged"],
)
def test_the_limit_is_held_with_what_is_there_in_the_smallest_water(
    case: Case, run: Run, lot: list[str]
) -> None:
    """900 g and 20 g more in 181.8 L would be 5.06 g/L, over 5."""
    box_only = [["system", *SIZE, *CALM], STOCK, WATER]
    path = case(at("02", SALT), at("02", lot), at("04", WATER, "11:00"), tank=box_only)
    asked = salt(run, path, "4.6 g/L", "--reason", REASON)
    assert asked.error["code"] == "E-DOSE-10"


def test_said_twice_without_a_number_it_may_have_been_given_twice(case: Case, run: Run) -> None:
    """3 g/L twice would be 6 g/L, over the hard limit of 5: nothing more goes in."""
    path = case(
        at("02", SALT), at("02", ["dose", "agent=salt", "strength=3 g/L"], "10:05"),
        at("02", GIVEN, "10:10"), at("02", [*GIVEN, "index=6"], "12:00"), at("04", WATER, "11:00"),
    )  # fmt: skip
    assert salt(run, path, "3.5 g/L", "--reason", REASON).error["code"] == "E-DOSE-10"


def test_given_without_a_number_and_never_asked_for_is_unknown(case: Case, run: Run) -> None:
    path = case(at("02", SALT), at("02", GIVEN, "10:10"), at("04", WATER, "11:00"))
    assert salt(run, path, "1 g/L").error["code"] == "E-DOSE-20"


def test_an_answer_by_number_belongs_to_the_water_of_the_asking(case: Case, run: Run) -> None:
    hospital = ["system", "box", "use=hospital", *SIZE, HOSE, *CALM]
    fish = [word for word in STOCK if word != "danio"]
    other = [[*hospital], [*fish, "group=ill", "system=box"], [*WATER, "system=box"]]
    path = case(
        at("02", SALT), at("02", [*ASK_ONE, "system=box"], "10:05"),
        at("02", ["done", "action=salt", "index=9"], "10:10"), at("04", WATER, "11:00"),
        at("04", [*WATER, "system=box"], "11:00"), tank=[*TANK, *other],
    )  # fmt: skip
    assert salt(run, path, "1 g/L").answer["amount"]["value"] == "200"
    assert salt(run, path, "2 g/L", "--system", "box").answer["amount"]["value"] == "200"


def test_a_bath_beside_the_tank_leaves_nothing_in_its_water(case: Case, run: Run) -> None:
    bath = ["dose", "agent=salt", "strength=8 g/L", "route=bath", "minutes=30 min"]
    done = [*GIVEN, "index=6", "amount=500 g"]
    path = case(
        at("02", SALT), at("02", bath, "10:05"), at("02", done, "10:10"), at("04", WATER, "11:00")
    )
    assert salt(run, path, "1 g/L").answer["amount"]["value"] == "200"
