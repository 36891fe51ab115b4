"""From a case on file to what fits, with the practitioner's own idea written down first."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., str]:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T18:00+00:00")

    def call(*words: str) -> str:
        result = CliRunner().invoke(app, list(words))
        assert result.exit_code == 0, result.output
        return result.stdout

    return call


@pytest.fixture
def case(run: Callable[..., str]) -> str:
    """S1 of the scenarios, typed in as a new user would (without its courses)."""
    zone = ("--zone", "Europe/London", "--opened", "2026-03-02")
    run("case", "new", "c.jsonl", "--name", "Elm Road", "--keeper", "M.", "--water", "fresh", *zone)
    add = ("case", "add", "c.jsonl")
    size = ("inside-length=118 cm", "inside-width=38 cm", "water-height=41 cm")
    run(*add, "system", *size)
    run(*add, "stock", "loach", "name=clown loach", "count=2", "length=9 cm",
        "arrived=2026-02-24", "quarantined=no")  # fmt: skip
    run(*add, "water", "temperature=25.5 C", "ph=7.4", "ammonia=0.3 mg/L as N",
        "nitrite=0 mg/L as N", "oxygen=7.2 mg/L")  # fmt: skip
    run(*add, "finding", "flashing=frequent", "breathing=fast", "spots_visible=yes",
        "spot_form=smooth_dome_in_skin", "head_pits=not-looked", "eye=?")  # fmt: skip
    run(*add, "wet-mount", "skin-scrape", "m_big_ciliate=7 crescent_nucleus", "m_disc_ring=none")
    return "c.jsonl"


def test_a_case_is_ranked_from_what_it_holds(run: Callable[..., str], case: str) -> None:
    answer = json.loads(run("differential", case, "--json"))
    assert answer["ranked"][0]["condition"] == "ICH"
    used = {s["finding"] for row in answer["ranked"] for s in (*row["for"], *row["against"])}
    assert {"water_type", "new_fish", "water_temperature", "nitrogen"} <= used
    assert not {"head_pits", "eye"} & used
    assert "oxygen_gas" not in {look["finding"] for look in answer["look_next"]}


def test_the_own_idea_is_in_the_case_before_the_ranks_are_shown(
    run: Callable[..., str], case: str
) -> None:
    text = run("differential", case, "--own-idea", "fwvelvet")
    assert text.index("Your own first idea: Freshwater velvet") < text.index("WHAT FITS")
    assert "FWVELVET suspected" in run("case", "show", case, "--history")
    assert json.loads(run("differential", case, "--json"))["own_idea"] == "FWVELVET"


def test_an_own_idea_outside_the_list_is_refused_and_nothing_is_written(
    run: Callable[..., str], case: str
) -> None:
    before = run("case", "export", case)
    words = ["differential", case, "--own-idea", "MOON FEVER", "--json"]
    refused = CliRunner().invoke(app, words)
    error = json.loads(refused.stdout)["error"]
    assert (refused.exit_code, error["code"]) == (2, "E-COND-01")
    assert (error["given"], error["field"]) == ("MOON FEVER", "own-idea")
    assert "ICH" in error["needed"]
    assert "NOT_IN_LIST" in error["next"]
    assert run("case", "export", case) == before


def test_without_an_own_idea_nothing_is_written(run: Callable[..., str], case: str) -> None:
    before = run("case", "export", case)
    run("differential", case, "--no-own-idea")
    assert run("case", "export", case) == before


def test_confirmed_cases_score_the_ranking_and_the_own_ideas(
    run: Callable[..., str], case: str
) -> None:
    run("differential", case, "--own-idea", "FWVELVET")
    run("case", "add", case, "confirmed", "condition=ICH", "shown-by=skin scrape")
    answer = json.loads(run("bench", "rank", "--cases", ".", "--json"))
    assert answer["all"]["n"] == 1
    assert answer["all"]["top1"] == 1.0
    assert answer["own_idea"] == {"right": 0, "of": 1}
