"""Own scenario, Reed Lane (invented): slides, tools, dial and equipment bear on answers."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing, chosen

Run = Callable[..., Ran]
NUMBERS = count()
NOW = "2026-10-05T12:00+00:00"
OPENING = ["--name", "Reed Lane", "--keeper", "Ola Finn", "--water", "fresh",
           "--opened", "2026-10-05", "--zone", "Etc/UTC"]  # fmt: skip
TANK = ["system", "main", "use=main", "inside-length=100 cm", "inside-width=50 cm",
        "water-height=40 cm", "meter=195 L", "carbon=no", "uv=no", "plants=no", "filter-ripe=yes",
        "invertebrates=no", "air-stone=yes", "food-fish=no", "tap=none", "overflow=no"]  # fmt: skip
FISH = ["stock", "tetra", "name=neon tetra", "count=12", "length=3 cm", "life-stage=adult",
        "gill-damage=no", "system=main"]  # fmt: skip
READ = ["water", "temperature=25 C", "ph=7.2", "oxygen=7.5 mg/L", "kh=6 dH"]
BLUE = "2 mg/L as methylene blue anhydrous"
SLIDE = ["wet-mount", "skin-scrape", "fish=worst tetra", "group=tetra"]


@pytest.fixture
def case(typed: Typing, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Path]:
    """Return what types the case, with further entries."""
    monkeypatch.setenv("TANKSIDE_NOW", NOW)

    def type_in(*rows: list[str], name: str = "") -> Path:
        return typed(f"{next(NUMBERS)}-{name}", [OPENING], [TANK, FISH, READ, *rows])

    return type_in


def believed(run: Run, file: Path, condition: str) -> float:
    ranked = run("differential", str(file), "--json").answer["ranked"]
    return next(float(row["probability"]) for row in ranked if row["condition"] == condition)


def cautions(run: Run, file: Path, agent: str, strength: str) -> str:
    words = ["dose", "--case", str(file), "--agent", agent, "--strength", strength, "--json"]
    ran = run(*words)
    return ran.out + ran.err


@pytest.mark.parametrize(
    "how",
    [["alive=no"], ["alive=no", "time-dead=6 h"], ["slide-age=2 h"], ["fields=0"], ["examined=0"]],
    ids=" ".join,
)
def test_an_empty_slide_of_a_dead_fish_or_an_old_one_is_no_evidence_of_absence(
    run: Run, case: Callable[..., Path], how: list[str]
) -> None:
    alone = believed(run, case(name="0"), "ICH")
    fresh = believed(run, case([*SLIDE, "m_big_ciliate=none"], name="1"), "ICH")
    spoiled = believed(run, case([*SLIDE, *how, "m_big_ciliate=none"], name="2"), "ICH")
    assert fresh < alone
    assert spoiled == pytest.approx(alone)


def test_a_positive_stays_on_whatever_slide(run: Run, case: Callable[..., Path]) -> None:
    seen = "m_big_ciliate=crescent"
    fresh = believed(run, case([*SLIDE, seen], name="1"), "ICH")
    how = ["alive=no", "slide-age=2 h", "fields=1", "examined=1", "objective=2x"]
    assert believed(run, case([*SLIDE, *how, seen], name="2"), "ICH") == pytest.approx(fresh)


def test_a_spoiled_slide_does_not_take_back_what_was_seen_on_that_fish(
    run: Run, case: Callable[..., Path]
) -> None:
    seen = [*SLIDE, "m_big_ciliate=crescent", "on=2026-10-05T09:00"]
    later = [*SLIDE, "slide-age=20 min", "m_big_ciliate=none", "on=2026-10-05T11:00"]
    once = believed(run, case(seen, name="1"), "ICH")
    assert believed(run, case(seen, later, name="2"), "ICH") == pytest.approx(once)


def test_tiny_flagellates_are_not_looked_for_at_a_low_magnification(
    run: Run, case: Callable[..., Path]
) -> None:
    none = "m_tiny_flagellate=none"
    alone = believed(run, case(name="0"), "ICHTHYOBODO")
    low = case([*SLIDE, "objective=4x", none], name="1")
    assert believed(run, low, "ICHTHYOBODO") == pytest.approx(alone)
    assert believed(run, case([*SLIDE, "objective=40x", none], name="2"), "ICHTHYOBODO") < alone
    said = run("case", "add", str(low), *SLIDE, "objective=10x", none)
    assert "taken as not looked for. It needs at least 200 times" in said.out


def test_few_fields_or_few_fish_weigh_less(run: Run, case: Callable[..., Path]) -> None:
    none = "m_disc_ring=none"
    usual = believed(run, case([*SLIDE, "fields=10", "examined=2", none], name="1"), "TRICHO")
    fields = believed(run, case([*SLIDE, "fields=3", "examined=2", none], name="2"), "TRICHO")
    fish = believed(run, case([*SLIDE, "fields=10", "examined=1", none], name="3"), "TRICHO")
    alone = believed(run, case(name="0"), "TRICHO")
    assert usual < fields < alone
    assert usual < fish < alone


def test_an_objective_without_a_number_is_said_to_be_kept_only(
    run: Run, case: Callable[..., Path]
) -> None:
    said = run("case", "add", str(case()), *SLIDE, "objective=small", "m_disc_ring=none")
    assert "objective small: no number in it, so it is kept and not used" in said.out


def test_a_dial_that_disagrees_with_the_thermometer_speaks(
    run: Run, case: Callable[..., Path]
) -> None:
    warned = "The heater dial of the tank says 28 C, the thermometer read 25 C"
    for dial, speaks in (("28 C", True), ("25.5 C", False)):
        file = case(["system", "main", f"heater-dial={dial}"], name=dial)
        said = " ".join(run("differential", str(file), "--json").answer["water_warnings"])
        assert (warned in said) is speaks


def test_water_that_dried_up_and_was_put_back_makes_a_reading_old(
    run: Run, case: Callable[..., Path]
) -> None:
    salty = ["water", "salinity=2 g/L", "on=2026-10-05T08:00"]
    file = case(salty, ["event", "evaporated", "topped-up=20 L", "on=2026-10-05T09:00"])
    said = " ".join(run("differential", str(file), "--json").answer["water_warnings"])
    assert "20 L of 200 L that had dried up were put back since" in said
    later = case(salty, ["event", "evaporated", "topped-up=20 L", "on=2026-10-05T07:00"], name="2")
    assert run("differential", str(later), "--json").answer["water_warnings"] == []


def test_tools_used_elsewhere_are_said_where_it_decides(
    run: Run, case: Callable[..., Path]
) -> None:
    file = case(["system", "main", "shared-tools=net, siphon"])
    asked = " ".join(run("differential", str(file), "--json").answer["to_be_asked"])
    assert "Used in the tank and in other waters too: net, siphon." in asked
    none = case(["system", "main", "shared-tools=none"], name="2")
    asked = " ".join(run("differential", str(none), "--json").answer["to_be_asked"])
    assert "Used in" not in asked


@pytest.mark.parametrize(
    ("word", "agent", "strength", "said"),
    [
        ("ozone=yes", "methylene_blue", BLUE, "Ozone is on while methylene blue is given."),
        ("skimmer=yes", "praziquantel", "2.5 mg/L", "The skimmer is on while praziquantel"),
        ("uv=yes", "methylene_blue", BLUE, "UV is on while methylene blue is given."),
        ("ozone=yes", "sodium_chloride", "1 g/L", ""),
        ("skimmer=yes", "sodium_chloride", "1 g/L", ""),
        ("ozone=no", "methylene_blue", BLUE, ""),
    ],
)
def test_ozone_and_skimmer_speak_where_they_take_an_agent_out(
    run: Run, case: Callable[..., Path], word: str, agent: str, strength: str, said: str
) -> None:
    form = " as methylene blue trihydrate" if agent == "methylene_blue" else ""
    label = ["label", f"agent={agent}", f"strength=pure{form}", "scale=0.001 g", "predissolve=yes",
             "zinc-free=yes", "formulation-named=yes"]  # fmt: skip
    file = case(["system", "main", word], label, ["in-water", "none"])
    shown = cautions(run, file, agent, strength)
    if said:
        assert said in shown
    else:
        assert "is on while" not in shown


def test_where_fish_differ_in_length_the_shortest_decide_what_they_may_be_fed(
    run: Run, case: Callable[..., Path]
) -> None:
    """Weights go as length cubed (Froese 2006): amounts for the mean are too much for the small."""
    label = ["label", "agent=praziquantel", "strength=pure", "scale=0.001 g", "predissolve=yes"]
    fed = ["--agent", "praziquantel", "--strength", "50 mg/kg/d", "--route", "feed",
           "--ration", "1 % of body weight", "--days", "3 d", "--json"]  # fmt: skip
    koi = ["stock", "koi", "count=10", "length=20 cm", "system=main"]
    nobody = ["stock", "tetra", "count=0"]
    alike = case(nobody, koi, label)
    assert run("dose", "--case", str(alike), *fed).code == 0
    differ = case(nobody, [*koi, "length-to=40 cm"], label, name="2")
    refused = run("dose", "--case", str(differ), *fed).error
    assert refused["code"] == "E-DOSE-10"
    assert "Weigh the fish" in refused["next"]


def test_water_carried_into_a_tank_outside_the_course_does_not_break_the_card(
    run: Run, case: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    file = case(
        ["system", "box", "use=hospital", "meter=40 L", "hose=4 L/min for 10 min"],
        ["stock", "koi", "count=5", "length=14 cm", "system=box"],
        ["suspected", "condition=ICH", "shown-by=spots"],
    )
    chosen("plan", str(file), "--only", "salt", "--no-warming", number=2)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-10-07T12:00+00:00")
    moved = run("case", "add", str(file), "water-moved", "20 L", "from=main", "to=box")
    assert moved.code == 0, moved.err
    assert run("today", str(file), "--json").answer["day"] == 2


def test_the_country_is_told_later_as_the_question_says(
    run: Run, case: Callable[..., Path]
) -> None:
    file = case(["suspected", "condition=ICH", "shown-by=spots"])
    asked = run("differential", str(file), "--json").answer["to_be_asked"]
    assert any('--correct 1 --reason "told later" opened country=GB' in line for line in asked)
    said = ["case", "add", str(file), "--correct", "1", "--reason", "told later", "opened"]
    assert run(*said, "country=England").code == 0
    asked = run("differential", str(file), "--json").answer["to_be_asked"]
    assert not any("In which country" in line for line in asked)
    kept = run("case", "show", str(file))
    assert "Ola Finn" in kept.out


def test_a_country_nobody_knows_is_not_asked_again(run: Run, case: Callable[..., Path]) -> None:
    file = case(["suspected", "condition=ICH", "shown-by=spots"])
    said = ["case", "add", str(file), "--correct", "1", "--reason", "told later", "opened"]
    refused = run(*said, "country=Atlantis")
    assert refused.code == 2
    assert "E-WORD-02" in refused.err
    assert run(*said, "country=?").code == 0
    asked = run("differential", str(file), "--json").answer["to_be_asked"]
    assert not any("In which country" in line for line in asked)
