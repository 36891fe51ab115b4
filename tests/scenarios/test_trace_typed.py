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
from pathlib import Path
from typing import Any

import pytest
from tests.scenarios.conftest import Ran, Typing, chosen

from tankside.case import CATALOGUE, Entry, decode, entry_from, fold, to_object
from tankside.case.entries_page import entries_page
from tankside.case.kept_only import KEPT_ONLY, NOT_USED_YET, RECORD, idle_fields
from tankside.errors import Mistake
from tankside.intake.follow_setup import FollowRequest, follow_setup
from tankside.intake.plan_setup import PlanRequest, ready
from tankside.library import load
from tankside.records.case_file import create_case, read_case
from tankside.report.amount_forms import amount_line
from tankside.services.dose_case import amounts_asked

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
    ["stock", "gold", "name=common goldfish", "count=8", "length=6 cm", "length-to=9 cm",
     "weight=4 g", "system=main", "life-stage=adult", "gill-damage=no", "arrived=2026-08-24",
     "quarantined=no", "note=bought at a show", f"on={DAY_0}T09:00"],
    ["event", "hose left running", "topic=hose", "system=main", "changed=20 L", READ],
    ["event", "evaporated", "topic=top", "system=main", "topped-up=6 L", READ],
    ["finding", "spots_visible=yes", "skin_film=local", "group=gold", "system=main", READ],
    ["water", "system=main", "temperature=24 C", "ph=7.6", "ammonia=0.1 mg/L as N",
     "nitrite=0.1 mg/L as N", "kh=9 dH", "oxygen=7.6 mg/L", "kit=drops", "dawn=no", READ],
    ["wet-mount", "skin-scrape", "group=gold", "alive=yes", "slide-age=5 min", "fields=10",
     "examined=2", "m_big_ciliate=2 crescent", READ],
    ["count", "group=gold", "fish=worst goldfish", "spots=14", SEEN],
    ["count", "group=gold", "spots=mean 6", SEEN],
    ["count", "group=gold", "skin flukes=3 of 4", SEEN],
    ["in-water", "agent=salt", "amount=20 g", "system=main", READ],
    ["label", "agent=salt", "strength=pure", "scale=1 g", "expires=2027-05-01", READ],
    ["label", "agent=formalin", "strength=37 % w/w as formaldehyde", "syringe=0.5 mL",
     "density=1.08 g/mL", READ],
    ["label", "agent=hypochlorite", "strength=12 % w/v as available chlorine",
     "syringe=1 mL", READ],
    ["death", "1", "group=gold", "fish=the big one", "system=main", SEEN],
    ["confirmed", "condition=ich", "shown-by=skin scrape", SEEN],
]  # fmt: skip
PLAN = [
    "--on",
    DAY_0,
    "--only",
    "salt",
    "--strength",
    "salt=1 g/L",
    "--no-warming",
]
AFTER = [
    ["done", "step=A0-1", "system=main", "amount=190 g", "agent=salt", "reason=as said",
     f"on={DAY_0}T18:30"],
    ["dose", "agent=salt", "strength=1.5 g/L", "system=main", "reason=keeper wished it so",
     "on=2026-09-06T09:00"],
    ["done", "agent=salt", "answers=22", "system=main", "on=2026-09-06T09:30"],
    ["count", "group=gold", "fish=worst goldfish", "spots=9", "on=2026-09-08T10:00"],
    ["death", "1", "group=gold", "on=2026-09-08T11:00"],
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
    ["photo", "file=a.jpg", "of=gold", "on=2026-09-09T11:00"],
    ["note", "keeper is away", "on=2026-09-09T12:00"],
]  # fmt: skip
ASKED = [
    ["dose", "--case", "CASE", "--agent", "salt", "--strength", "2 g/L", "--system", "main"],
    ["dose", "--case", "CASE", "--agent", "formalin", "--strength", "0.02 mL/L",
     "--system", "main"],
    ["today", "CASE"],
    ["case", "list", "FOLDER"],
    ["differential", "CASE", "--no-own-idea", "--seed", "5"],
]  # fmt: skip
POOL = ["yes", "no", "box", "brackish", "marine", "keeper_does_not_know", True, 3, 5, "3",
        "2026-09-05T15:00+01:00", "2026-08-30", "2026-09-04", "other", "other words", "2 g/L",
        "DE", "08:30", ["box"], {"value": "7", "unit": "mg/L", "basis": "as N"},
        *({"value": "7", "unit": unit}
          for unit in ("cm", "g", "L", "C", "L/h", "min", "d", "g/mL"))]  # fmt: skip
FILE = re.compile(r"file\s+[0-9a-f]{8}")
"""The print of the case file at the foot of a card, which any change of it changes."""
TEXT_TYPES = {str, types.NoneType}


@pytest.fixture(scope="module")
def ash(typed: Typing, run: Run) -> Iterator[Path]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", NOW)
        path = typed("ash", [OPENING], BEFORE)
        chosen("plan", str(path), *PLAN, number=3)
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


@pytest.fixture(scope="module")
def before(
    run: Run, ash: Path, closed: Path, tmp_path_factory: pytest.TempPathFactory
) -> dict[Path, tuple[str, ...]]:
    """What is answered for each case as it was typed."""
    folder = tmp_path_factory.mktemp("before") / "case"
    return {path: tuple(answers(run, folder, decode(path.read_bytes()))) for path in (ash, closed)}


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
    yield from (value for value in (*literals(annotation), *POOL) if value != now)


def changed(entries: tuple[Entry, ...], kind: str, field: str) -> Iterator[tuple[Entry, ...]]:
    """Yield the case with one field of one entry of a kind changed, where such a case can be."""
    for entry in (entry for entry in entries if entry.kind == kind):
        stated = to_object(entry)
        annotation = type(entry).model_fields[field].annotation
        for value in other_values(annotation, stated.get(field)):
            try:
                new = entry_from(stated | {field: value})
                case = tuple(new if old.id == entry.id else old for old in entries)
                fold(case)
            except Mistake:
                continue
            yield case


def answers(run: Run, folder: Path, entries: tuple[Entry, ...]) -> Iterator[str]:
    """Yield what is answered for a case: what plan and follow-up are reckoned from, then words."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    path = folder / "ash.jsonl"
    create_case(path, entries)
    view = read_case(path).view()
    yield repr(view.not_asked)
    yield reckoned(lambda: planned(view))
    yield reckoned(lambda: followed(view))
    yield reckoned(lambda: [amount_line(amount) for amount in amounts_asked(entries, view)])
    for words in ASKED:
        places = {"CASE": str(path), "FOLDER": str(folder)}
        ran = run(*(places.get(word, word) for word in words), "--json")
        yield FILE.sub("", ran.out + ran.err)


def reckoned(ask: Callable[[], object]) -> str:
    try:
        return repr(ask())
    except Mistake as refused:
        return f"{refused.code} {refused.given}"


def planned(view: Any) -> object:
    made = ready(view, load(), PlanRequest(on=DAY_0, seed=1))
    trial = made.trial
    return trial.situation, trial.labels, trial.hosts, trial.start, made.case.questions


def followed(view: Any) -> object:
    setup = follow_setup(view, FollowRequest(seed=1))
    trial = setup.trial
    return (setup.zero, setup.now_h, setup.seen, setup.course_as_done, setup.rescheduled,
            setup.starts, setup.at_strength, trial.situation, trial.hosts)  # fmt: skip


FIELDS = [
    (kind.name, field)
    for kind in CATALOGUE.kinds
    if kind.name != "correction"
    for field in kind.model.model_fields
    if field not in (*RECORD, *idle_fields(kind.name))
]


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "field"), FIELDS, ids=[".".join(pair) for pair in FIELDS])
def test_a_change_of_each_field_changes_an_answer(
    run: Run,
    ash: Path,
    closed: Path,
    before: dict[Path, tuple[str, ...]],
    tmp_path: Path,
    kind: str,
    field: str,
) -> None:
    path = closed if kind == "closed" else ash
    assert any(
        new != old
        for case in changed(decode(path.read_bytes()), kind, field)
        for old, new in zip(before[path], answers(run, tmp_path / "case", case), strict=True)
    )


def test_what_is_only_kept_is_a_name_words_or_a_remark() -> None:
    for kind, fields in KEPT_ONLY.items():
        model = CATALOGUE.by_name[kind].model
        for field in fields:
            assert set(types_in(model.model_fields[field].annotation)) <= TEXT_TYPES, (kind, field)
            assert not list(literals(model.model_fields[field].annotation)), (kind, field)


def test_no_field_is_listed_twice_and_each_is_declared() -> None:
    for kind in {*KEPT_ONLY, *NOT_USED_YET}:
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
