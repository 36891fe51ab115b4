"""Typed cases of what is told in part: some of a group, one of several waters, part of a day."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from tests.scenarios.conftest import Ran, Typing
from tests.scenarios.test_waters_typed import (
    COPPER,
    CU,
    NONE,
    SALT,
    fish,
    tank,
    water,
)

from tankside.errors import BadInput
from tankside.records.case_file import read_case
from tankside.services.cases import add_fields

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


def test_a_change_of_water_nobody_placed_gives_no_amount_until_it_is(
    case: Case, run: Run
) -> None:
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
