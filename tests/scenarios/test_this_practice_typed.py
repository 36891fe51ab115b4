"""A practice's own knowledge, from its folder to amount, plan and card; typed as a person does.

The tank, the practice and its figures are invented; released limits are those on file.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.library.practice_folder import UNKNOWN, agent_file, claim, host_file, label_file
from tests.scenarios.conftest import Answer, Ran, Typing
from tests.scenarios.steps_case import BLUE, card, choose, typed_case
from tests.shaped import is_shaped

from tankside.course import Course
from tankside.intake.claim_snapshot import KEY, claim_snapshot
from tankside.library import load
from tankside.library.overlay_place import VARIABLE

Run = Callable[..., Ran]
BATH = (
    "dose", "--agent", "formalin", "--volume", "100 L", "--second-volume", "100 L", "--route",
    "bath", "--minutes", "30 min", "--label", "37 % w/w as formaldehyde", "--density", "1.08 g/mL",
    "--temperature", "20 C", "--alkalinity", "100 mg/L as CaCO3", "--ph", "7", "--oxygen",
    "8 mg/L", "--water", "fresh", "--stage", "adult", "--gill-damage", "no", "--carbon", "no",
    "--filter", "ripe", "--tap", "none", "--food-fish", "no", "--scale", "0.1 g", "--country",
    "GB", "--invertebrates", "no", "--plants", "no", "--seen-to", "clear-solution=yes",
)  # fmt: skip
MG_L = 'value = {}\nunit = "mg/L"\nbasis = "as product"'
OURS = "this practice's own"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Name an empty folder as that of the practice."""
    place = tmp_path / "practice"
    place.mkdir()
    monkeypatch.setenv(VARIABLE, str(place))
    return place


def bath(run: Run, strength: str, *more: str, animal: str = "neon tetra") -> Ran:
    return run(*BATH, "--animal", animal, "--strength", strength, *more, "--json")


def test_the_stricter_limit_stops_the_amount_and_both_are_said(run: Run, folder: Path) -> None:
    agent_file(folder, "formalin", claim("hard_max.bath", MG_L.format(120)))
    refused = bath(run, "150 mg/L").error
    assert refused["code"] == "E-DOSE-10"
    assert f"at most 120 mg/L ({OURS}) beside the released 250 mg/L" in refused["needed"].replace(
        "\xa0", " "
    )
    shown = bath(run, "100 mg/L").answer
    assert OURS in str(shown["cautions"]).replace("This", "this")
    assert "released: 250" in str(shown["cautions"])


def test_a_looser_limit_lets_nothing_pass_and_both_are_said(run: Run, folder: Path) -> None:
    agent_file(folder, "formalin", claim("hard_max.bath", MG_L.format(2500)))
    refused = bath(run, "260 mg/L").error
    assert refused["code"] == "E-DOSE-10"
    assert "at most 250" in refused["needed"]
    assert "2500" in refused["needed"]
    assert OURS in refused["needed"]


def test_a_dose_ten_times_too_high_stops_every_command_by_file_and_line(
    run: Run, folder: Path, tmp_path: Path
) -> None:
    file = agent_file(folder, "formalin", claim("dose.bath", MG_L.format(2500)))
    case = tmp_path / "elm.jsonl"
    asked = (*BATH, "--strength", "150 mg/L")
    for words in (("knowledge", "practice"), ("knowledge", "kinds"), asked):
        refused = run(*words, "--json").error
        assert refused["code"] == "E-KNOW-01"
        assert refused["field"] == "agents/formalin.toml, line 10"
    assert not case.exists()
    listed = run("knowledge", "lint", "--json")
    assert listed.code == 2
    assert '"line": 10' in listed.out
    is_shaped(json.loads(listed.out), "lint")
    file.write_text(file.read_text(encoding="utf-8").replace("2500", "200"), encoding="utf-8")
    assert "formalin" in str(run("knowledge", "practice", "--json").answer["added"])


def test_the_list_says_what_holds_and_what_is_only_shown(run: Run, folder: Path) -> None:
    agent_file(
        folder, "formalin",
        claim("hard_max.bath", MG_L.format(120)), claim("hard_max.prolonged", MG_L.format(250)),
        claim("law.lane", 'value = "No drain takes it; check local law."\n'
              'conditions = { place = "UK", date = "2026-01" }'),
    )  # fmt: skip
    label_file(folder, "blue_bottle", agent="formalin", strength="37 % w/w as formaldehyde")
    listed = run("knowledge", "practice", "--json").answer
    held = {each["key"].removeprefix("agent.formalin."): each["holds"] for each in listed["added"]}
    assert held == {"hard_max.bath": True, "hard_max.prolonged": False, "law.lane": True}
    assert {each["source"] for each in listed["added"]} == {OURS}
    assert list(listed["labels"]) == ["blue_bottle"]
    text = run("knowledge", "practice").out
    assert "only shown" in text
    law = bath(run, "100 mg/L").answer
    assert "No drain takes it" in str(law)


def test_a_released_kind_cannot_be_made_to_bear_more(run: Run, folder: Path) -> None:
    before = bath(run, "200 mg/L", animal="neon tetra")
    host_file(
        folder, "paracheirodon_innesi", claim("tolerance.formalin", 'value = "tolerant"'),
        name="neon tetra", latin="Paracheirodon innesi", unknown=False,
    )  # fmt: skip
    after = bath(run, "200 mg/L", animal="neon tetra")
    assert after.code == before.code
    if before.code == 0:
        said = {caution["words"] for caution in before.answer["cautions"]}
        assert said <= {caution["words"] for caution in after.answer["cautions"]}


def test_a_new_kind_of_which_nothing_is_known_is_never_safe(
    run: Run, folder: Path, typed: Typing, monkeypatch: pytest.MonkeyPatch
) -> None:
    host_file(folder, "lane_tetra", claim("tolerance.formalin", UNKNOWN))
    unknown = bath(run, "150 mg/L", animal="lane tetra")
    relative = bath(run, "150 mg/L", animal="cardinal tetra")
    assert unknown.code != 0 or "lane tetra" in str(unknown.answer["cautions"])
    assert relative.code in (0, unknown.code)
    stock = ["stock", "lane", "name=lane tetra", "host=lane_tetra", "count=4", "length=3 cm"]
    path = typed_case(typed, "lane-tetra", stock)
    assert "lane tetra" in run("case", "show", str(path)).out
    # The folder goes away: the kind is known no more, and the case opens all the same.
    monkeypatch.setenv(VARIABLE, "")
    assert run("case", "show", str(path)).code == 0
    plan = run("plan", str(path), "--only", "formalin", "--json")
    assert plan.code != 0 or "lane" in plan.out


def test_a_limit_that_goes_away_between_plan_and_card_is_said_on_the_card(
    run: Run, folder: Path, typed: Typing, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = [["label", "agent=methylene_blue", "strength=1 % w/v as methylene blue trihydrate",
             "syringe=0.1 mL"]]  # fmt: skip
    agent_file(folder, "methylene_blue", claim("hard_max.prolonged", MG_L.format(1.5)))
    path = typed_case(typed, "goes-away", *rows)
    pinned = claim_snapshot(load(), Course("by hand", 7, BLUE))
    assert pinned["agent.methylene_blue.hard_max.prolonged"] == [1.5, "mg/L"]
    choose(path, BLUE, pinned={KEY: pinned})
    whole = card(path, "2026-03-02")
    assert "has changed since" not in str(whole)
    assert OURS in str(whole["cautions"]).replace("This", "this")
    (folder / "agents" / "methylene_blue.toml").unlink()
    assert "hard_max.prolonged: was 1.5 mg/L" in str(card(path, "2026-03-02"))
    monkeypatch.setenv(VARIABLE, str(folder / "gone"))
    refused = run("today", str(path), "--date", "2026-03-02", "--json").error
    assert refused["code"] == "E-KNOW-03"


def test_a_container_told_by_its_name_is_a_label_with_the_mark(
    run: Run, folder: Path, typed: Typing
) -> None:
    label_file(
        folder, "blue_bottle", agent="methylene_blue",
        strength="1 % w/v as methylene blue trihydrate", syringe="0.1 mL",
    )  # fmt: skip
    path = typed_case(typed, "container", ["label", "container=blue_bottle"])
    history = run("case", "show", str(path), "--history").out
    assert f"{OURS}: label blue_bottle" in history
    twice = run(
        "case", "add", str(path), "label", "container=blue_bottle", "strength=10 %", "--json"
    )
    assert twice.error["code"] == "E-DUP-01"
    other = run("case", "add", str(path), "label", "container=red", "--json").error
    assert (other["code"], other["needed"]) == ("E-PROD-02", "one of: blue_bottle")


def test_a_label_ten_times_too_strong_meets_the_same_stops(
    run: Run, folder: Path, typed: Typing
) -> None:
    label_file(
        folder, "wrong", agent="methylene_blue", strength="370 % w/w as methylene blue trihydrate",
        syringe="0.1 mL",
    )  # fmt: skip
    path = typed_case(typed, "too-strong")
    ran = run("case", "add", str(path), "label", "container=wrong", "--json")
    assert ran.error["code"].startswith("E-PROD")


def test_claim_pages_say_whose_it_is(run: Run, folder: Path) -> None:
    agent_file(folder, "formalin", claim("hard_max.bath", MG_L.format(120)))
    shown: Answer = run("knowledge", "show", "agent.formalin.hard_max.bath", "--json").answer
    ours, was = shown["claims"]
    assert (ours["source"], ours["overlay"]) == (OURS, "agents/formalin.toml")
    assert "overlay" not in was
    rivals = run("knowledge", "rivals", "agent.formalin.hard_max.bath").out
    assert OURS in rivals
