"""A course put together by hand: made of the parts every course has, refused where it cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankside import library
from tankside.course.actions import Dose, SaltTo, Siphon, StrengthTest, Titrate, Transfer, Warm
from tankside.errors import BadInput
from tankside.intake.built_course import KINDS, built_course
from tankside.intake.plan_setup import Ready
from tankside.plan import Candidate, Lever, propose, read_levers
from tankside.report.built_form import FIELDS, NAMES, step_line

from .test_plan_setup import ELM, FERN, READING, typed


@pytest.fixture(scope="module")
def elm(tmp_path_factory: pytest.TempPathFactory) -> Ready:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", "2026-10-31T18:00+00:00")
        rows = [*ELM, ("water", READING)]
        return typed(tmp_path_factory.mktemp("elm"), "elm", "2026-10-31", rows)


@pytest.fixture(scope="module")
def fern(tmp_path_factory: pytest.TempPathFactory) -> Ready:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", "2026-10-31T18:00+00:00")
        return typed(tmp_path_factory.mktemp("fern"), "fern", "2026-10-31", FERN)


def built(case: Ready, *lines: str, days: str = "20") -> Candidate:
    facts = library.load()
    return built_course(facts, case.trial.situation, read_levers(facts), lines, days)


def test_salt_is_the_salt_of_the_courses_that_are_proposed(elm: Ready) -> None:
    """The same steps, hours and words: nothing is worked out a second time."""
    (by_hand,) = (p for p in built(elm, 'salt "to=2 g/L"').parts if p.lever is Lever.SALT)
    proposed = propose(elm.trial.situation, read_levers(library.load()))
    salted = {p.words: p for c in proposed for p in c.parts if p.lever is Lever.SALT}
    assert by_hand == salted[by_hand.words]
    assert [step.to_g_l for step in by_hand.actions if isinstance(step, SaltTo)] == [1.0, 2.0]


def test_a_step_is_repeated_at_its_interval_from_its_day(elm: Ready) -> None:
    """Day 3, every 2 days, 4 times: 48, 96, 144 and 192 h after the first hour of work."""
    course = built(elm, 'siphon "litres=40 L" day=3 every=2 times=4')
    first = elm.trial.situation.first_h
    hours = [a.at_h - first for a in course.parts[0].actions if isinstance(a, Siphon)]
    assert hours == [48, 96, 144, 192]
    assert course.parts[0].words == "bottom siphoned every 2 days, 4 times from day 3 with 40 L"


def test_without_a_number_it_goes_on_to_the_end_and_without_an_interval_once(elm: Ready) -> None:
    daily = built(elm, 'change "litres=40 L" every=1', days="6").parts[0].actions
    assert len(daily) == 6
    assert len(built(elm, 'change "litres=40 L"').parts[0].actions) == 1


def test_a_medicine_stands_at_the_strength_that_was_typed_on_its_own_basis(elm: Ready) -> None:
    (part, *_) = built(elm, "dose agent=formalin 'strength=15 mg/L' every=3 times=3").parts
    doses = [step for step in part.actions if isinstance(step, Dose)]
    assert [step.strength_mg_l for step in doses] == [15.0] * 3
    assert doses[1].at_h - doses[0].at_h == 72


def test_copper_is_brought_to_strength_by_test_in_sea_water(elm: Ready) -> None:
    """In sea water it is given by test; the tests come with it, as in every proposed course."""
    facts, here = library.load(), elm.trial.situation
    sea = replace(here, systems=tuple(replace(body, water="marine") for body in here.systems))
    line = "dose agent=copper_sulphate 'strength=0.2 mg/L as Cu'"
    course = built_course(facts, sea, read_levers(facts), [line], "30")
    kinds = {type(step) for part in course.parts for step in part.actions}
    assert {Titrate, StrengthTest} <= kinds
    assert Dose not in kinds


def test_fish_are_moved_to_another_water_of_the_case_and_counted_there(fern: Ready) -> None:
    course = built(fern, "move to=box", 'salt "to=1 g/L" in=box')
    moved = [a for a in course.parts[0].actions if isinstance(a, Transfer)]
    assert {step.to_body for step in moved} == {"box"}
    assert {a.body for p in course.parts if p.lever is Lever.CHECK for a in p.actions} == {"box"}
    assert course.moves_fish_out


def test_warming_goes_at_the_usual_speed_and_cooling_is_called_so(elm: Ready) -> None:
    part = built(elm, 'warm "to=22 C"').parts[0]
    (step,) = part.actions
    assert isinstance(step, Warm)
    assert step.per_day_c == read_levers(library.load()).warm_per_day_c
    assert part.words == "cooled to 22 C"


@pytest.mark.parametrize(
    ("line", "field"),
    [
        ("sing", "step"),
        ("salt", "to"),
        ('salt "to=2 g/L" every=2', "step"),
        ('siphon "litres=40 L" every=two', "every"),
        ('siphon "litres=40 L" every=0', "every"),
        ('siphon "litres=40 L" day=99', "day"),
        ('siphon "litres=40 L" in=bucket', "in"),
        ("move to=nowhere", "to"),
        ("siphon litres", "step"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_field(elm: Ready, line: str, field: str) -> None:
    with pytest.raises(BadInput) as refused:
        built(elm, line)
    assert (refused.value.code, refused.value.field) == ("E-PLAN-11", field)


def test_every_kind_of_step_has_its_words_and_every_box_its_label() -> None:
    assert list(NAMES) == list(KINDS)
    assert {name for kind in KINDS.values() for name in kind.fields} <= set(FIELDS)


def test_a_form_writes_the_line_that_is_read(elm: Ready) -> None:
    line = step_line("siphon", {"litres": "40 L", "every": "2", "times": "", "day": " "})
    assert line == "siphon 'litres=40 L' every=2"
    assert built(elm, line).parts[0] == built(elm, 'siphon "litres=40 L" every=2').parts[0]
