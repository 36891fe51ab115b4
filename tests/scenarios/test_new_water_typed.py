"""Water that goes in, out and through, typed as a person would: every change says what it must be.

Sea water: specific gravity by the one-atmosphere equation of state (Millero & Poisson 1981; UNESCO
check values in the golden table). Steps of pH, hardness and standing times are common practice or
hobby pages, as the claims say. What is told of the shares that run away is plain arithmetic.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from math import exp
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing, chosen

Row = list[str]
Run = Callable[..., Ran]
Case = Callable[..., Path]
NUMBER = count()
OPENING = ["--name", "Mill Race", "--keeper", "J. Tarn", "--zone", "Europe/London",
           "--opened", "2026-10-31T09:00"]  # fmt: skip
TANK = ["inside-length=100 cm", "inside-width=50 cm", "water-height=40 cm",
        "hose=20 L/min for 10 min", "carbon=no", "uv=no", "filter-ripe=yes", "plants=no",
        "invertebrates=no", "food-fish=no", "air-stone=yes"]  # fmt: skip
READ = ["temperature=25 C", "ph=7.4", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "kh=8 dH",
        "oxygen=7.0 mg/L"]  # fmt: skip
FISH = {
    "fresh": ["stock", "fish", "name=platy", "count=6", "length=4 cm", "life-stage=adult",
              "gill-damage=no"],
    "brackish": ["stock", "fish", "name=mollies", "count=6", "length=5 cm", "life-stage=adult",
                 "gill-damage=no"],
    "marine": ["stock", "fish", "name=common clownfish", "count=2", "length=6 cm",
               "life-stage=adult", "gill-damage=no"],
}  # fmt: skip
SALINITY = {"fresh": [], "brackish": ["salinity=10 psu"], "marine": ["salinity=35 psu"]}
SALT = ["label", "agent=salt", "strength=pure", "scale=1 g"]
PRAZIQUANTEL = ["label", "agent=praziquantel", "strength=pure", "scale=0.01 g", "predissolve=yes"]
SPOTS = [
    ["finding", "spots_visible=yes", "flashing=frequent"],
    ["count", "group=fish", "fish=worst", "spots=20"],
]


@pytest.fixture(scope="module")
def case(typed: Typing) -> Case:
    def type_in(kind: str, tank: Row, *rows: Row, water: Row | None = None) -> Path:
        read = READ if water is None else water
        entries = [["system", *TANK, *tank], FISH[kind], ["water", *read, *SALINITY[kind]], *rows]
        return typed(f"case{next(NUMBER)}", [[*OPENING, "--water", kind]], entries)

    return type_in


def asked(run: Run, file: Path, agent: str, strength: str, *words: str) -> Ran:
    return run("dose", "--case", str(file), "--agent", agent, "--strength", strength, *words,
               "--json")  # fmt: skip


def held(run: Run, file: Path, agent: str = "salt", strength: str = "2 g/L") -> Path:
    """Return a case whose water holds a strength already, so that a change takes some of it out."""
    there = ["in-water", f"agent={agent}", f"amount={strength}"]
    assert run("case", "add", str(file), *there).code == 0
    return file


def put_back(run: Run, file: Path, agent: str = "salt", strength: str = "2 g/L") -> str:
    held(run, file, agent, strength)
    done: str = asked(run, file, agent, strength, "--changed", "40 L").answer["do"]
    return done


# What the new water must be ---------------------------------------------------------------------


def test_unknown_tap_water_stops_a_change_with_the_question_and_no_other_amount(
    run: Run, case: Case
) -> None:
    for tap in ([], ["tap=?"]):
        file = case("fresh", tap, SALT)
        assert asked(run, file, "salt", "2 g/L").answer["amount"]["value"] == "400"
        refused = asked(run, held(run, file), "salt", "2 g/L", "--changed", "40 L").error
        assert (refused["code"], refused["field"]) == ("E-WATER-04", "tap")
        assert "tap=chloramine" in refused["needed"]


def test_an_amount_asked_for_as_an_entry_waits_for_the_tap_too(run: Run, case: Case) -> None:
    words = ["dose", "agent=salt", "strength=2 g/L", "changed=40 L", "--json"]
    file = held(run, case("fresh", [], SALT))
    assert run("case", "add", str(file), *words).error["code"] == "E-WATER-04"
    file = held(run, case("fresh", ["tap=chlorine"], SALT))
    assert "free of chlorine" in run("case", "add", str(file), *words).out


def test_an_amount_typed_without_a_case_asks_for_the_tap(run: Run) -> None:
    words = ["dose", "--agent", "salt", "--strength", "2 g/L", "--volume", "200 L", "--label",
             "pure", "--scale", "1 g", "--animal", "platy", "--changed", "40 L",
             "--json"]  # fmt: skip
    assert run(*words).error["code"] == "E-WATER-04"
    assert "free of chloramine" in run(*words, "--tap", "chloramine").answer["do"]


@pytest.mark.parametrize(
    ("tap", "says", "never"),
    [
        ("chlorine", ("conditioner by its label for 40 L", "or 72 h open with air"), "chloramine"),
        ("chloramine", ("conditioner by its label for 40 L", "standing and air do not remove it",
                        "then test the ammonia"), "72 h"),
        ("none", ("untreated, so without chlorine",), "conditioner"),
    ],
)  # fmt: skip
def test_chlorine_and_chloramine_are_gone_before_new_water_goes_in(
    run: Run, case: Case, tap: str, says: tuple[str, ...], never: str
) -> None:
    said = put_back(run, case("fresh", [f"tap={tap}"], SALT))
    assert [words for words in says if words not in said] == []
    assert never not in said
    assert "within 1 C of the tank (25 C when read)" in said


def test_chlorine_read_in_the_tap_counts_whatever_was_told_of_it(run: Run, case: Case) -> None:
    """1 mg/L takes 7 to 7.4 mg/L of the pentahydrate (laboratory note; Piper et al. 1982)."""
    tap = ["water", "sample=tap", "chlorine=1 mg/L"]
    said = put_back(run, case("fresh", ["tap=none"], tap, SALT))
    assert "7.4 mg/L of the pentahydrate" in said
    assert "standing and air do not remove it" in said


def test_a_conditioner_that_spoils_what_is_in_the_water_is_named(run: Run, case: Case) -> None:
    """Reducing conditioners free copper from its complexes (agent file)."""
    copper = ["in-water", "agent=copper sulphate", "amount=0.1 mg/L"]
    said = put_back(run, case("fresh", ["tap=chlorine"], copper, SALT))
    assert "none of it left over, since it spoils copper sulphate" in said
    assert "spoils" not in put_back(run, case("fresh", ["tap=chlorine"], SALT))


def test_a_second_tank_is_filled_from_the_same_tap_at_its_strictest(run: Run, case: Case) -> None:
    file = case("fresh", [], ["system", "quarantine", "tap=chloramine"],
                ["system", "bath", "tap=none"], SALT)  # fmt: skip
    assert "free of chloramine" in put_back(run, file)


@pytest.mark.parametrize(
    ("tap", "says"),
    [
        ([], "pH and alkalinity of both read first"),
        (["ph=7.8", "kh=9 dH"], "pH fits (7.8, tank 7.4)"),
        (["ph=9.2", "kh=9 dH"], "pH 9.2 against 7.4 in the tank is too far"),
        (["ph=7.8", "kh=20 dH"], "in the tank is too far: smaller changes"),
    ],
)
def test_ph_and_alkalinity_stay_within_a_step_of_the_tank(
    run: Run, case: Case, tap: Row, says: str
) -> None:
    """40 L of 200 L move the tank by a fifth of the difference; 0.3 pH and 1 dH a day are told."""
    rows = [["water", "sample=tap", *tap]] if tap else []
    assert says in put_back(run, case("fresh", ["tap=none"], *rows, SALT))


# Salt water -------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["marine", "brackish"])
def test_common_salt_is_refused_in_salty_water(run: Run, case: Case, kind: str) -> None:
    refused = asked(run, case(kind, ["tap=none"], SALT), "salt", "2 g/L").error
    assert refused["code"] == "E-DOSE-25"
    assert "fresh water only" in refused["message"]


@pytest.mark.parametrize(
    ("kind", "made", "gravity"),
    [("marine", "sea water made with sea salt mix by its label, read at 35 g/L", "1.0264"),
     ("brackish", "brackish water made with sea salt mix by its label, read at 10 g/L", "")],
)  # fmt: skip
def test_new_water_of_a_salty_tank_is_as_salty_as_the_tank(
    run: Run, case: Case, kind: str, made: str, gravity: str
) -> None:
    """35 at 25 C: 1023.34306 / 997.04796 kg/m3 = 1.0264 (UNESCO check values)."""
    file = case(kind, ["tap=none"], PRAZIQUANTEL)
    said = put_back(run, file, "praziquantel", "2 mg/L")
    assert made in said
    assert f"specific gravity {gravity}" in said


def test_a_sea_tank_whose_salinity_nobody_read_asks_for_it(
    run: Run, case: Case, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(SALINITY, "marine", [])
    said = put_back(run, case("marine", ["tap=none"], PRAZIQUANTEL), "praziquantel", "2 mg/L")
    assert "as salty as the tank" in said
    assert "read the salinity of both first" in said


# Where water taken out may go -------------------------------------------------------------------


def test_water_taken_out_carries_the_rule_of_what_it_holds_and_once(run: Run, case: Case) -> None:
    file = case("fresh", ["tap=none"], SALT, PRAZIQUANTEL,
                ["in-water", "agent=praziquantel", "amount=2 mg/L"])  # fmt: skip
    said = put_back(run, file)
    assert "It may hold salt. Salty water to the house drain" in said
    assert "may hold praziquantel. " in said
    text = run("dose", "--case", str(file), "--agent", "salt", "--strength", "2 g/L", "--changed",
               "40 L", "--why").out  # fmt: skip
    assert text.lower().count("salty water to the house drain") == 1


# What runs through ------------------------------------------------------------------------------


@pytest.mark.parametrize("flow", [["overflow=yes"], ["overflow=yes", "inflow-off=6 h"]])
def test_an_overflow_nobody_measured_stops_every_amount(run: Run, case: Case, flow: Row) -> None:
    refused = asked(run, case("fresh", [*flow, "tap=none"], SALT), "salt", "1 g/L").error
    assert refused["code"] == "S-OVERFLOW"
    assert "inflow=" in refused["next"]


def test_that_nobody_knows_takes_an_overflow_told_before_not_back(run: Run, case: Case) -> None:
    file = case("fresh", ["overflow=yes", "tap=none"], ["system", "overflow=?"], SALT)
    assert asked(run, file, "salt", "1 g/L").error["code"] == "S-OVERFLOW"
    file = case("fresh", ["overflow=yes", "tap=none"], ["system", "overflow=no"], SALT)
    assert asked(run, file, "salt", "1 g/L").answer["amount"]["value"] == "200"


def test_a_measured_inflow_is_told_and_one_that_may_be_shut_is_shut(run: Run, case: Case) -> None:
    """20 L/h through 200 L: half has run away after ln 2 x 10 h = 6.9 h."""
    file = case("fresh", ["overflow=yes", "inflow=20 L/h"], SALT)
    answer = asked(run, file, "salt", "1 g/L").answer
    (caution,) = [c for c in answer["cautions"] if c["code"] == "S-OVERFLOW"]
    assert "after 6.931 h" in caution["why"]
    assert "inflow-off" in caution["instead"]
    file = case("fresh", ["inflow=20 L/h", "inflow-off=6 h"], SALT)
    answer = asked(run, file, "salt", "1 g/L").answer
    assert answer["do"].startswith("Shut the inflow first; open it again after 6 h")


@pytest.mark.parametrize(
    ("flow", "salt_there_g_l"),
    [
        (["overflow=no"], 2.0),
        (["overflow=yes", "inflow=2 L/h"], 2 * exp(-2 * 48 / 200)),
    ],
)
def test_what_ran_away_is_counted_in_the_next_amount(
    run: Run, case: Case, flow: Row, salt_there_g_l: float
) -> None:
    """2 g/L two days ago; exp(-Q t / V) of it is there, so 3 g/L takes the rest of 200 L."""
    since = ["system", *flow, "on=2026-10-29T18:00"]
    there = ["in-water", "agent=salt", "amount=2 g/L", "on=2026-10-29T18:00"]
    file = case("fresh", [], since, there, SALT)
    amount = asked(run, file, "salt", "3 g/L", "--reason", "as the vet advised").answer["amount"]
    assert float(amount["value"]) == pytest.approx((3 - salt_there_g_l) * 200, abs=0.6)


def test_what_runs_into_one_part_runs_through_all_that_are_joined(run: Run, case: Case) -> None:
    """200 L with a sump of 100 L and 3 L/h into it: exp(-3 x 48 / 300) is left after two days."""
    began = "on=2026-10-29T18:00"
    sump = ["system", "sump", "use=fishless", "inside-length=50 cm", "inside-width=50 cm",
            "water-height=40 cm", "hose=20 L/min for 5 min", "shares-water=main", "inflow=3 L/h",
            "carbon=no", "uv=no", "filter-ripe=yes", "plants=no", "invertebrates=no",
            "food-fish=no", began]  # fmt: skip
    there = ["in-water", "agent=salt", "amount=2 g/L", began]
    file = case("fresh", [], sump, there, SALT)
    amount = asked(run, file, "salt", "3 g/L", "--reason", "as the vet advised").answer["amount"]
    left = 2 * exp(-3 * 48 / 300)
    assert float(amount["value"]) == pytest.approx((3 - left) * 300, abs=0.6)


def test_an_overflow_that_was_shut_runs_no_more(run: Run, case: Case) -> None:
    file = case("fresh", ["overflow=yes"], ["system", "overflow=no"], SALT)
    assert asked(run, file, "salt", "1 g/L").answer["amount"]["value"] == "200"


# Plan, card and calendar ------------------------------------------------------------------------


def planned(run: Run, file: Path, *words: str) -> Ran:
    return run("plan", str(file), "--seed", "7", *words, "--json")


def course_id(answer: dict[str, object], name: str) -> str:
    courses = answer["courses"]
    assert isinstance(courses, list)
    return str(next(c["id"] for c in courses if name in c["name"]))


@pytest.fixture(scope="module")
def sea(run: Run, case: Case) -> Path:
    return case("marine", ["tap=chlorine"], *SPOTS)


@pytest.fixture(scope="module")
def compared(run: Run, sea: Path) -> dict[str, object]:
    words = ("--organism", "cryptocaryon_irritans", "--change", "40 L")
    return chosen("plan", str(sea), "--seed", "7", *words, number=1)


def test_salt_is_no_lever_in_the_sea_and_the_plan_says_why(compared: dict[str, object]) -> None:
    assert compared["left_out"] == [
        {"name": "Salt (sodium chloride)",
         "why": "for fresh water only, and this is marine water"}
    ]  # fmt: skip
    courses = compared["courses"]
    assert isinstance(courses, list)
    assert [c["name"] for c in courses if c["kind"] == "sodium_chloride"] == []


def test_every_form_of_the_sea_card_says_what_the_new_water_is(
    run: Run, sea: Path, compared: dict[str, object], tmp_path: Path
) -> None:
    assert compared["chosen"]
    shown = run("today", str(sea), "--date", "2026-11-01", "--json").answer
    (line,) = [line["text"] for line in shown["lines"] if "Put back" in line["text"]]
    for words in ("sea water made with sea salt mix by its label, read at 35 g/L",
                  "specific gravity 1.0264", "free of chlorine",
                  "within 1 C of the tank"):  # fmt: skip
        assert words in line.replace("\u00a0", " ")
        assert words in shown["text"].replace("\u00a0", " ")
    calendar = tmp_path / "c.ics"
    assert run("today", str(sea), "--date", "2026-11-01", "--ics", str(calendar)).code == 0
    unfolded = calendar.read_text(encoding="utf-8").replace("\n ", "").replace("\r", "")
    changes = [row for row in unfolded.splitlines() if "Put back" in row]
    assert changes
    assert [row for row in changes if "sea salt mix" not in row] == []


def test_a_course_with_changes_is_not_handed_out_while_the_tap_is_unknown(
    run: Run, case: Case
) -> None:
    words = ("--organism", "ichthyophthirius_multifiliis", "--only", "sodium_chloride")
    file = case("fresh", [], *SPOTS)
    compared = planned(run, file, *words).answer
    assert "tap" in str(compared["questions"])
    water_only = course_id(compared, "water only")
    refused = run("plan", str(file), "--choose", water_only, "--json").error
    assert refused["code"] == "E-WATER-04"
    untreated = course_id(compared, "no treatment")
    assert run("plan", str(file), "--choose", untreated).code == 0


def test_a_card_stops_where_the_answer_about_the_tap_was_taken_back(run: Run, case: Case) -> None:
    words = ("--organism", "ichthyophthirius_multifiliis", "--only", "sodium_chloride",
             "--strength", "sodium_chloride=2 g/L", "--change", "40 L", "--label", "salt=pure",
             "--scale", "1 g")  # fmt: skip
    file = case("fresh", ["tap=chlorine"], *SPOTS)
    salted = course_id(planned(run, file, *words).answer, "salt to 2 g/L")
    assert run("plan", str(file), "--choose", salted).code == 0
    days = [f"2026-{day}" for day in ("11-01", "11-02", "11-03", "11-04", "11-05", "11-06")]
    cards = [run("today", str(file), "--date", day, "--json").answer for day in days]
    lines = [line["text"] for card in cards for line in card["lines"]]
    changes = [line.replace("\u00a0", " ") for line in lines if "Put back" in line]
    assert changes
    assert [line for line in changes if "no other salt" not in line] == []
    assert [line for line in changes if "Salty water to the house drain" not in line] == []
    assert [card["stops"] for card in cards if card["stops"]] == []
    assert run("case", "add", str(file), "system", "tap=?").code == 0
    (stop,) = run("today", str(file), "--date", days[0], "--json").answer["stops"]
    assert "not known what the new water was treated with" in stop
