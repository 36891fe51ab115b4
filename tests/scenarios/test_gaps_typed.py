"""Typed cases of what is told in part: some of a group, one of several waters, part of a day."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing
from tests.scenarios.test_waters_typed import (
    COPPER,
    CU,
    ICH,
    NONE,
    READ,
    SALT,
    fish,
    tank,
    water,
)

from tankside.course import Course, CourseRun
from tankside.course import run as run_course
from tankside.course.actions import Dose, WaterChange
from tankside.intake.course_codec import encode_course
from tankside.intake.followed_course import running
from tankside.intake.plan_setup import PlanRequest, last_told, ready
from tankside.library import load
from tankside.plan import propose, read_levers
from tankside.records.case_file import read_case
from tankside.services.cases import add_fields
from tankside.services.today import today

Case = Callable[..., Path]
Run = Callable[..., Ran]
NUMBER = count()
OPENING = ["--name", "Slip Way", "--keeper", "R. Hale", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-10-29T09:00"]  # fmt: skip
TWO = [tank("main", 200, NONE), water("main"), tank("box", 60, "use=hospital", NONE), water("box")]
SHEDS = [tank("east", 200, NONE), water("east"), tank("west", 100, NONE), water("west"),
         fish("east")]  # fmt: skip
KOI = fish("main", "koi", 5)


@pytest.fixture
def case(typed: Typing) -> Case:
    def type_in(*rows: list[str]) -> Path:
        return typed(f"gaps{next(NUMBER)}", [OPENING], list(rows))

    return type_in


def add(run: Run, path: Path, *words: str) -> Ran:
    return run("case", "add", str(path), *words, "--json")


def dose(run: Run, path: Path, agent: str, strength: str, system: str) -> Ran:
    return run("dose", "--case", str(path), "--agent", agent, "--strength", strength,
               "--system", system, "--json")  # fmt: skip


# Some of a group ---------------------------------------------------------------------------------


def test_some_of_a_group_moved_leave_the_others_where_they_were(case: Case, run: Run) -> None:
    """Koi bar copper; moved in part they bar it in both waters, and none is lost."""
    path = case(*TWO, KOI, COPPER)
    assert add(run, path, "stock", "koi", "count=2", "system=box").code == 0
    stock = read_case(path).view().stock
    assert {(g.system, g.alive) for g in stock.values()} == {("main", 3), ("box", 2)}
    assert {g.description.length for g in stock.values()} == {stock["koi"].description.length}
    for system in ("main", "box"):
        assert dose(run, path, "copper sulphate", CU, system).error["code"] == "E-DOSE-26"


def test_all_of_a_group_moved_with_their_number_leave_nobody_behind(case: Case, run: Run) -> None:
    path = case(*TWO, KOI, ["death", "group=koi", "number=3"])
    assert add(run, path, "stock", "koi", "count=2", "system=box").code == 0
    stock = read_case(path).view().stock
    assert [(g.system, g.alive) for g in stock.values()] == [("box", 2)]


def test_more_moved_later_are_asked_for_with_the_words_to_type(case: Case, run: Run) -> None:
    path = case(*TWO, KOI, ["stock", "koi", "count=2", "system=box"])
    refused = add(run, path, "stock", "koi", "count=1", "system=box").error
    assert refused["code"] == "E-CASE-05"
    for row in (["stock", "koi", "count=2"], ["stock", "koi_box", "count=3"]):
        assert " ".join(row) in refused["next"]
        assert add(run, path, *row).code == 0
    stock = read_case(path).view().stock
    assert {(g.system, g.alive) for g in stock.values()} == {("main", 2), ("box", 3)}


def test_some_of_a_group_without_a_number_are_not_moved_until_it_is_told(
    case: Case, run: Run
) -> None:
    path = case(*TWO, ["stock", "koi", "length=12 cm", "system=main"])
    refused = add(run, path, "stock", "koi", "count=2", "system=box").error
    assert (refused["code"], "stock koi count=" in refused["next"]) == ("E-CASE-05", True)


def test_a_correction_does_not_move_some_of_a_group(case: Case, run: Run) -> None:
    path = case(*TWO, KOI, ["stock", "koi", "system=box"])
    last = str(read_case(path).version)
    words = ["stock", "koi", "count=2", "system=box", "--correct", last, "--reason", "only two"]
    refused = add(run, path, *words).error
    assert (refused["code"], "stock koi_box count=2" in refused["next"]) == ("E-CASE-05", True)


@pytest.mark.parametrize("door", ["json", "csv"])
def test_some_of_a_group_are_moved_alike_at_every_door(
    case: Case, run: Run, door: str, tmp_path: Path
) -> None:
    path = case(*TWO, KOI)
    if door == "json":
        row = {"kind": "stock", "occurred_at": "2026-10-31T17:00+00:00", "group": "koi",
               "name": "koi", "count": 2, "system": "box"}  # fmt: skip
        add_fields(path, [row], by="tester")
    else:
        file = tmp_path / "moves.csv"
        file.write_text("kind,group,count,system\nstock,koi,2,box\n", encoding="utf-8")
        assert run("case", "add", str(path), "--from", str(file)).code == 0
    stock = read_case(path).view().stock
    assert {(g.system, g.alive) for g in stock.values()} == {("main", 3), ("box", 2)}


def test_a_file_from_elsewhere_that_lost_some_of_a_group_gives_no_amount(
    case: Case, run: Run, tmp_path: Path
) -> None:
    path = case(*TWO, KOI, SALT, ["stock", "koi", "count=5", "system=box"])
    text = path.read_text(encoding="utf-8")
    head, _, tail = text.rpartition('"count":5')
    file = tmp_path / "elsewhere.jsonl"
    file.write_text(f'{head}"count":2{tail}', encoding="utf-8")
    refused = dose(run, file, "salt", "1 g/L", "main").error
    assert (refused["code"], "koi" in refused["message"]) == ("E-DOSE-20", True)
    last = str(read_case(file).version)
    again = ["stock", "koi", "count=5", "system=box", "--correct", last, "--reason", "all five"]
    assert add(run, file, *again).code == 0
    assert dose(run, file, "salt", "1 g/L", "box").code == 0


# One of several waters ---------------------------------------------------------------------------


def test_a_change_of_water_without_its_water_is_asked_for(case: Case, run: Run) -> None:
    path = case(*SHEDS, SALT)
    refused = add(run, path, "event", "what=water change", "changed=50 L").error
    assert refused["code"] == "E-WORD-03"
    assert "east, west" in refused["needed"]
    assert add(run, path, "event", "what=new lamp").code == 0


def test_a_change_of_water_told_before_the_second_water_counts_in_the_first(
    case: Case, run: Run
) -> None:
    east, west = SHEDS[:2], SHEDS[2:]
    lot = ["in-water", "agent=salt", "amount=200 g", "system=east", "on=2026-10-29T10:00"]
    path = case(*east, lot, ["event", "what=water change", "changed=100 L"], *west, SALT)
    assert dose(run, path, "salt", "1 g/L", "east").answer["amount"]["value"] == "100"


def test_a_change_of_water_nobody_placed_gives_no_amount_until_it_is(case: Case, run: Run) -> None:
    path = case(*SHEDS, SALT)
    row = {"kind": "event", "occurred_at": "2026-10-31T17:00+00:00", "what": "water change",
           "water_changed": {"value": "100", "unit": "L"}}  # fmt: skip
    add_fields(path, [row], by="tester")
    refused = dose(run, path, "salt", "1 g/L", "west").error
    assert (refused["code"], "east, west" in refused["needed"]) == ("E-DOSE-20", True)
    last = str(read_case(path).version)
    placed = ["event", "what=water change", "changed=100 L", "system=east", "--correct", last,
              "--reason", "the east tank"]  # fmt: skip
    assert add(run, path, *placed).code == 0
    assert dose(run, path, "salt", "1 g/L", "east").answer["amount"]["value"] == "200"


# Water nobody measured ---------------------------------------------------------------------------

BLUE = ["label", "agent=methylene_blue", "strength=1 % w/v as methylene blue trihydrate",
        "syringe=0.5 mL"]  # fmt: skip
EARLY = "on=2026-10-29T10:00"


CHANGED = ["event", "what=water change", "changed=100 L", "system=main", "on=2026-10-29T11:00"]
EMPTIED = ["event", "what=emptied", "changed=200 L", "system=main", "on=2026-10-29T11:00"]
RUN_THROUGH = [["system", "main", "inflow=50 L/h", "on=2026-10-29T11:00"],
               ["system", "main", "overflow=no", "on=2026-10-29T21:00"]]  # fmt: skip


@pytest.mark.parametrize("leaves", [[CHANGED], [EMPTIED], RUN_THROUGH])
@pytest.mark.parametrize("joined", ["sump", "none"])
def test_a_change_in_water_of_unknown_size_lowers_nothing_that_is_not_sure(
    case: Case, run: Run, leaves: list[list[str]], joined: str
) -> None:
    """With a sump of any size joined, 100 L of 200 L may be next to nothing of it all.

    Methylene blue: 2 mg/L may be there, so 1.5 mg/L more could pass the hard limit of 3 mg/L.
    """
    path = case(
        tank("main", 200, NONE), ["system", "sump", "label=500 L"], fish("main"), BLUE,
        ["system", "main", f"shares-water-with={joined}", EARLY],
        ["in-water", "agent=methylene_blue", "amount=400 mg", "system=main", EARLY], *leaves,
        ["system", "main", "shares-water-with=none", "on=2026-10-30T11:00"], water("main"),
    )  # fmt: skip
    ran = dose(run, path, "methylene_blue", "1.5 mg/L as methylene blue trihydrate", "main")
    if joined == "none":
        assert ran.code == 0
    else:
        assert ran.error["code"] == "E-DOSE-10"


# A plan of the same day --------------------------------------------------------------------------

TODAY = "2026-10-31"
LOT_150_G = ["done", "action=salt", "agent=salt", "amount=150 g", f"on={TODAY}T16:00"]
HALF_OUT = ["event", "what=water change", "changed=100 L", "system=main", f"on={TODAY}T16:30"]
HOLDS = ["in-water", "agent=salt", "amount=80 g", f"on={TODAY}T16:00"]


def salted(path: Path, to_g_l: float) -> Course:
    """The course of the plan that brings salt to a strength and holds it there."""
    made = ready(read_case(path).view(), load(), PlanRequest())
    offered = propose(made.trial.situation, read_levers(load()))
    wanted = (c.course() for c in offered if f"salt to {to_g_l:g} g/L" in c.name)
    return next(wanted)


def planned_g(path: Path, course: Course) -> tuple[float, float]:
    """Salt that a course weighs out of it all [g], in the plan and on the cards."""
    view, facts = read_case(path).view(), load()
    made = ready(view, facts, PlanRequest())
    labels = made.trial.labels
    compared = run_course(made.case.systems, made.case.stock, course, facts, labels)
    fields = {"kind": "course_chosen", "name": "salt", "starts_at": made.case.zero.text,
              "occurred_at": last_told(view, made.day).text,
              "course": encode_course(course, labels)}  # fmt: skip
    add_fields(path, [fields], by="tester")
    cards = running(read_case(path).view(), facts).run
    return tuple(sum(step_g(run)) for run in (compared, cards))  # type: ignore[return-value]  # two of them


def step_g(run: CourseRun) -> Iterator[float]:
    """Salt of the steps that raise it; what only replaces changed water is left out."""
    for line in run.lines:
        if line.kind == "salt":
            yield from (float(run.amounts[number].active_mg) / 1000 for number in line.amounts)


@pytest.mark.parametrize(
    ("rows", "there_g"),
    [
        ([], 0), ([LOT_150_G], 150), ([LOT_150_G, HALF_OUT], 75), ([HOLDS], 80),
        ([["dose", "agent=salt", "strength=0.5 g/L", f"on={TODAY}T16:00"],
          ["done", "action=salt", "agent=salt", f"on={TODAY}T16:20"]], 100),
    ],
)  # fmt: skip
def test_what_went_in_on_the_day_of_planning_counts_in_the_plan_and_on_the_cards(
    case: Case, rows: list[list[str]], there_g: float
) -> None:
    """200 L to 2 g/L take 400 g, less what is there."""
    path = case(tank("main", 200, NONE), fish("main"), SALT, ICH,
                ["water", "system=main", *READ, f"on={TODAY}T15:00"], *rows)  # fmt: skip
    course = salted(path, 2)
    for grams in planned_g(path, course):
        assert grams == pytest.approx(400 - there_g, rel=0.02)


@pytest.mark.parametrize(
    ("agent", "strength", "lot", "code"),
    [
        ("methylene_blue", 2.0, ["agent=methylene_blue", "amount=400 mg"], "E-DOSE-10"),
        ("potassium_permanganate", 2.0, ["agent=formalin", "amount=3 g"], "E-DOSE-23"),
    ],
)
def test_what_went_in_on_the_day_of_planning_bars_what_it_bars_at_the_dose(
    case: Case, agent: str, strength: float, lot: list[str], code: str
) -> None:
    """Methylene blue twice in a day is above its hard limit; the pair is a forbidden one."""
    rows = [tank("main", 200, NONE), fish("main"), ICH,
            ["water", "system=main", *READ, f"on={TODAY}T15:00"]]  # fmt: skip
    stops = []
    for more in ([], [["in-water", *lot, f"on={TODAY}T16:00"]]):
        made = ready(read_case(case(*rows, *more)).view(), load(), PlanRequest())
        course = Course("once", 3, (Dose(made.trial.situation.first_h, "main", agent, strength),))
        ran = run_course(made.case.systems, made.case.stock, course, load(), {})
        stops.append({c.code for c in ran.safety if c.level == "blocked" and c.agent})
    assert code not in stops[0]
    assert code in stops[1]


# Stops say what they mean ------------------------------------------------------------------------


def test_an_amount_nobody_answered_names_substance_water_and_day(case: Case, run: Run) -> None:
    asked = ["dose", "agent=salt", "strength=0.5 g/L", "system=east", f"on={TODAY}T16:00"]
    path = case(*SHEDS, SALT, asked)
    refused = dose(run, path, "salt", "1 g/L", "east").error
    assert refused["code"] == "E-DOSE-28"
    assert "salt was asked for in east" in refused["message"]
    assert "31 Oct 2026" in refused["given"]


def test_an_amount_too_small_to_measure_names_substance_and_water(case: Case, run: Run) -> None:
    coarse = ["label", "agent=methylene_blue", "scale=50 g",
              "strength=pure as methylene blue trihydrate"]  # fmt: skip
    path = case(*SHEDS, coarse)
    refused = dose(run, path, "methylene_blue", "2 mg/L as methylene blue trihydrate", "east").error
    assert refused["code"] == "E-DOSE-24"
    assert refused["message"].startswith("Methylene blue for east: ")


# What a card says on the days of an agent --------------------------------------------------------


def test_a_caution_of_an_agent_stands_on_the_cards_of_its_days_alone(case: Case) -> None:
    """Water for two days, then methylene blue, then all of the water changed: no blue is left."""
    path = case(tank("main", 200, NONE), fish("main"), ICH, BLUE,
                ["water", "system=main", *READ, f"on={TODAY}T15:00"])  # fmt: skip
    view, facts = read_case(path).view(), load()
    made = ready(view, facts, PlanRequest())
    course = Course("blue", 8, (
        WaterChange(18, "main", 40, put_back=False), Dose(66, "main", "methylene_blue", 2.0),
        WaterChange(114, "main", 200, put_back=False), WaterChange(162, "main", 40, put_back=False),
    ))  # fmt: skip
    fields = {"kind": "course_chosen", "name": "blue", "starts_at": made.case.zero.text,
              "occurred_at": last_told(view, made.day).text,
              "course": encode_course(course, made.trial.labels)}  # fmt: skip
    add_fields(path, [fields], by="tester")
    cards = {day: today(path, f"2026-11-{day - 31:02d}" if day > 31 else f"2026-10-{day}")
             for day in (31, 33, 34, 36, 38)}  # fmt: skip
    whole = {
        day: {c.code for c in card.cautions
              if c.agent == "methylene_blue" and c.hour is None and c.action is None}
        for day, card in cards.items()
    }  # fmt: skip
    assert whole[33]
    assert whole[34] == whole[33]
    assert not whole[31]
    assert not whole[38]
    assert all(card.law == cards[31].law for card in cards.values())


def test_an_amount_nobody_knows_is_not_gone_with_the_water_that_was_measured(
    case: Case, run: Run
) -> None:
    """200 L changed are all of the tank, but no sure share of a sump beside it."""
    lot = ["in-water", "agent=methylene_blue", "amount=?", "system=main", EARLY]
    rows = [tank("main", 200, NONE), ["system", "sump", "label=500 L"], fish("main"), BLUE]
    parted = ["system", "main", "shares-water-with=none", "on=2026-10-30T11:00"]
    for joined, code in (("sump", "E-DOSE-20"), ("none", None)):
        share = ["system", "main", f"shares-water-with={joined}", EARLY]
        path = case(*rows, share, lot, EMPTIED, parted, water("main"))
        ran = dose(run, path, "methylene_blue", "1 mg/L as methylene blue trihydrate", "main")
        assert (ran.error["code"] if ran.code else None) == code


def test_what_was_ruled_out_since_is_planned_for_no_more(run: Run, typed: Typing) -> None:
    """White spot was suspected, then ruled out: anchor worm stands, which has no figures."""
    opening = ["--name", "Gravel Pit", "--keeper", "K. Ode", "--water", "fresh", "--zone",
               "Europe/London", "--opened", "2026-10-31T09:00"]  # fmt: skip
    tank = ["system", "inside-length=100 cm", "inside-width=50 cm", "water-height=40 cm",
            "hose=20 L/min for 10 min"]  # fmt: skip
    fish = ["stock", "fish", "name=koi", "count=4", "length=20 cm"]
    read = ["water", "temperature=22 C"]
    ich = ["suspected", "condition=ICH", "shown-by=spots"]
    worm = ["confirmed", "condition=LERNAEA", "shown-by=seen"]
    path = typed("ruled-out", [opening], [tank, fish, read, ich, worm])
    assert run("forecast", str(path), "--json").code == 0
    assert run("case", "add", str(path), "ruled-out", "condition=ICH", "shown-by=slide").code == 0
    answer = run("forecast", str(path), "--json").answer
    assert answer["refused"]["code"] == "E-FC-02"
    assert [cause["cause"] for cause in answer["causes"]] == ["LERNAEA"]
