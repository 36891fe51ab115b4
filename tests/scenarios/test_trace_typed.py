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
from tests.scenarios.ash_court import (
    AFTER,
    ASKED,
    BEFORE,
    DAY_0,
    NOTHING_BESIDE,
    NOW,
    OPENING,
    PLAN,
    POOL,
    TRIED,
    Together,
)
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
    """Return the case with one entry as it stands now; None where that cannot be."""
    try:
        stated = {name: value for name, value in fields.items() if value is not None}
        case = tuple(entry_from(stated) if old.id == stated["id"] else old for old in entries)
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


def planned(asked: Told) -> object:
    made = ready(asked.view, load(), PlanRequest(on=DAY_0))
    trial = made.trial
    return trial.situation, trial.labels, trial.hosts, trial.start, trial.seed, made.case.questions


def followed(asked: Told) -> object:
    setup = follow_setup(asked.view, FollowRequest())
    trial, main = setup.trial, setup.case.main
    return (setup.zero, setup.now_h, setup.seen, setup.course_as_done, setup.rescheduled,
            setup.starts, setup.at_strength, trial.situation, trial.hosts, trial.seed,
            group_counts(setup.looked, setup.case.hosts), looks(setup.looked, setup.zero),
            failure_clues(asked.view, main, setup.course_as_done),
            deaths_lately(setup.looked, setup.day))  # fmt: skip


def warned(asked: Told) -> object:
    return reading_warnings(asked.view, load(), asked.view.last_moment())


def ranked(asked: Told) -> object:
    view, tables = asked.view, compile_tables(load_diagnosis())
    ranking = rank(tables, evidence_of(view))
    waters = (None, *(("box",) if "box" in view.systems else ()))
    return (
        [(name, ranking.of(name)) for name in ranking.order()],
        [evidence_of(view, water) for water in waters],
        own_idea(view),
        confirmed(view),
        to_be_asked(view, load()),
    )


def typed_so_far(asked: Told) -> object:
    for number, entry in enumerate(asked.entries, 1):
        if entry.kind == "action_done":
            refuse_unfit(asked.entries[:number])
    return "nothing refused"


RECKONED: tuple[Callable[[Told], object], ...] = (
    lambda asked: asked.view.not_asked,
    planned,
    followed,
    warned,
    ranked,
    typed_so_far,
    lambda asked: [amount_line(amount) for amount in amounts_asked(asked.entries, asked.view)],
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
def hold_cases(run: Run, tmp_path_factory: pytest.TempPathFactory) -> Callable[[Any], Told]:
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
    ash: Path, closed: Path, hold_cases: Callable[[Any], Told], kind: str, field: str
) -> None:
    path = closed if kind == "closed" else ash
    pairs = pairs_of(decode(path.read_bytes()), kind, field)
    assert first_change(hold_cases, pairs) is not None


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
