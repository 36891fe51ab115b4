"""What was really done of a course: missed, done twice, another amount, by number or by words."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.services.salt_case import PRESENT, SALT_HOURS, Row, salt_case

from tankside.course.actions import SaltTo, Siphon
from tankside.course.actions.happened import Happened
from tankside.course.bodies.effects import AgentUnknown
from tankside.intake.bodies_of_water import courses_of
from tankside.intake.clock import VARIABLE
from tankside.intake.course_as_done import CourseAsDone, steps
from tankside.intake.course_steps import followed_steps
from tankside.intake.follow_setup import FollowRequest, follow_setup
from tankside.library import load
from tankside.records.case_file import read_case
from tankside.services import cases

SECOND, SECOND_NAME = 2, "A1-1"
"""Place of the second salt step in the course, the carbon being step 0, and its name."""
ASKED: Row = ("note", "on=2026-05-08T12:00", "looked in")


def done(folder: Path, *rows: Row) -> CourseAsDone:
    view = read_case(salt_case(folder, *rows, ASKED)).view()
    past = follow_setup(view, FollowRequest()).course_as_done
    assert past is not None
    return past


def salts(past: CourseAsDone) -> list[tuple[int, float]]:
    return [(a.at_h, round(a.to_g_l, 3)) for a in past.done if isinstance(a, SaltTo)]


def test_a_step_nobody_told_of_is_taken_as_done(tmp_path: Path) -> None:
    past = done(tmp_path)
    assert past.marks == {}
    assert salts(past) == [(18, 0.667), (42, 1.333), (66, 2.0)]


def test_a_step_is_found_by_its_words_and_the_nearest_time(tmp_path: Path) -> None:
    past = done(tmp_path, ("not-done", "action=salt", "on=2026-05-05T20:00", "reason=away"))
    assert past.marks == {SECOND: Happened.MISSED}
    assert [hour for hour, _ in salts(past)] == [18, 66]
    (tmp_path / "s").mkdir()
    later: Row = ("not-done", "action=salt", "on=2026-05-06T10:00", "reason=away")  # hour 58
    assert done(tmp_path / "s", later).marks == {SECOND + 1: Happened.MISSED}


def test_a_step_is_found_by_its_name_whatever_the_words(tmp_path: Path) -> None:
    past = done(tmp_path, ("not-done", "action=the white stuff", f"step={SECOND_NAME}",
                           "on=2026-05-07T20:00", "reason=away"))  # fmt: skip
    assert past.marks == {SECOND: Happened.MISSED}


def test_words_that_fit_no_step_within_a_day_mark_nothing(tmp_path: Path) -> None:
    past = done(tmp_path, ("not-done", "action=warm", "on=2026-05-05T20:00", "reason=away"))
    assert past.marks == {}
    late: Row = ("not-done", "action=carbon", "on=2026-05-07T20:00", "reason=away")
    (tmp_path / "s").mkdir()
    assert done(tmp_path / "s", late).marks == {}


def salt_g(past: CourseAsDone) -> dict[int, float]:
    """Return what was logged of each salt step by its hour [g], where it was not as planned."""
    return {
        step.action.at_h: step.lived.mg / 1000
        for step in past.took_place
        if isinstance(step.action, SaltTo) and step.lived and step.lived.mg is not None
    }


def test_a_step_done_twice_takes_place_twice(tmp_path: Path) -> None:
    row: Row = ("done", "action=salt", f"step={SECOND_NAME}", "on=2026-05-05T18:00")
    past = done(tmp_path, row, (*row, "again=yes"))
    assert past.marks == {SECOND: Happened.TWICE}
    (times,) = [s.lived.times for s in past.took_place if s.action.at_h == 42 and s.lived]
    assert times == 2


def test_a_number_in_an_older_file_still_names_the_step(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files of before hold the place of the step as ``index``."""
    file = salt_case(tmp_path)
    old = {"kind": "action_done", "action": "the white stuff", "state": "not_done",
           "index": SECOND, "occurred_at": "2026-05-07T20:00+00:00"}  # fmt: skip
    monkeypatch.setenv(VARIABLE, PRESENT)
    cases.add_fields(file, [old], by="t")
    past = follow_setup(read_case(file).view(), FollowRequest(on="2026-05-08")).course_as_done
    assert past is not None
    assert past.marks == {SECOND: Happened.MISSED}


def test_a_step_told_once_as_done_is_done(tmp_path: Path) -> None:
    past = done(tmp_path, ("done", "action=salt", f"step={SECOND_NAME}", "on=2026-05-05T18:00"))
    assert past.marks == {SECOND: Happened.DONE}
    assert len(salts(past)) == len(SALT_HOURS)


def test_a_step_of_which_nobody_knows_did_not_take_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = salt_case(tmp_path)
    not_known = {"kind": "action_done", "action": "salt", "state": "keeper_does_not_know",
                 "index": SECOND, "occurred_at": "2026-05-05T18:00+00:00"}  # fmt: skip
    monkeypatch.setenv(VARIABLE, PRESENT)
    cases.add_fields(file, [not_known], by="t")
    past = follow_setup(read_case(file).view(), FollowRequest(on="2026-05-08")).course_as_done
    assert past is not None
    assert past.marks == {SECOND: Happened.NOT_KNOWN}
    assert [hour for hour, _ in salts(past)] == [18, 66]


def test_another_amount_is_what_went_in(tmp_path: Path) -> None:
    past = done(tmp_path, ("other-amount", "action=salt", "step=A0-2", "amount=53.5 g",
                           "on=2026-05-04T18:00"))  # fmt: skip
    assert past.marks == {1: Happened.OTHER_AMOUNT}
    assert salt_g(past) == {18: 53.5}


def test_an_amount_under_another_form_counts_as_the_active(tmp_path: Path) -> None:
    past = done(tmp_path, ("other-amount", "action=salt", "agent=NaCl", "step=A0-2",
                           "amount=53.5 g", "on=2026-05-04T18:00"))  # fmt: skip
    assert salt_g(past) == {18: 53.5}


def test_other_litres_replace_those_of_a_change(tmp_path: Path) -> None:
    past = done(tmp_path, ("other-amount", "action=siphon", "changed=12 L",
                           "on=2026-05-07T18:00"))  # fmt: skip
    litres = [
        step.lived.litres
        for step in past.took_place
        if isinstance(step.action, Siphon) and step.lived
    ]
    assert litres == [12]


def test_an_amount_in_another_kind_of_unit_is_not_known(tmp_path: Path) -> None:
    """50 mL of salt hide how much it was: none of it is counted as sure, all may be there."""
    past = done(tmp_path, ("other-amount", "action=salt", "step=A0-2", "amount=50 mL",
                           "on=2026-05-04T18:00"))  # fmt: skip
    assert salt_g(past) == {18: 0}
    setup = follow_setup(read_case(tmp_path / "weir.jsonl").view(), FollowRequest(on="2026-05-08"))
    (main,) = courses_of(setup.view, setup.case.facts)
    unknown = [e for _, e in main.course.lived.logged if isinstance(e, AgentUnknown)]
    assert [effect.agent for effect in unknown] == ["sodium_chloride"]


def test_carbon_is_in_or_out_as_the_last_step_left_it(tmp_path: Path) -> None:
    assert done(tmp_path).carbon_in is False
    (tmp_path / "s").mkdir()
    left_in: Row = ("not-done", "action=carbon", "on=2026-05-04T18:00", "reason=forgotten")
    assert done(tmp_path / "s", left_in).carbon_in is None


def test_only_steps_that_put_something_in_are_redated(tmp_path: Path) -> None:
    view = read_case(salt_case(tmp_path)).view()
    (course,) = followed_steps(view, load())
    marked = steps(course, {SECOND: Happened.MISSED}, 0, 48)
    assert [(step.index, step.hour, step.happened) for step in marked] == [
        (1, 18, Happened.DONE), (2, 42, Happened.MISSED), (3, 66, None),
    ]  # fmt: skip
