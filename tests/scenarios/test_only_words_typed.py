"""What is told in words in place of a dose, typed: never taken for one, and never passed over.

200 L by box and hose, as in ``test_account_typed``.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Answer, Ran, Typing
from tests.scenarios.test_account_typed import BLUE, BLUE_STRENGTH, OPENING, SALT, TANK, WATER
from tests.scenarios.test_reckoned_typed import at

Run = Callable[..., Ran]
Case = Callable[..., Path]
LIQUID = ["event", "what=poured a white spot liquid in", "topic=medicine"]


@pytest.fixture(autouse=True)
def _the_next_evening(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-04T18:00+00:00")


@pytest.fixture
def case(typed: Typing, request: pytest.FixtureRequest) -> Case:
    number = count()

    def type_in(*rows: list[str]) -> Path:
        name = f"words {request.node.name} {next(number)}".replace("[", "-").replace("]", "")
        rows_of_case = [
            *(at("02", row) for row in (*TANK, SALT)),
            *rows,
            at("04", BLUE),
            at("04", WATER),
        ]
        return typed(name, [OPENING], rows_of_case)

    return type_in


def blue(run: Run, path: Path) -> Ran:
    words = ("--agent", "methylene_blue", "--strength", BLUE_STRENGTH, "--json")
    return run("dose", "--case", str(path), *words)


def asked(run: Run, path: Path) -> list[str]:
    words = ("--case", str(path), "--agent", "salt", "--strength", "1 g/L", "--json")
    shown: Answer = run("dose", *words).answer
    return [c["words"] for c in shown["cautions"] if "no entry tells whether" in c["words"]]


def test_a_medicine_told_as_an_event_counts_as_unknown_until_it_is_named(
    case: Case, run: Run
) -> None:
    refused = blue(run, case(at("03", LIQUID))).error
    assert refused["code"] == "E-DOSE-20"
    assert "poured a white spot liquid in" in refused["message"]


def test_named_on_the_same_day_it_stops_what_that_substance_stops_and_nothing_else(
    case: Case, run: Run
) -> None:
    assert blue(run, case(at("03", LIQUID))).code != 0
    salt = ["in-water", "agent=salt", "amount=100 g"]
    assert blue(run, case(at("03", LIQUID), at("03", salt, "12:00"))).code == 0


def test_one_naming_answers_one_event(case: Case, run: Run) -> None:
    salt = ["in-water", "agent=salt", "amount=100 g"]
    again = at("03", LIQUID, "20:00")
    assert blue(run, case(at("03", LIQUID), at("03", salt, "12:00"), again)).code != 0


def test_a_salt_logged_on_the_next_day_names_no_medicine_of_the_day_before(
    case: Case, run: Run
) -> None:
    salt = ["done", "action=salt", "agent=salt", "amount=100 g"]
    assert blue(run, case(at("02", LIQUID), at("03", salt))).code != 0


def test_the_reply_to_such_an_event_says_what_becomes_of_it(case: Case, run: Run) -> None:
    reply = run("case", "add", str(case()), *at("03", LIQUID)).out
    assert "counts as unknown and stops what it may not be mixed with" in reply
    assert "on=2026-03-03" in reply


@pytest.mark.parametrize(
    "words", [["note", "I poured 900 g of salt in"], ["event", "what=900 g of table salt went in"]]
)
def test_a_note_that_names_a_substance_is_asked_about_beside_the_amount(
    case: Case, run: Run, words: list[str]
) -> None:
    path = case()
    reply = run("case", "add", str(path), *at("03", words)).out
    assert "If it went in, say so" in reply
    (caution,) = asked(run, path)
    assert caution.startswith("Words of Tue 3 Mar 2026 name salt")


@pytest.mark.parametrize(
    "answer",
    [["in-water", "agent=NaCl", "amount=100 g"], ["not-done", "action=salt"],
     ["done", "action=table salt", "agent=salt", "amount=100 g"]],
)  # fmt: skip
def test_what_was_answered_is_asked_no_more(case: Case, run: Run, answer: list[str]) -> None:
    note = at("03", ["note", "salt, a bag of it"])
    assert asked(run, case(note))
    assert not asked(run, case(note, at("03", answer, "12:00")))


def test_words_that_name_no_substance_ask_nothing(case: Case, run: Run) -> None:
    assert not asked(run, case(at("03", ["note", "keeper is away until Friday"])))
