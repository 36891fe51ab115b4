"""Readings of salt, top-ups and part changes stand in the account, typed entry by entry."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing
from tests.scenarios.steps_case import SALT, Run, add, card, choose, grams, typed_case

SALT_IN = ["done", "action=salt", "agent=sodium_chloride"]


@pytest.fixture
def path(typed: Typing, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T12:00+00:00")
    return typed_case(typed, request.node.name)


def salt(run: Run, path: Path, strength: str = "1 g/L", *more: str) -> Ran:
    words = ["dose", "--case", str(path), "--agent", "sodium_chloride", "--strength", strength]
    return run(*words, *more, "--json")


def weighed(ran: Ran) -> str:
    value: str = ran.answer["amount"]["value"]
    return value


def test_a_salinity_reading_in_fresh_water_is_the_salt_there(path: Path, run: Run) -> None:
    """150 g were logged; the meter reads 0.4 g/L in 200 L: 80 g there, 120 g are missing."""
    add(path, *SALT_IN, "amount=150 g")
    add(path, "water", "salinity=0.4 g/L")
    assert weighed(salt(run, path)) == "120"


def test_a_chloride_reading_bounds_an_amount_nobody_knows(path: Path, run: Run) -> None:
    """Molar masses 35.45 and 22.990 (IUPAC 2021): 121.3 mg/L chloride is at most 0.2 g/L salt."""
    add(path, "in-water", "agent=sodium_chloride", "amount=?")
    assert salt(run, path).code != 0
    add(path, "water", "chloride=121.3 mg/L")
    assert weighed(salt(run, path)) == "200"


def test_a_chloride_reading_lowers_what_was_reckoned(path: Path, run: Run) -> None:
    """24.26 mg/L chloride is at most 0.04 g/L of salt: 8 g in 200 L, 192 g are missing."""
    add(path, *SALT_IN, "amount=150 g")
    add(path, "water", "chloride=24.26 mg/L")
    assert weighed(salt(run, path)) == "192"


def test_a_top_up_of_evaporated_water_takes_nothing_out(path: Path, run: Run) -> None:
    add(path, *SALT_IN, "amount=150 g")
    add(path, "event", "what=evaporated", "topped-up=100 L")
    assert weighed(salt(run, path)) == "50"


def test_an_amount_for_changed_water_counts_what_is_there(path: Path, run: Run) -> None:
    """An amount nobody knows is there; dosing the changed water does not make it harmless."""
    add(path, *SALT_IN, "amount=200 g")
    assert salt(run, path, "1 g/L", "--changed", "40 L").code == 0
    add(path, "in-water", "agent=sodium_chloride", "amount=?")
    assert salt(run, path, "1 g/L", "--changed", "40 L").code != 0


def test_an_amount_for_changed_water_is_for_that_water_alone(path: Path, run: Run) -> None:
    add(path, *SALT_IN, "amount=200 g")
    assert weighed(salt(run, path, "1 g/L", "--changed", "40 L")) == "40"


def test_salt_put_in_to_find_the_volume_counts_on_the_card(
    typed: Typing, run: Run, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    """100 g raised 0.5 g/L: 200 L; the first step means 0.7 g/L, 140 g: 40 g are missing."""
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T12:00+00:00")
    path = typed_case(typed, request.node.name)
    add(path, "system", "salt-rise=100 g raised 0.5 g/L")
    choose(path, SALT, at="2026-03-02T12:00+00:00")
    assert grams(card(path, "2026-03-02"), "A0-1") == [40]


def test_an_amount_for_changed_water_is_held_to_what_the_water_holds(path: Path, run: Run) -> None:
    """15 g/L stand in the tank: the water is over its limit, whatever the changed part gets."""
    add(path, *SALT_IN, "amount=3000 g")
    refused = salt(run, path, "1 g/L", "--changed", "40 L").error
    assert refused["code"].startswith(("E-DOSE", "S-"))


REASON = ("--reason", "as the vet advised")


def test_one_reading_far_below_the_log_gives_no_more_salt_over_the_limit(
    path: Path, run: Run
) -> None:
    """700 g in 200 L are 3.5 g/L; the meter reads 0.2; 2 g/L more could be 5.3, over 5."""
    add(path, *SALT_IN, "amount=700 g")
    assert salt(run, path, "2 g/L", *REASON).code != 0
    add(path, "water", "salinity=0.2 g/L")
    refused = salt(run, path, "2 g/L", *REASON).error
    assert refused["code"] == "E-DOSE-20"
    assert "one of them is wrong" in refused["message"]
    assert "a second reading stands" in refused["next"]


def test_a_second_reading_is_believed_against_the_log(path: Path, run: Run) -> None:
    """200 L at 2 g/L, 0.2 g/L there: 360 g."""
    add(path, *SALT_IN, "amount=700 g")
    add(path, "water", "salinity=0.2 g/L")
    add(path, "water", "salinity=0.2 g/L")
    assert weighed(salt(run, path, "2 g/L", *REASON)) == "360"


def test_salt_logged_after_two_readings_asks_for_readings_again(path: Path, run: Run) -> None:
    for _ in range(2):
        add(path, "water", "salinity=0.2 g/L")
    add(path, *SALT_IN, "amount=700 g")
    add(path, "water", "salinity=0.2 g/L")
    assert salt(run, path, "2 g/L", *REASON).error["code"] == "E-DOSE-20"


def test_a_reading_near_the_log_needs_no_second(path: Path, run: Run) -> None:
    """150 g are 0.75 g/L and 0.4 is read: 1 g/L stays far below 5 g/L whichever is right."""
    add(path, *SALT_IN, "amount=150 g")
    add(path, "water", "salinity=0.4 g/L")
    assert weighed(salt(run, path)) == "120"
