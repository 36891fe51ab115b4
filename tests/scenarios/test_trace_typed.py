"""Own scenario, Ash Court (invented): what an entry holds bears on an answer or is listed as kept.

The kinds of entry and their fields are taken from their declarations, so that a new field fails
the slow trace until it changes an answer or is listed in ``case/kept_only.py``.
"""

from __future__ import annotations

import re
import shutil
import types
import typing
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.conftest import Ran, Typing

from tankside.case import CATALOGUE, Entry, decode, encode, entry_from, fold, to_object
from tankside.case.entries_page import entries_page
from tankside.case.kept_only import KEPT_ONLY, RECORD, WORDS_ALONE, idle_fields
from tankside.diagnose import compile_tables, rank
from tankside.errors import Mistake
from tankside.intake.counts import group_counts, looks
from tankside.intake.deaths_lately import deaths_lately
from tankside.intake.failure_clues import failure_clues
from tankside.intake.follow_setup import FollowRequest, follow_setup
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.intake.readings_watch import reading_warnings
from tankside.intake.to_be_asked import to_be_asked
from tankside.library import load
from tankside.library.diagnosis_files import load_diagnosis
from tankside.records.case_file import create_case, read_case
from tankside.report.amount_forms import amount_line
from tankside.services.differential_case import confirmed, evidence_of, own_idea
from tankside.services.dose_case import amounts_asked
from tankside.services.unfit_entry import refuse_unfit

Run = Callable[..., Ran]
NOW = "2026-09-12T18:00+00:00"
DAY_0 = "2026-09-05"
OPENING = ["--name", "Ash Court", "--keeper", "Ina Moor", "--water", "fresh", "--opened", DAY_0,
           "--zone", "Europe/London", "--country", "GB", "--place", "hall",
           "--practitioner", "B. Hay", "--call", "white dots since Monday"]  # fmt: skip
CALM = ["carbon=no", "uv=no", "plants=no", "invertebrates=no", "filter-ripe=yes", "food-fish=no",
        "tap=chlorine", "overflow=no", "air-stone=yes", f"on={DAY_0}T09:00"]  # fmt: skip
READ = f"on={DAY_0}T10:00"
SEEN = f"on={DAY_0}T11:00"
BEFORE = [
    ["system", "main", "use=main", "inside-length=100 cm", "inside-width=50 cm",
     "water-height=40 cm", "meter=195 L", "surface-length=100 cm", "surface-width=50 cm",
     "turnover=600 L/h", "temperature-low=23 C", "temperature-high=25 C", "room=20 C",
     "lights-on=08:00", "lights-off=20:00", "substrate=yes", "co2=no", "conditioner=no", *CALM],
    ["system", "box", "use=hospital", "meter=40 L", "hose=4 L/min for 10 min", *CALM],
    ["stock", "koi", "count=5", "length=14 cm", "system=box", f"on={DAY_0}T09:00"],
    ["stock", "gold", "name=common goldfish", "count=8", "length=6 cm", "length-to=9 cm",
     "weight=4 g", "system=main", "life-stage=adult", "gill-damage=no", "arrived=2026-08-24",
     "quarantined=no", "note=bought at a show", f"on={DAY_0}T09:00"],
    ["event", "hose left running", "topic=hose", "system=main", "changed=20 L", READ],
    ["event", "evaporated", "topic=top", "system=main", "topped-up=6 L", READ],
    ["finding", "spots_visible=yes", "skin_film=local", "group=gold", "system=main", READ],
    ["water", "system=main", "temperature=24 C", "ph=7.6", "ammonia=0.1 mg/L as N",
     "nitrite=0.1 mg/L as N", "kh=9 dH", "oxygen=7.6 mg/L", "kit=drops", "dawn=no",
     "conductivity=450 uS/cm", "copper=0.01 mg/L as Cu", "copper-form=free", READ],
    ["finding", "flashing=frequent", "fish=old one", "group=gold", READ],
    ["wet-mount", "gill-clip", "fish=old one", "group=gold", "m_fluke_gill=few", READ],
    ["wet-mount", "skin-scrape", "group=gold", "alive=yes", "slide-age=5 min", "fields=10",
     "examined=2", "m_big_ciliate=2 crescent", READ],
    ["count", "group=gold", "fish=worst goldfish", "spots=14", SEEN],
    ["count", "group=gold", "spots=mean 6", SEEN],
    ["count", "group=gold", "skin flukes=3 of 4", SEEN],
    ["in-water", "agent=salt", "amount=20 g", "system=main", f"on={DAY_0}T05:00"],
    ["label", "agent=salt", "strength=pure", "scale=1 g", "expires=2027-05-01", READ],
    ["label", "agent=formalin", "strength=37 % w/w as formaldehyde", "syringe=0.5 mL",
     "density=1.08 g/mL", READ],
    ["label", "agent=hypochlorite", "strength=12 % w/v as available chlorine",
     "syringe=1 mL", READ],
    ["death", "1", "group=gold", "fish=the big one", "system=main", SEEN],
    ["confirmed", "condition=ich", "shown-by=skin scrape", SEEN],
]  # fmt: skip
PLAN = ["--on", DAY_0, "--only", "salt", "--strength", "salt=1 g/L", "--no-warming"]
AFTER = [
    ["wet-mount", "gill-clip", "fish=old one", "group=gold", "alive=yes", "objective=10x",
     "examined=2", "fields=12", "m_fluke_gill=none", "on=2026-09-08T09:30"],
    ["finding", "flashing=none", "fish=old one", "group=gold", "on=2026-09-08T09:00"],
    ["done", "step=A0-1", "system=main", "amount=190 g", "agent=salt", "reason=as said",
     f"on={DAY_0}T18:30"],
    ["dose", "agent=salt", "strength=1.5 g/L", "system=main", "reason=keeper wished it so",
     "on=2026-09-06T09:00"],
    ["done", "agent=salt", "answers=27", "system=main", "on=2026-09-06T09:30"],
    ["count", "group=gold", "fish=worst goldfish", "spots=9", "on=2026-09-08T10:00"],
    ["death", "1", "group=gold", "on=2026-09-08T11:00"],
    ["done", "step=A3-1", "changed=45 L", "on=2026-09-08T18:00"],
    ["done", "step=A3-1", "changed=45 L", "again=yes", "on=2026-09-08T20:00"],
    ["decision", "go_on", "reason=fewer spots", "on=2026-09-09T10:00"],
    ["dose", "agent=salt", "strength=5 g/L", "route=bath", "minutes=10 min", "system=main",
     "on=2026-09-09T10:10"],
    ["label", "agent=praziquantel", "strength=pure", "scale=0.001 g", "predissolve=yes",
     "on=2026-09-09T10:15"],
    ["dose", "agent=praziquantel", "strength=75 mg/kg/d", "route=feed", "ration=1 % of body weight",
     "days=5 d", "fish-weight=24 g", "system=main", "on=2026-09-09T10:20"],
    ["dose", "agent=hypochlorite", "strength=200 mg/L", "route=equipment",
     "vessel=10 L", "minutes=1 h", "system=main", "on=2026-09-09T10:30"],
    ["water-moved", "20 L", "from=main", "to=box", "on=2026-09-09T10:40"],
    ["done", "step=A6-3", "changed=50 L", "on=2026-09-11T18:00"],
    ["water", "temperature=24.2 C", "ph=7.6", "oxygen=7.4 mg/L", "kh=9 dH",
     "ammonia=0.1 mg/L as N", "nitrite=0 mg/L as N", "on=2026-09-12T08:00"],
    ["photo", "file=a.jpg", "of=gold", "on=2026-09-09T11:00"],
    ["note", "keeper is away", "on=2026-09-09T12:00"],
]  # fmt: skip
ASKED = [
    ["dose", "--case", "CASE", "--agent", "salt", "--strength", "2 g/L", "--system", "main"],
    ["dose", "--case", "CASE", "--agent", "formalin", "--strength", "0.02 mL/L",
     "--system", "main"],
    ["dose", "--case", "CASE", "--agent", "praziquantel", "--strength", "2.5 mg/L",
     "--system", "main"],
    ["today", "CASE"],
    ["case", "list", "FOLDER"],
]  # fmt: skip
POOL = ["yes", "no", "box", "brackish", "marine", "keeper_does_not_know", True, 3, 5, "3",
        "2026-09-05T15:00+01:00", "2026-09-11T15:00+01:00", "2026-09-04T09:00+01:00", "2026-09-04",
        "other", "other words", "2 g/L", "DE", "08:30", ["box"],
        {"value": "7", "unit": "mg/L", "basis": "as N"},
        *({"value": "7", "unit": unit}
          for unit in ("cm", "g", "L", "C", "L/h", "min", "d", "g/mL"))]  # fmt: skip
NONE_SEEN = {"finding": "flashing", "state": "none"}
LITRES_30 = {"value": "30", "unit": "L/h"}
DAYS_AGO = "2026-09-10T09:00+01:00"


class Together(dict[str, Any]):
    """Fields of which the one cannot change without the others."""


HOURS_6 = {"value": "6", "unit": "h"}
NO_NUMBER: dict[str, Any] = dict.fromkeys(("number", "mean", "infected", "examined"))
NOTHING_IN: dict[str, Any] = dict.fromkeys(("agent", "amount", "amount_state"))
RUNS_OVER: dict[str, Any] = {"overflow": "yes"}
NOTHING_BESIDE: dict[str, Any] = {}
TRIED: dict[tuple[str, str], tuple[tuple[dict[str, Any], tuple[Any, ...]], ...]] = {
    ("opened", "not_known"): (({"country": None}, (["country"],)),),
    ("opened", "zone"): (({}, ("Asia/Tokyo",)),),
    ("system", "not_known"): (
        ({"temperature_low": None, "temperature_high": None}, (["temperature_low"],)),
    ),
    ("system", "lights_on"): (({}, ("05:00", "14:00")),),
    ("system", "shared_tools"): (({}, (["net"],)),),
    ("system", "inflow"): ((RUNS_OVER, (LITRES_30,)),),
    ("system", "inflow_off"): ((RUNS_OVER | {"inflow": LITRES_30}, (HOURS_6,)),),
    ("stock", "not_known"): (({"length": None, "length_to": None}, (["length"],)),),
    ("stock", "host"): (({}, ("koi", "neon_tetra")),),
    ("stock", "arrived"): (({}, ("2026-06-01T00:00+01:00", "2026-09-08T00:00+01:00")),),
    ("event", "what"): (({"topic": None, "water_changed": None}, ("heater off", "pump stopped")),),
    ("event", "state"): (({"topic": "dosed_medicine"}, ("none",)),),
    ("event", "topic"): (({}, ("power_pump_failure",)),),
    ("finding", "looked"): (({}, (NONE_SEEN,)),),
    ("finding", "system"): (({"group": None, "fish": None}, ("box",)),),
    ("finding", "group"): (({"fish": None}, ("koi",)),),
    ("finding", "fish"): (({}, ("another one",)),),
    ("finding", "occurred_at"): (({}, (DAYS_AGO,)),),
    ("water_test", "copper_form"): (({}, ("total",)),),
    ("water_test", "checked"): (({}, ("never", "2020-01-01")),),
    ("wet_mount", "looks"): (({}, ([{"finding": "m_big_ciliate", "state": "none"}],)),),
    ("wet_mount", "system"): (({"group": None, "fish": None}, ("box",)),),
    ("wet_mount", "group"): (({}, ("koi",)),),
    ("wet_mount", "fish"): (({}, ("another one",)),),
    ("wet_mount", "alive"): (({}, ("no",)),),
    ("wet_mount", "time_dead"): (({"alive": "no"}, (HOURS_6,)),),
    ("wet_mount", "slide_age"): (({}, ({"value": "2", "unit": "h"},)),),
    ("wet_mount", "examined"): (({}, (1,)),),
    ("wet_mount", "fields"): (({}, (3,)),),
    ("wet_mount", "objective"): (({}, ("2x",)),),
    ("count", "infected"): (({"what": "spots"}, (1,)),),
    ("count", "state"): (({}, (Together(NO_NUMBER | {"state": "not_looked"}),)),),
    ("count", "fields"): (({"method": "skin_scrape", "what": "trophonts"}, (3,)),),
    ("action_done", "action"): (({"agent": None, "step": None}, ("formalin",)),),
    ("action_done", "answers"): (({"agent": None, "action": "as asked"}, (3,)),),
    ("action_done", "index"): (({"answers": None, "agent": None, "action": "as asked"}, (27,)),),
    ("agent_in_water", "state"): (({}, (Together(NOTHING_IN | {"state": "none"}),)),),
    ("agent_in_water", "amount_state"): (
        ({"amount": None, "amount_state": "keeper_does_not_know"}, (None,)),
    ),
    ("water_moved", "system"): (({}, (Together(source="box", system="main"),)),),
    ("decision", "occurred_at"): (({"what": "stop"}, (DAYS_AGO,)),),
    ("count", "group"): (({"fish": None}, ("koi",)),),
    ("count", "system"): (({"group": None, "fish": None}, ("box",)),),
}
"""Where a change is tried beside other facts, or with values that no pool holds."""
FILE = re.compile(r"file\s+[0-9a-f]{8}")
"""The print of the case file at the foot of a card, which any change of it changes."""
NUMBERS = count()
MOST_HELD = 40
TEXT_TYPES = {str, types.NoneType}


def choose_salt(run: Run, path: Path) -> None:
    """Choose the first course that gives salt."""
    courses = run("plan", str(path), *PLAN, "--json").answer["courses"]
    salted = next(course["id"] for course in courses if "salt" in course["name"])
    assert run("plan", str(path), "--choose", salted).code == 0


@pytest.fixture(scope="module")
def ash(typed: Typing, run: Run) -> Iterator[Path]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        path = typed("ash", [OPENING], BEFORE)
        choose_salt(run, path)
        for words in AFTER:
            ran = run("case", "add", str(path), *words)
            assert ran.code == 0, (words, ran.err)
        yield path


@pytest.fixture(scope="module")
def closed(ash: Path, run: Run) -> Path:
    """The same case at its end."""
    path = ash.with_name("ash-closed.jsonl")
    shutil.copy(ash, path)
    assert run("case", "add", str(path), "closed", "outcome=clear", "on=2026-09-12").code == 0
    return path


def literals(annotation: Any) -> Iterator[Any]:
    """Yield the values of every choice inside an annotation."""
    if typing.get_origin(annotation) is typing.Literal:
        yield from typing.get_args(annotation)
    for part in typing.get_args(annotation):
        if not isinstance(part, str | int):
            yield from literals(part)


def types_in(annotation: Any) -> Iterator[Any]:
    """Yield the plain types an annotation is made of."""
    parts = typing.get_args(annotation)
    if not parts:
        yield annotation
        return
    if typing.get_origin(annotation) is typing.Annotated:
        parts = parts[:1]
    for part in parts:
        yield from types_in(part)


def other_values(annotation: Any, now: Any) -> Iterator[Any]:
    """Yield other values of a field: more of an amount or count, other choices, then a pool."""
    if isinstance(now, dict) and "value" in now:
        yield now | {"value": f"{float(now['value']) * 1.5 + 1:g}"}
    elif isinstance(now, list) and now:
        yield now[:-1]
    elif isinstance(now, int) and not isinstance(now, bool):
        yield now + 1
    yield from (value for value in (*literals(annotation), *POOL, None) if value != now)


Pair = tuple[tuple[Entry, ...], tuple[Entry, ...]]


def pairs_of(
    entries: tuple[Entry, ...], kind: str, field: str
) -> Iterator[tuple[tuple[Entry, ...], tuple[Entry, ...]]]:
    """Yield pairs of cases that differ in one field of one entry, where such cases can be."""
    for entry in (entry for entry in entries if entry.kind == kind):
        stated = to_object(entry)
        annotation = type(entry).model_fields[field].annotation
        others = tuple(other_values(annotation, stated.get(field)))
        for beside, values in (*TRIED.get((kind, field), ()), (NOTHING_BESIDE, others)):
            base = {name: value for name, value in (stated | beside).items() if value is not None}
            for value in values:
                old, new = (
                    with_entry(entries, base),
                    with_entry(entries, base | told_as(field, value)),
                )
                if old is not None and new is not None:
                    yield old, new


def told_as(field: str, value: Any) -> dict[str, Any]:
    return value if isinstance(value, Together) else {field: value}


def with_entry(entries: tuple[Entry, ...], fields: dict[str, Any]) -> tuple[Entry, ...] | None:
    """Return the case with one entry as it is told now; None where that cannot be."""
    try:
        told = {name: value for name, value in fields.items() if value is not None}
        case = tuple(entry_from(told) if old.id == told["id"] else old for old in entries)
        fold(case)
    except Mistake:
        return None
    return case


class Told:
    """A case in its file, and what is answered for it, each answer worked out once."""

    def __init__(self, run: Run, folder: Path, entries: tuple[Entry, ...]) -> None:
        self.run, self.entries = run, entries
        self.path = folder / "ash.jsonl"
        folder.mkdir()
        create_case(self.path, entries)
        self.view = read_case(self.path).view()
        self.kept: dict[int, str] = {}

    def answer(self, number: int) -> str:
        """Return one answer: what it is reckoned from, or the words of a command."""
        if number not in self.kept:
            self.kept[number] = self.asked(number)
        return self.kept[number]

    def asked(self, number: int) -> str:
        if number < len(RECKONED):
            return reckoned(lambda: RECKONED[number](self))
        places = {"CASE": str(self.path), "FOLDER": str(self.path.parent)}
        words = ASKED[number - len(RECKONED)]
        ran = self.run(*(places.get(word, word) for word in words), "--json")
        said = FILE.sub("", ran.out + ran.err).replace(str(self.path.parent), "")
        return re.sub(r'"seconds": [0-9.e-]+', "", said)


def reckoned(ask: Callable[[], object]) -> str:
    try:
        return repr(ask())
    except Mistake as refused:
        return f"{refused.code} {refused.given}"


def planned(told: Told) -> object:
    made = ready(told.view, load(), PlanRequest(on=DAY_0))
    trial = made.trial
    return trial.situation, trial.labels, trial.hosts, trial.start, trial.seed, made.case.questions


def followed(told: Told) -> object:
    setup = follow_setup(told.view, FollowRequest())
    trial, main = setup.trial, setup.case.main
    return (setup.zero, setup.now_h, setup.seen, setup.course_as_done, setup.rescheduled,
            setup.starts, setup.at_strength, trial.situation, trial.hosts, trial.seed,
            group_counts(setup.looked, setup.case.hosts), looks(setup.looked, setup.zero),
            failure_clues(told.view, main, setup.course_as_done),
            deaths_lately(setup.looked, setup.day))  # fmt: skip


def warned(told: Told) -> object:
    return reading_warnings(told.view, load(), told.view.last_moment())


def ranked(told: Told) -> object:
    view, tables = told.view, compile_tables(load_diagnosis())
    ranking = rank(tables, evidence_of(view))
    waters = (None, *(("box",) if "box" in view.systems else ()))
    return (
        [(name, ranking.of(name)) for name in ranking.order()],
        [evidence_of(view, water) for water in waters],
        own_idea(view),
        confirmed(view),
        to_be_asked(view, load()),
    )


def typed_so_far(told: Told) -> object:
    for number, entry in enumerate(told.entries, 1):
        if entry.kind == "action_done":
            refuse_unfit(told.entries[:number])
    return "nothing refused"


RECKONED: tuple[Callable[[Told], object], ...] = (
    lambda told: told.view.not_asked,
    planned,
    followed,
    warned,
    ranked,
    typed_so_far,
    lambda told: [amount_line(amount) for amount in amounts_asked(told.entries, told.view)],
)


FIELDS = [
    (kind.name, field)
    for kind in CATALOGUE.kinds
    if kind.name != "correction"
    for field in kind.model.model_fields
    if field not in (*RECORD, *idle_fields(kind.name))
    if not (field == "occurred_at" and kind.name in WORDS_ALONE)
]


@pytest.fixture(scope="module")
def told(run: Run, tmp_path_factory: pytest.TempPathFactory) -> Callable[[Any], Told]:
    """Return what holds a case and its answers, the same for the same entries."""
    root = tmp_path_factory.mktemp("told")
    held: dict[bytes, Told] = {}

    def hold(entries: tuple[Entry, ...]) -> Told:
        written = encode(entries)
        if written not in held:
            if len(held) > MOST_HELD:
                held.popitem()
            held[written] = Told(run, root / str(next(NUMBERS)), entries)
        return held[written]

    return hold


def first_change(hold: Callable[[Any], Told], pairs: Iterator[Any]) -> tuple[int, Any] | None:
    """Return the number of the first answer that a change changes, with what was changed."""
    for pair in pairs:
        old, new = (hold(case) for case in pair)
        for number in range(len(RECKONED) + len(ASKED)):
            if old.answer(number) != new.answer(number):
                return number, new
    return None


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "field"), FIELDS, ids=[".".join(pair) for pair in FIELDS])
def test_a_change_of_each_field_changes_an_answer(
    ash: Path, closed: Path, told: Callable[[Any], Told], kind: str, field: str
) -> None:
    path = closed if kind == "closed" else ash
    pairs = pairs_of(decode(path.read_bytes()), kind, field)
    assert first_change(told, pairs) is not None


def test_what_is_only_kept_is_a_name_words_or_a_remark() -> None:
    for kind, fields in KEPT_ONLY.items():
        model = CATALOGUE.by_name[kind].model
        for field in fields:
            assert set(types_in(model.model_fields[field].annotation)) <= TEXT_TYPES, (kind, field)
            assert not list(literals(model.model_fields[field].annotation)), (kind, field)


def test_no_field_is_listed_twice_and_each_is_declared() -> None:
    for kind in KEPT_ONLY:
        listed = idle_fields(kind)
        assert len(set(listed)) == len(listed)
        assert set(listed) <= set(CATALOGUE.by_name[kind].model.model_fields)


def test_the_reply_names_what_no_answer_uses(run: Run, typed: Typing) -> None:
    path = typed("kept", [OPENING], [])
    words = ["finding", "spots_visible=yes", "note=seen at noon"]
    ran = run("case", "add", str(path), *words)
    assert "KEPT, not used by any answer: note" in ran.out.splitlines()
    added = run("case", "add", str(path), *words, "--json").answer
    assert added["kept"] == [{"entry": 3, "fields": ["note"]}]
    silent = run("case", "add", str(path), "finding", "spots_visible=yes", "--json").answer
    assert "kept" not in silent


def test_the_case_page_lists_what_no_answer_uses(run: Run, typed: Typing) -> None:
    path = typed("kept-page", [OPENING], [["note", "keeper is away"]])
    text = run("case", "show", str(path)).out
    assert "Kept, not used by any answer" in text
    assert "entry 2, note: text" in text
    kept = run("case", "show", str(path), "--json").answer["kept"]
    assert {"entry": 2, "kind": "note", "fields": ["text"]} in kept


def test_what_was_taken_back_is_no_longer_listed(run: Run, typed: Typing) -> None:
    path = typed("kept-void", [OPENING], [["note", "keeper is away"]])
    assert run("case", "add", str(path), "--void", "2", "--reason", "wrong case").code == 0
    kept = run("case", "show", str(path), "--json").answer["kept"]
    assert [row["entry"] for row in kept] == [1]


def test_the_reference_page_publishes_the_list() -> None:
    page = entries_page()
    for kind in CATALOGUE.typed:
        for field in idle_fields(kind.name):
            part = page.split(f"{kind.help}\n")[1].split("\n## ")[0]
            assert f"`{field}`" in part.split("Kept, not used by any answer: ")[1].split("\n")[0]
