"""The country, typed as people type it: at the opening of a case and beside one amount."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]

OPENING = ("--name", "Mill Row", "--keeper", "E. Dorn", "--water", "fresh", "--zone", "UTC",
           "--opened", "2026-06-15T09:00")  # fmt: skip
FORMALIN = ("dose", "--agent", "formalin", "--strength", "15 mg/L", "--volume", "173 L",
            "--second-volume", "173 L", "--label", "as product", "--syringe", "0.1 mL",
            "--seen-to", "clear-solution=yes", "--animal", "goldfish", "--stage", "adult",
            "--gill-damage", "no", "--temperature", "20 C", "--oxygen", "8 mg/L",
            "--ph", "7.4")  # fmt: skip
SALT = ("dose", "--agent", "salt", "--strength", "2 g/L", "--volume", "173 L", "--second-volume",
        "173 L", "--label", "pure", "--scale", "1 g", "--animal", "goldfish")  # fmt: skip


@pytest.fixture(autouse=True)
def _present(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-06-15T18:00+00:00")
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize(
    ("typed", "code"),
    [("UK", "GB"), ("Great Britain", "GB"), ("Deutschland", "DE"), ("USA", "US"), ("gb", "GB")],
)
def test_a_case_keeps_two_letters_whatever_was_typed(run: Run, typed: str, code: str) -> None:
    added = run("case", "new", "a.jsonl", *OPENING, "--country", typed, "--json").answer
    assert added["added"][0]["country"] == code
    assert f"{typed}: read as" in added["notes"][0]


def test_two_letters_are_kept_without_a_word(run: Run) -> None:
    added = run("case", "new", "a.jsonl", *OPENING, "--country", "GB", "--json").answer
    assert (added["added"][0]["country"], "notes" in added) == ("GB", False)


def test_a_slip_leaves_no_file(run: Run) -> None:
    error = run("case", "new", "a.jsonl", *OPENING, "--country", "Germny", "--json").error
    assert (error["code"], error["field"]) == ("E-WORD-02", "country")
    assert "Germany (DE)" in error["needed"]
    assert not Path("a.jsonl").exists()


def test_a_file_of_no_country_is_not_taken_in(run: Run) -> None:
    assert run("case", "new", "a.jsonl", *OPENING, "--country", "UK").code == 0
    text = Path("a.jsonl").read_text("utf-8")
    Path("b.jsonl").write_text(text.replace('"country":"GB"', '"country":"XX"'), "utf-8")
    error = run("case", "import", "b.jsonl", "c.jsonl", "--json").error
    assert (error["code"], "Line 2" in error["message"]) == ("E-WORD-02", True)
    assert not Path("c.jsonl").exists()


@pytest.mark.parametrize("typed", ["UK", "Great Britain", "england"])
def test_the_law_stands_beside_an_amount_however_the_country_is_typed(run: Run, typed: str) -> None:
    plain = run(*FORMALIN, "--country", "GB", "--json").answer["law"]
    assert run(*FORMALIN, "--country", typed, "--json").answer["law"] == plain
    assert "Schedule 6" in plain[0]


def test_a_country_that_is_none_is_refused_beside_an_amount(run: Run) -> None:
    error = run(*FORMALIN, "--country", "Atlantis", "--json").error
    assert (error["code"], error["given"]) == ("E-WORD-02", "Atlantis")


def test_that_no_rule_is_on_file_is_said_once_and_as_information(run: Run) -> None:
    text = run(*SALT, "--country", "UK", "--why").out
    (line,) = [row for row in text.splitlines() if "rule" in row and "Law" in row]
    assert line.strip() == (
        "Law (GB): no rule for salt is on file, which means neither allowed nor forbidden; "
        "ask the authority."
    )
    assert "never" not in line
