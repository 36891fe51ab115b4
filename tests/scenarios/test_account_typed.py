"""What went into a water counts on the next amount: typed as a person would, entry by entry."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing

OPENING = ["--name", "Quay Lane", "--keeper", "T. Orme", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-03-02"]  # fmt: skip
SIZE = ["inside-length=100 cm", "inside-width=50 cm", "water-height=40 cm"]
HOSE = "hose=20 L/min for 10 min"
CALM = ["carbon=no", "uv=no", "plants=no", "invertebrates=no", "filter-ripe=yes", "food-fish=no"]
WATER = ["water", "temperature=24 C", "ph=7.4", "oxygen=7.5 mg/L", "kh=8 dH",
         "ammonia=0 mg/L as N", "nitrite=0 mg/L as N"]  # fmt: skip
STOCK = ["stock", "danio", "name=zebra danio", "host=danio_rerio", "count=10", "length=4 cm",
         "life-stage=adult", "gill-damage=no"]  # fmt: skip
TANK = [["system", *SIZE, HOSE, *CALM], STOCK, WATER]
BLUE = ["label", "agent=methylene_blue", "strength=1 % w/v as methylene blue trihydrate",
        "syringe=0.5 mL"]  # fmt: skip
SALT = ["label", "agent=sodium_chloride", "strength=pure", "scale=1 g"]
ASK_BLUE = ["dose", "agent=methylene_blue", "strength=2 mg/L as methylene blue trihydrate"]
ASK_SALT = ["dose", "agent=sodium_chloride", "strength=1 g/L"]
Case = Callable[..., Path]
Run = Callable[..., Ran]


@pytest.fixture(autouse=True)
def _that_evening(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T18:00+00:00")


@pytest.fixture
def case(typed: Typing, request: pytest.FixtureRequest) -> Case:
    def type_in(*rows: list[str]) -> Path:
        return typed(request.node.name.replace("[", "-").strip("]"), [OPENING], [*TANK, *rows])

    return type_in


def dose(run: Run, path: Path, agent: str, strength: str) -> Ran:
    return run("dose", "--case", str(path), "--agent", agent, "--strength", strength, "--json")


BLUE_STRENGTH = "2 mg/L as methylene blue trihydrate"


def test_a_dose_logged_as_done_is_not_offered_again_in_full(
    case: Case, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At once it is there in full; hours later only what is lost for sure may be replaced."""
    path = case(BLUE, ASK_BLUE, ["done", "action=methylene blue", "agent=methylene_blue"])
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T18:00+00:00")
    assert dose(run, path, "methylene_blue", BLUE_STRENGTH).error["code"] == "E-DOSE-25"
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-02T23:00+00:00")
    later = dose(run, path, "methylene_blue", BLUE_STRENGTH).answer["amount"]
    assert 0 < later["strength_mg_l"] < 0.2 * 2


def test_done_with_its_substance_alone_answers_what_was_asked(case: Case, run: Run) -> None:
    """As docs/case.md says; the call for a field named action stood in the way."""
    path = case(BLUE, ASK_BLUE, ["done", "agent=methylene_blue"])
    refused = dose(run, path, "methylene_blue", BLUE_STRENGTH).error
    assert refused["code"] == "E-DOSE-25"  # above the usual figure with what is in the water


def test_an_amount_logged_by_its_number_counts_without_an_asking(case: Case, run: Run) -> None:
    path = case(SALT, ["done", "action=salt", "agent=sodium_chloride", "amount=150 g"])
    assert dose(run, path, "sodium_chloride", "1 g/L").answer["amount"]["value"] == "50"


def test_what_was_asked_must_be_answered_before_more_is_weighed(case: Case, run: Run) -> None:
    path = case(BLUE, ASK_BLUE)
    refused = dose(run, path, "methylene_blue", BLUE_STRENGTH).error
    assert refused["code"] == "E-DOSE-28"
    assert "not-done" in refused["next"]
    again = run("case", "add", str(path), *ASK_BLUE, "--json").error
    assert again["code"] == "E-DOSE-28"


def test_what_was_asked_and_not_given_counts_for_nothing(case: Case, run: Run) -> None:
    path = case(SALT, ASK_SALT, ["not-done", "action=salt", "agent=sodium_chloride"])
    assert dose(run, path, "sodium_chloride", "1 g/L").answer["amount"]["value"] == "200"


def test_another_amount_than_asked_counts_as_what_it_was(case: Case, run: Run) -> None:
    other = ["other-amount", "action=salt", "agent=sodium_chloride", "amount=120 g"]
    path = case(SALT, ASK_SALT, other)
    assert dose(run, path, "sodium_chloride", "1 g/L").answer["amount"]["value"] == "80"


def test_a_part_change_takes_its_share_out(case: Case, run: Run) -> None:
    path = case(
        SALT, ASK_SALT, ["done", "action=salt", "agent=sodium_chloride"],
        ["event", "what=water change", "changed=100 L"],
    )  # fmt: skip
    assert dose(run, path, "sodium_chloride", "1 g/L").answer["amount"]["value"] == "100"


def test_salt_put_in_to_find_the_volume_is_still_there(
    typed: Typing, run: Run, request: pytest.FixtureRequest
) -> None:
    rise = ["system", "salt-rise=100 g raised 0.5 g/L", HOSE, *CALM]
    path = typed(request.node.name, [OPENING], [rise, STOCK, WATER, SALT])
    assert dose(run, path, "sodium_chloride", "1 g/L").answer["amount"]["value"] == "100"


def test_two_lots_of_one_substance_add_up(case: Case, run: Run) -> None:
    lot = ["in-water", "agent=sodium_chloride", "amount=60 g"]
    path = case(SALT, lot, lot)
    assert dose(run, path, "sodium_chloride", "1 g/L").answer["amount"]["value"] == "80"


def test_a_voided_amount_is_not_in_the_water(case: Case, run: Run) -> None:
    path = case(SALT, ["done", "action=salt", "agent=sodium_chloride", "amount=150 g"])
    last = len(path.read_text(encoding="utf-8").splitlines()) - 1
    assert run("case", "add", str(path), "--void", str(last), "--reason", "other tank").code == 0
    assert dose(run, path, "sodium_chloride", "1 g/L").answer["amount"]["value"] == "200"
