"""The rules about a dose give the same refusal from the command line, a case file and a CSV.

A case file holds the course that is followed, with the containers it was worked out for; a CSV
brings the tank, the water and what is in it. What a door has no words for is listed, not skipped.
The bad numbers, units, dates and counts are refused alike in tests/cli/test_case_bad_inputs.py.
"""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.course import Course, LabelEntry, StrengthBasis, Tool, ToolUnit, double_check
from tankside.course.actions import Dose
from tankside.course.printing import print_amount
from tankside.errors import Mistake, NotPossible
from tankside.library import load
from tankside.records.case_file import read_case
from tankside.services.case_import import add_from_file
from tankside.services.cases import Opening, new_case
from tankside.services.course_codec import encode_course
from tankside.services.running import running

CASE = Path("case.jsonl")
DAY = "2026-03-04T08:00+00:00"


def container(
    agent: str, strength: str = "1", form: str = "as such", step: str = "0.001", **more: object
) -> LabelEntry:
    return replace(
        LabelEntry(agent, Decimal(strength), StrengthBasis.MASS_PER_MASS, form, Decimal(1), None,
                   Tool(ToolUnit.GRAM, Decimal(step))),
        **more,
    )  # fmt: skip


SALT = container("sodium_chloride")
COPPER = container("copper_sulphate")
TANK = {"system": {"meter": "173 L", "hose": "17.5 L/min for 10 min"},
        "stock": {"name": "goldfish", "count": "3", "length": "8 cm"}}  # fmt: skip
WATER = {"temperature": "20 C", "ph": "7.4", "oxygen": "8 mg/L", "alkalinity": "120 mg/L as CaCO3"}


@dataclass(frozen=True)
class Bad:
    """One bad dose as each door would be given it.

    Args:
        code: the refusal.
        row: number of the rule.
        steps: the doses of the course in the case file.
        labels: the containers in the case file.
        rows: further rows of the CSV (or entries of the case), by kind.
        typed: words of the command line; None where it has no words for this.
        water: readings, as typed.
    """

    code: str
    row: int
    steps: tuple[Dose, ...]
    labels: tuple[LabelEntry, ...] = (SALT,)
    rows: dict[str, dict[str, str]] = field(default_factory=dict)
    typed: tuple[str, ...] | None = None
    water: dict[str, str] = field(default_factory=lambda: WATER)


def salt(mg_l: float = 2000.0, hour: int = 8) -> Dose:
    return Dose(hour, "main", "sodium_chloride", mg_l)


def copper(mg_l: float = 0.4, hour: int = 8) -> Dose:
    return Dose(hour, "main", "copper_sulphate", mg_l)


def without(name: str) -> dict[str, str]:
    return {key: text for key, text in WATER.items() if key != name}


PLAIN = ("--volume", "173 L", "--second-volume", "175 L", "--animal", "goldfish")
SALT_TYPED = ("--agent", "salt", "--scale", "1 g", *PLAIN)
COPPER_TYPED = ("--agent", "copper_sulphate", "--label", "pure as CuSO4.5H2O", "--scale", "1 mg",
                "--strength", "0.4 mg/L as CuSO4.5H2O", *PLAIN)  # fmt: skip

BAD = {
    "ten times too strong": Bad(
        "E-DOSE-10", 12, (salt(20_000),),
        typed=("--strength", "20 g/L", "--label", "pure", *SALT_TYPED)),
    "just above the hard limit": Bad(
        "E-DOSE-10", 12, (salt(5000.1),),
        typed=("--strength", "5.2 g/L", "--label", "pure", *SALT_TYPED)),
    "label of 0 %": Bad(
        "E-PROD-01", 18, (salt(),), (container("sodium_chloride", "0"),),
        typed=("--strength", "2 g/L", "--label", "0 % w/w", *SALT_TYPED)),
    "label of 120 %": Bad(
        "E-PROD-01", 18, (salt(),), (container("sodium_chloride", "1.2"),),
        typed=("--strength", "2 g/L", "--label", "120 % w/w", *SALT_TYPED)),
    "container that has expired": Bad(
        "E-PROD-03", 20, (salt(),), (replace(SALT, expired=True),)),
    "label read too long ago": Bad(
        "E-PROD-03", 20, (salt(),), (replace(SALT, read_at_h=-24.0 * 400),)),
    "alkalinity not measured": Bad(
        "E-DOSE-20", 21, (copper(),), (COPPER,), typed=COPPER_TYPED, water=without("alkalinity")),
    "alkalinity under the lowest": Bad(
        "E-DOSE-25", 21, (copper(),), (COPPER,),
        typed=(*COPPER_TYPED, "--alkalinity", "36 mg/L as CaCO3"),
        water=WATER | {"alkalinity": "36 mg/L as CaCO3"}),
    "two volumes a third apart": Bad(
        "E-DOSE-21", 22, (salt(),),
        rows={"system": {"meter": "173 L", "hose": "23 L/min for 10 min"}},
        typed=("--strength", "2 g/L", "--label", "pure", *SALT_TYPED, "--second-volume", "230 L")),
    "the same active running": Bad(
        "E-DOSE-22", 23, (copper(),), (COPPER,),
        {"in-water": {"agent": "copper_ionic", "amount": "20 mg"}}),
    "a forbidden pair": Bad(
        "E-DOSE-23", 24, (copper(),), (COPPER,),
        {"in-water": {"agent": "formalin", "amount": "5 g"}}),
    "too little for the scale": Bad(
        "E-DOSE-24", 25, (copper(),), (container("copper_sulphate", step="1"),),
        typed=(*COPPER_TYPED, "--alkalinity", "120 mg/L as CaCO3", "--scale", "1 g")),
}  # fmt: skip
NO_WORDS_TYPED = {  # what the command line of one amount cannot be told
    "container that has expired", "label read too long ago", "the same active running",
    "a forbidden pair",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-04T12:00+00:00")
    new_case(CASE, Opening("Elm Road", "Marta Vell", "fresh", "Europe/London", "2026-03-02"),
             by="me")  # fmt: skip


def refusals(bad: Bad) -> dict[str, str]:
    """Follow the course of the case; return what forbids it, by code."""
    chosen = Course("the course", 5, bad.steps)
    kept = encode_course(chosen, {one.agent: one for one in bad.labels})
    entry = {"kind": "course_chosen", "name": "the course", "starts_at": DAY, "occurred_at": DAY,
             "course": kept}  # fmt: skip
    Path("course.json").write_text(json.dumps([entry]), encoding="utf-8")
    add_from_file(CASE, "course.json", kind=None, by="me")
    try:
        found = running(read_case(CASE).view(), load())
    except Mistake as refused:
        return {refused.code: refused.message}
    amounts = {amount.agent for amount in found.run.amounts}
    return {
        caution.code: caution.words
        for caution in found.run.blocked
        if caution.code in ("E-DOSE-22", "E-DOSE-23") or caution.agent not in amounts
    }


def told(bad: Bad) -> dict[str, dict[str, str]]:
    return TANK | {"water": bad.water} | bad.rows


@pytest.mark.parametrize("name", BAD)
def test_a_csv_with_the_tank_and_its_water(name):
    bad = BAD[name]
    for kind, cells in told(bad).items():
        text = io.StringIO()
        writer = csv.writer(text)
        writer.writerow(["kind", "on", *cells])
        writer.writerow([kind, "2026-03-04T07:00", *cells.values()])
        Path("rows.csv").write_text(text.getvalue(), encoding="utf-8")
        add_from_file(CASE, "rows.csv", kind=None, by="me")
    assert bad.code in refusals(bad)


def parted(text: str) -> dict[str, str]:
    value, _, unit = text.partition(" ")
    unit, _, basis = unit.partition(" as ")
    return {"value": value, "unit": unit} | ({"basis": f"as {basis}"} if basis else {})


def as_entry(kind: str, cells: dict[str, str]) -> dict[str, object]:
    """Return the same row as an entry of a case file."""
    at = {"occurred_at": "2026-03-04T07:00+00:00"}
    if kind == "system":
        flow, time = cells["hose"].split(" for ")
        methods = [{"method": "meter", "volume": parted(cells["meter"])},
                   {"method": "hose", "flow": parted(flow), "time": parted(time)}]  # fmt: skip
        return at | {"kind": "system", "volume": methods}
    if kind == "stock":
        return at | {"kind": "stock", "group": "goldfish", "name": "goldfish",
                     "count": int(cells["count"]), "length": parted(cells["length"])}  # fmt: skip
    if kind == "in-water":
        return at | {"kind": "agent_in_water", "agent": cells["agent"],
                     "amount_state": "answered", "amount": parted(cells["amount"])}  # fmt: skip
    ph = {"value": cells["ph"], "unit": "pH"}
    readings = [{"what": what, "amount": ph if what == "ph" else parted(text)}
                for what, text in cells.items()]  # fmt: skip
    return at | {"kind": "water_test", "readings": readings}


@pytest.mark.parametrize("name", BAD)
def test_a_case_file_with_the_same(name):
    bad = BAD[name]
    entries = [as_entry(kind, cells) for kind, cells in told(bad).items()]
    Path("entries.json").write_text(json.dumps(entries), encoding="utf-8")
    add_from_file(CASE, "entries.json", kind=None, by="me")
    assert bad.code in refusals(bad)


def typed(*words: str) -> tuple[int, dict[str, str]]:
    ran = CliRunner().invoke(app, ["dose", *words, "--json"])
    return ran.exit_code, json.loads(ran.stdout).get("error", {})


@pytest.mark.parametrize("name", [name for name in BAD if name not in NO_WORDS_TYPED])
def test_the_command_line(name):
    bad = BAD[name]
    assert bad.typed is not None
    code, error = typed(*bad.typed)
    assert (code, error["code"]) == (2, bad.code)
    assert error["next"]


def test_what_the_command_line_cannot_be_told_is_known():
    assert {name for name, bad in BAD.items() if bad.typed is None} == NO_WORDS_TYPED


def test_the_sound_dose_passes_every_door():
    good = Bad("", 0, (salt(),))
    entries = [as_entry(kind, cells) for kind, cells in told(good).items()]
    Path("entries.json").write_text(json.dumps(entries), encoding="utf-8")
    add_from_file(CASE, "entries.json", kind=None, by="me")
    assert refusals(good) == {}
    assert typed("--strength", "2 g/L", "--label", "pure", *SALT_TYPED)[0] == 0


@pytest.mark.parametrize("name", ["wonder water", "", "salts", "sodium"])
def test_an_unknown_or_half_named_substance_is_refused(name):
    code, error = typed("--agent", name, "--strength", "2 g/L", "--label", "pure", "--scale",
                        "1 g", *PLAIN)  # fmt: skip
    assert (code, error["code"]) == (2, "E-PROD-02")


def test_sums_that_differ_end_every_door(monkeypatch):
    """Row 26: the way back is bent, so no amount may be shown anywhere."""
    sound = double_check.strength_from_print
    print_amount.cache_clear()
    monkeypatch.setattr(double_check, "strength_from_print", lambda *a: sound(*a) * 2)
    code, error = typed("--strength", "2 g/L", "--label", "pure", *SALT_TYPED)
    entries = [as_entry(kind, cells) for kind, cells in told(Bad("", 26, ())).items()]
    Path("entries.json").write_text(json.dumps(entries), encoding="utf-8")
    add_from_file(CASE, "entries.json", kind=None, by="me")
    found = refusals(Bad("E-DOSE-900", 26, (salt(),)))
    print_amount.cache_clear()
    assert code == 2
    assert error["code"] == "E-DOSE-900"
    assert "E-DOSE-900" in found


def test_a_refusal_of_the_check_is_a_refusal_of_the_program_not_of_the_keeper():
    with pytest.raises(NotPossible):
        double_check.strength_from_print("2 cups", "", "", "1")
