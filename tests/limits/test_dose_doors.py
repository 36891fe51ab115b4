"""One bad amount, refused in the same words from the command line, a case file and a CSV.

At the command line everything is typed beside ``dose``. A case file and a CSV bring the tank, the
water, what is in it, the container and the amount asked for as entries; the last one is refused
and nothing is kept. The bad numbers, units, dates and counts of the other entries are refused
alike in tests/cli/test_case_bad_inputs.py; what a followed course refuses stands in
tests/limits/test_course_door.py.
"""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.course.amounts import double_check
from tankside.course.amounts.printing import print_amount
from tankside.services.cases import Opening, new_case

CASE = Path("case.jsonl")
NOW = "2026-03-04T12:00+00:00"
Cells = dict[str, str]

OPTIONS = {  # column of an entry -> option of the command line
    ("system", "meter"): "--volume", ("stock", "name"): "--animal",
    ("stock", "life-stage"): "--stage", ("stock", "gill-damage"): "--gill-damage",
    ("water", "temperature"): "--temperature", ("water", "ph"): "--ph",
    ("water", "oxygen"): "--oxygen", ("water", "alkalinity"): "--alkalinity",
    ("system", "water"): "--water", ("label", "strength"): "--label",
    ("label", "scale"): "--scale", ("label", "syringe"): "--syringe",
    ("label", "expires"): "--expires", ("label", "on"): "--label-read",
    ("dose", "agent"): "--agent", ("dose", "strength"): "--strength",
    ("dose", "route"): "--route", ("dose", "minutes"): "--minutes", ("dose", "reason"): "--reason",
}  # fmt: skip
BY_HAND = ("buffer", "clear-solution", "demand-test", "predissolve", "zinc-free")


@dataclass(frozen=True)
class Bad:
    """One bad amount: the entries that tell it, in order; the last asks for the amount.

    Args:
        row: number of the rule.
        code: the refusal.
        more: cells that differ from a sound amount of salt, by kind and column; a column with
            None is left out.
    """

    row: int
    code: str
    more: dict[tuple[str, str], str | None] = field(default_factory=dict)
    agent: str = "salt"

    def rows(self) -> list[tuple[str, Cells]]:
        """Return the entries, one kind each, in the order in which they are told."""
        fields = {**SOUND, **AGENTS[self.agent], **self.more}
        kinds = ("system", "stock", "water", "in-water", "label", "dose")
        entries = []
        for kind in kinds:
            cells = {k[1]: text for k, text in fields.items() if k[0] == kind and text is not None}
            if cells:
                entries.append((kind, cells))
        return entries


SOUND = {
    ("system", "meter"): "173 L", ("system", "hose"): "17.5 L/min for 10 min",
    ("system", "water"): "fresh", ("stock", "name"): "goldfish", ("stock", "count"): "3",
    ("stock", "life-stage"): "adult", ("water", "temperature"): "20 C", ("water", "ph"): "7.4",
    ("water", "oxygen"): "8 mg/L", ("water", "alkalinity"): "120 mg/L as CaCO3",
}  # fmt: skip
AGENTS: dict[str, dict[tuple[str, str], str | None]] = {
    "salt": {("label", "agent"): "salt", ("label", "strength"): "pure", ("label", "scale"): "1 g",
             ("dose", "agent"): "salt", ("dose", "strength"): "2 g/L"},
    "copper": {("label", "agent"): "copper_sulphate", ("label", "strength"): "pure as CuSO4.5H2O",
               ("label", "scale"): "1 mg", ("dose", "agent"): "copper_sulphate",
               ("dose", "strength"): "0.4 mg/L as CuSO4.5H2O"},
    "formalin": {("label", "agent"): "formalin", ("label", "strength"): "as product",
                 ("label", "syringe"): "0.1 mL", ("label", "clear-solution"): "yes",
                 ("stock", "gill-damage"): "no", ("dose", "agent"): "formalin",
                 ("dose", "strength"): "15 mg/L"},
    "praziquantel": {("label", "agent"): "praziquantel", ("label", "strength"): "pure",
                     ("label", "scale"): "1 mg", ("label", "predissolve"): "yes",
                     ("dose", "agent"): "praziquantel", ("dose", "strength"): "2 mg/L"},
    "fenbendazole": {("label", "agent"): "fenbendazole", ("label", "strength"): "pure",
                     ("label", "scale"): "1 mg", ("dose", "agent"): "fenbendazole",
                     ("dose", "strength"): "2 mg/L"},
    "chloroquine": {("label", "agent"): "chloroquine", ("label", "scale"): "1 mg",
                    ("label", "strength"): "pure as chloroquine diphosphate",
                    ("dose", "agent"): "chloroquine",
                    ("dose", "strength"): "10 mg/L as chloroquine diphosphate"},
}  # fmt: skip
STRENGTH, LABEL = ("dose", "strength"), ("label", "strength")

NUMBERS = {  # what is typed for the strength -> rule and code
    "   ": (1, "E-NUM-01"), "1,5 g/L": (2, "E-NUM-02"), "1.234,5 g/L": (2, "E-NUM-02"),
    ".5 g/L": (3, "E-NUM-03"), "5. g/L": (3, "E-NUM-03"), "1..5 g/L": (3, "E-NUM-03"),
    "nan g/L": (4, "E-NUM-04"), "inf g/L": (5, "E-NUM-05"), "1e400 g/L": (5, "E-NUM-05"),
    "1_000 mg/L": (7, "E-NUM-07"), "1e3 mg/L": (7, "E-NUM-07"), "½ g/L": (7, "E-NUM-07"),
    "１２ mg/L": (8, "E-NUM-08"), "l0 mg/L": (8, "E-NUM-08"), "-5 mg/L": (9, "E-NUM-09"),
    "0 g/L": (9, "E-NUM-09"), "1234567890123456 mg/L": (10, "E-NUM-10"),
    "5-10 mg/L": (11, "E-NUM-11"), "~5 mg/L": (11, "E-NUM-11"), "2": (13, "E-UNIT-01"),
    "2 g": (14, "E-UNIT-02"), "2 ppm": (15, "E-UNIT-03"), "2 %": (15, "E-UNIT-03"),
    "2 oz": (16, "E-UNIT-04"), "2 tsp": (16, "E-UNIT-04"), "2 Mg/L": (17, "E-UNIT-05"),
}  # fmt: skip
BAD = {
    **{f"strength {text}": Bad(row, code, {STRENGTH: text})
       for text, (row, code) in NUMBERS.items()},
    "ten times too strong": Bad(12, "E-DOSE-10", {STRENGTH: "20 g/L"}),
    "just above the hard limit": Bad(12, "E-DOSE-10", {STRENGTH: "5.2 g/L"}),
    "above the soft limit": Bad(12, "E-DOSE-11", {STRENGTH: "3.5 g/L"}),
    "the reason is too short": Bad(
        12, "E-DOSE-11", {STRENGTH: "3.5 g/L", ("dose", "reason"): "because"}),
    "label of 0 %": Bad(18, "E-PROD-01", {LABEL: "0 % w/w"}),
    "label of 120 %": Bad(18, "E-PROD-01", {LABEL: "120 % w/w"}),
    "label without basis": Bad(18, "E-UNIT-03", {LABEL: "37 %"}),
    "label without form": Bad(18, "E-PROD-01", {LABEL: "pure"}, "copper"),
    "label of another form": Bad(18, "E-PROD-01", {LABEL: "pure as moon dust"}, "copper"),
    "no tool": Bad(18, "E-PROD-01", {("label", "scale"): None}),
    "no container told": Bad(
        18, "E-PROD-01", {("label", "agent"): None, LABEL: None, ("label", "scale"): None}),
    "unknown substance": Bad(19, "E-PROD-02", {("dose", "agent"): "wonder water"}),
    "half a name": Bad(19, "E-PROD-02", {("dose", "agent"): "sodium"}),
    "a slip of the pen": Bad(19, "E-PROD-02", {("dose", "agent"): "formaline"}),
    "a name of several": Bad(19, "E-PROD-02", {("dose", "agent"): "copper"}),
    "container that has expired": Bad(20, "E-PROD-03", {("label", "expires"): "2026-03-03"}),
    "label read too long ago": Bad(20, "E-PROD-03", {("label", "on"): "2025-08-01T12:00"}),
    "a day that is none": Bad(32, "E-DATE-02", {("label", "expires"): "2026-02-30"}),
    "a day in another order": Bad(30, "E-DATE-01", {("label", "expires"): "03/04/2026"}),
    "alkalinity not measured": Bad(21, "E-DOSE-20", {("water", "alkalinity"): None}, "copper"),
    "alkalinity under 50": Bad(
        21, "E-DOSE-25", {("water", "alkalinity"): "36 mg/L as CaCO3"}, "copper"),
    "oxygen not measured": Bad(21, "E-DOSE-20", {("water", "oxygen"): None}, "formalin"),
    "too warm": Bad(21, "E-DOSE-25", {("water", "temperature"): "28 C"}, "formalin"),
    "species not known": Bad(21, "E-DOSE-20", {("stock", "name"): "moon fish"}, "formalin"),
    "nobody named": Bad(21, "E-DOSE-20", {("stock", "name"): None, ("stock", "count"): None,
                                          ("stock", "life-stage"): None}),
    "hurt gills": Bad(21, "E-DOSE-25", {("stock", "gill-damage"): "yes"}, "formalin"),
    "life stage not known": Bad(21, "E-DOSE-20", {("stock", "life-stage"): None}, "fenbendazole"),
    "fry": Bad(21, "E-DOSE-25", {("stock", "life-stage"): "fry"}, "fenbendazole"),
    "for sea water": Bad(21, "E-DOSE-25", agent="chloroquine"),
    "nobody looked": Bad(21, "E-DOSE-20", {("label", "clear-solution"): None}, "formalin"),
    "not clear": Bad(21, "E-DOSE-25", {("label", "clear-solution"): "no"}, "formalin"),
    "not dissolved": Bad(21, "E-DOSE-25", {("label", "predissolve"): "no"}, "praziquantel"),
    "no volume": Bad(22, "E-DOSE-20", {("system", "meter"): None, ("system", "hose"): None}),
    "two volumes a third apart": Bad(
        22, "E-DOSE-21", {("system", "hose"): "23 L/min for 10 min"}),
    "the same active running": Bad(
        23, "E-DOSE-22", {("in-water", "agent"): "formalin_malachite_green",
                          ("in-water", "amount"): "2 g"}, "formalin"),
    "a forbidden pair": Bad(
        24, "E-DOSE-23", {("in-water", "agent"): "potassium_permanganate",
                          ("in-water", "amount"): "500 mg"}, "formalin"),
    "a forbidden pair, amount not known": Bad(
        24, "E-DOSE-23", {("in-water", "agent"): "potassium_permanganate",
                          ("in-water", "amount"): "?"}, "formalin"),
    "something unnamed in the water": Bad(
        24, "E-DOSE-20", {("in-water", "agent"): "white spot liquid",
                          ("in-water", "amount"): "?"}, "formalin"),
    "a forbidden pair by another name": Bad(
        24, "E-DOSE-23", {("in-water", "agent"): "Condy's crystals",
                          ("in-water", "amount"): "500 mg"}, "formalin"),
    "nobody knows how much is there": Bad(
        23, "E-DOSE-20", {("in-water", "agent"): "NaCl", ("in-water", "amount"): "?"}),
    "too little for the scale": Bad(25, "E-DOSE-24", {("label", "scale"): "1 g"}, "copper"),
    "too long a bath": Bad(12, "E-DOSE-12", {STRENGTH: "150 mg/L", ("dose", "route"): "bath",
                                             ("dose", "minutes"): "90 min"}, "formalin"),
    "no minutes": Bad(21, "E-DOSE-20", {STRENGTH: "150 mg/L", ("dose", "route"): "bath"},
                      "formalin"),
}  # fmt: skip


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TANKSIDE_NOW", NOW)
    new_case(CASE, Opening("Elm Road", "Marta Vell", "?", "UTC", "2026-03-02"), by="me")


def ran(*words: str) -> tuple[int, dict[str, str]]:
    """Run a command; return its exit code and what its refusal says, without lines of files."""
    done = CliRunner().invoke(app, [*words, "--json"])
    error = json.loads(done.stdout).get("error", {})
    error["message"] = re.sub(r"^Line [0-9]+: ", "", error.get("message", ""))
    return done.exit_code, {key: error.get(key) for key in
                            ("code", "message", "given", "needed", "next")}  # fmt: skip


def typed(bad: Bad) -> tuple[int, dict[str, str]]:
    words: list[str] = ["dose"]
    for kind, cells in bad.rows():
        for column, text in cells.items():
            if column in BY_HAND:
                words += ["--seen-to", f"{column}={text}"]
            elif (kind, column) == ("system", "hose"):
                flow, minutes = re.findall(r"[0-9.]+", text)
                words += ["--second-volume", f"{float(flow) * float(minutes):g} L"]
            elif (kind, column) in OPTIONS:
                words += [OPTIONS[kind, column], text]
        if kind == "in-water":
            words += ["--in-water", f"{cells['agent']}={cells['amount']}"]
    return ran(*words)


def dated(kind: str, cells: Cells) -> Cells:
    return {"on": "2026-03-04T12:00" if kind == "dose" else "2026-03-04T11:00"} | cells


def from_csv(bad: Bad) -> tuple[int, dict[str, str]]:
    rows = [(kind, dated(kind, cells)) for kind, cells in bad.rows()]
    columns = list(dict.fromkeys(name for _, cells in rows for name in cells))
    text = io.StringIO()
    writer = csv.DictWriter(text, ["kind", *columns], restval="")
    writer.writeheader()
    for kind, cells in rows:
        writer.writerow({"kind": kind, **cells})
    Path("rows.csv").write_text(text.getvalue(), encoding="utf-8")
    return ran("case", "add", str(CASE), "--from", "rows.csv")


def parted(text: str) -> Cells:
    value, _, unit = text.partition(" ")
    unit, _, basis = unit.partition(" as ")
    return {"value": value, "unit": unit} | ({"basis": f"as {basis}"} if basis else {})


def as_entry(kind: str, cells: Cells) -> dict[str, object]:
    """Return one row as an entry of a case file."""
    when = dict(dated(kind, cells))["on"]
    entry: dict[str, object] = {"occurred_at": f"{when}+00:00"}
    plain = {name.replace("-", "_"): text for name, text in cells.items() if name != "on"}
    if kind == "system":
        methods = []
        if "meter" in plain:
            methods.append({"method": "meter", "volume": parted(plain.pop("meter"))})
        if "hose" in plain:
            flow, time = plain.pop("hose").split(" for ")
            methods.append({"method": "hose", "flow": parted(flow), "time": parted(time)})
        return entry | {"kind": "system", "volume": methods, **plain}
    if kind == "stock":
        return entry | {"kind": "stock", "group": "fish", **plain, "count": int(plain["count"])}
    if kind == "water":
        plain["ph"] += " pH"
        readings = [{"what": what, "amount": parted(text)} for what, text in plain.items()]
        return entry | {"kind": "water_test", "readings": readings}
    if kind == "in-water":
        answered = plain["amount"] != "?"
        state = "answered" if answered else "keeper_does_not_know"
        amount = {"amount": parted(plain["amount"])} if answered else {}
        return entry | {"kind": "agent_in_water", "agent": plain["agent"],
                       "amount_state": state} | amount  # fmt: skip
    seen = [{"need": name.replace("-", "_"), "answer": plain.pop(name.replace("-", "_"))}
            for name in BY_HAND if name.replace("-", "_") in plain]  # fmt: skip
    for name in ("scale", "syringe", "minutes"):
        if name in plain:
            entry[name] = parted(plain.pop(name))
    return (
        entry | {"kind": "label_read" if kind == "label" else "dose_asked", **plain}
        | ({"seen_to": seen} if seen else {})
    )  # fmt: skip


def from_file(bad: Bad) -> tuple[int, dict[str, str]]:
    entries = [as_entry(kind, cells) for kind, cells in bad.rows()]
    Path("entries.json").write_text(json.dumps(entries), encoding="utf-8")
    return ran("case", "add", str(CASE), "--from", "entries.json")


DOORS = {"typed": typed, "CSV": from_csv, "case file": from_file}


@pytest.mark.parametrize("name", BAD)
def test_every_door_refuses_it_in_the_same_words_and_keeps_nothing(name: str) -> None:
    bad, before = BAD[name], CASE.read_bytes()
    by_door = {door: give(bad) for door, give in DOORS.items()}
    code, error = by_door["typed"]
    assert error["code"] == bad.code, error
    assert error["given"] or bad.code == "E-NUM-01"
    assert error["needed"]
    assert error["next"]
    assert code in (2, 3)
    assert by_door["CSV"] == by_door["case file"] == (code, error)
    assert CASE.read_bytes() == before


@pytest.mark.parametrize("agent", ["salt", "copper", "formalin", "praziquantel"])
def test_the_sound_amount_passes_every_door(agent: str) -> None:
    good = Bad(0, "", agent=agent)
    before = CASE.read_bytes()
    for door, give in DOORS.items():
        assert give(good)[0] == 0, (door, give(good))
        CASE.write_bytes(before)


def not_given() -> None:
    """Answer the amount of salt that was asked for: nothing went in."""
    words = ["not-done", "on=2026-03-04T12:00", "action=salt", "agent=sodium_chloride"]
    result = CliRunner().invoke(app, ["case", "add", str(CASE), *words])
    assert result.exit_code == 0, result.output


def test_an_amount_kept_in_a_case_is_the_amount_typed() -> None:
    assert from_csv(Bad(0, ""))[0] == 0
    not_given()
    kept = CliRunner().invoke(app, ["dose", "--case", str(CASE), "--agent", "salt", "--strength",
                                    "2 g/L", "--json"])  # fmt: skip
    assert json.loads(kept.stdout)["amount"]["text"] == "346 g"


def test_an_amount_that_is_kept_is_told_at_once() -> None:
    assert from_file(Bad(0, ""))[0] == 0
    not_given()
    asked = ["dose", "on=2026-03-04T12:00", "agent=salt", "strength=1 g/L"]
    result = CliRunner().invoke(app, ["case", "add", str(CASE), *asked, "--json"])
    (note,) = json.loads(result.stdout)["notes"]
    assert note.replace("\N{NO-BREAK SPACE}", " ").startswith("Salt (sodium chloride): 173 g.")


@pytest.mark.parametrize("door", DOORS)
def test_sums_that_differ_end_every_door(monkeypatch: pytest.MonkeyPatch, door: str) -> None:
    """Row 26: the way back is bent, so no amount may be shown or kept anywhere."""
    sound = double_check.strength_from_print
    print_amount.cache_clear()
    before = CASE.read_bytes()
    monkeypatch.setattr(double_check, "strength_from_print", lambda *a: sound(*a) * 2)
    code, error = DOORS[door](Bad(26, ""))
    print_amount.cache_clear()
    assert (code, error["code"]) == (3, "E-DOSE-900")
    assert CASE.read_bytes() == before
