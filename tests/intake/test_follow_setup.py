"""A case at the hour it is asked: what was done, what lies ahead, what a stop would mean."""

from __future__ import annotations

from math import ceil
from pathlib import Path

import pytest
from tests.services.salt_case import COUNT_HOUR, SALT_HOURS, SIPHON_HOURS, Row, salt_case

from tankside.course import Course
from tankside.course.actions import WaterChange
from tankside.errors import NotPossible
from tankside.intake.follow_setup import (
    FollowRequest,
    FollowSetup,
    course_from,
    end_hour,
    follow_setup,
)
from tankside.records.case_file import read_case

LOOKED_ON_DAY_2: Row = ("count", "on=2026-05-06T20:00", "fish=worst platy", "group=platy",
                        "spots=9")  # fmt: skip
STOP: Row = ("decision", "stop", "on=2026-05-06T19:00", "reason=spots gone")


def setup_of(folder: Path, *rows: Row, on: str | None = None, **more: bool) -> FollowSetup:
    view = read_case(salt_case(folder, *rows, **more)).view()
    return follow_setup(view, FollowRequest(on=on))


def hours(course: Course, kind: str) -> list[int]:
    return [action.at_h for action in course.actions if action.kind == kind]


def test_hours_count_from_midnight_before_the_course_to_the_last_entry(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, LOOKED_ON_DAY_2)
    assert setup.zero.text.startswith("2026-05-04T00:00")
    assert setup.now_h == 68  # day 2, 20:00
    assert [s.hour for s in setup.seen] == [8, 8, 68]


def test_a_day_without_an_entry_is_asked_about_as_a_whole(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, LOOKED_ON_DAY_2, on="2026-05-05")
    assert setup.now_h == 48
    assert [s.hour for s in setup.seen] == [8, 8]  # a later count is not known on that day


def test_what_lies_behind_is_done_and_the_rest_is_ahead(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, LOOKED_ON_DAY_2)
    course = course_from(setup, 12, going_on=True)
    assert course.name == "salt to 2 g/L"
    assert hours(course, "salt") == list(SALT_HOURS)
    assert hours(course, "siphon") == list(SIPHON_HOURS)
    assert setup.course_as_done is not None
    assert [action.at_h for action in setup.course_as_done.ahead] == [90, 138, COUNT_HOUR]


def test_steps_after_the_last_day_played_are_left_out(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, LOOKED_ON_DAY_2)
    assert hours(course_from(setup, 5, going_on=True), "siphon") == [90]


def test_a_stop_means_carbon_back_and_changes_that_put_nothing_back(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, LOOKED_ON_DAY_2)
    course = course_from(setup, 12, going_on=False)
    assert course.name == "salt to 2 g/L, stopped"
    assert hours(course, "siphon") == []
    assert hours(course, "carbon") == [18, 68]
    changes = [action for action in course.actions if isinstance(action, WaterChange)]
    assert [change.at_h for change in changes] == [68, 92]  # practice.levers.removal_changes
    assert {(change.litres, change.put_back) for change in changes} == {(40, False)}


def test_after_a_decision_to_stop_nothing_of_the_course_takes_place(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, STOP, LOOKED_ON_DAY_2)
    past = setup.course_as_done
    assert past is not None
    assert (past.stopped_h, past.ahead) == (67, ())
    on, off = (course_from(setup, 12, going_on=go).actions for go in (True, False))
    assert on == off == past.done
    assert max(action.at_h for action in past.done) == 66


def test_no_step_planned_between_the_stop_and_the_question_took_place(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, STOP, ("note", "on=2026-05-08T12:00", "looked in"))
    assert setup.now_h == 108
    assert hours(course_from(setup, 12, going_on=True), "siphon") == []  # one stood at hour 90


def test_a_decision_to_go_on_takes_the_stop_back(tmp_path: Path) -> None:
    go_on: Row = ("decision", "go-on", "on=2026-05-06T19:30", "reason=seen again")
    setup = setup_of(tmp_path, STOP, go_on, LOOKED_ON_DAY_2)
    assert setup.course_as_done is not None
    assert setup.course_as_done.stopped_h is None
    assert setup.course_as_done.ahead


def test_a_missed_step_did_not_take_place_and_moves_what_is_ahead(tmp_path: Path) -> None:
    missed: Row = ("not-done", "action=salt", "on=2026-05-05T18:00", "reason=away")
    late: Row = ("note", "on=2026-05-06T17:00", "back again")
    setup = setup_of(tmp_path, missed, late)
    # Asked at hour 65, 23 h after the step of hour 42: one begun day after half a day's grace.
    assert setup.now_h == 65
    assert setup.rescheduled is not None
    assert setup.rescheduled.later_h == 24
    course = course_from(setup, 12, going_on=True)
    assert 42 not in hours(course, "salt")
    assert hours(course, "salt") == [18, setup.now_h, 66 + 24]
    assert hours(course, "siphon") == [hour + 24 for hour in SIPHON_HOURS]


def test_nothing_is_redated_once_the_course_was_stopped(tmp_path: Path) -> None:
    missed: Row = ("not-done", "action=salt", "on=2026-05-05T18:00", "reason=away")
    setup = setup_of(tmp_path, missed, ("decision", "stop", "on=2026-05-06T17:00", "reason=calm"))
    assert setup.rescheduled is None


def test_without_a_course_only_what_is_there_is_played(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, LOOKED_ON_DAY_2, course=False)
    assert (setup.name, setup.course_as_done, setup.rescheduled) == ("no course", None, None)
    for going_on in (True, False):
        assert course_from(setup, 12, going_on=going_on).actions == ()


def test_a_return_is_waited_for_over_two_slow_cycles_after_the_last_step(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, LOOKED_ON_DAY_2)
    # Slow cycle of white spot at 24.0 C by hand: 140 / (24.0 - 3.1) d on the fish (Noe & Dickerson
    # 1995) and 1.3 x 410 / (24.0 - 3.0) h in the cyst, 7.8 d; twice that, whole days, is 16.
    slow = 140 / (24.0 - 3.1) + 1.3 * 410 / (24.0 - 3.0) / 24
    assert end_hour(setup) == max(SIPHON_HOURS) + 24 * ceil(2 * slow)
    (tmp_path / "s").mkdir()
    stopped = setup_of(tmp_path / "s", STOP)
    assert end_hour(stopped) == stopped.now_h + 24 * ceil(2 * slow)


def test_beginnings_rest_on_the_counts_up_to_the_choice_of_the_course(tmp_path: Path) -> None:
    later: Row = ("count", "on=2026-05-06T20:00", "fish=worst platy", "group=platy", "spots=140")
    setup = setup_of(tmp_path, later)
    (tmp_path / "s").mkdir()
    before = setup_of(tmp_path / "s")
    assert [start.per_fish for start in setup.starts] == [start.per_fish for start in before.starts]
    assert [start.age is None for start in setup.starts] == [True, False, False, False]


def test_without_a_course_the_first_day_looked_at_describes_the_beginning(tmp_path: Path) -> None:
    evening: Row = ("count", "on=2026-05-04T21:00", "fish=worst platy", "group=platy", "spots=28")
    next_day: Row = ("count", "on=2026-05-05T21:00", "fish=worst platy", "group=platy", "spots=140")
    (tmp_path / "s").mkdir()
    first = setup_of(tmp_path, course=False).starts[0].per_fish["platy"]
    more = setup_of(tmp_path / "s", evening, next_day, course=False).starts[0].per_fish["platy"]
    assert more == pytest.approx(tuple(2 * end for end in first))  # 28 spots instead of 14


def test_histories_begin_with_the_stock_before_any_death(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, ("death", "2", "on=2026-05-06T20:00", "group=platy"))
    assert {group.id: group.count for group in setup.case.hosts} == {"platy": 6, "danio": 8}


def test_a_parasite_nobody_knows_is_refused(tmp_path: Path) -> None:
    view = read_case(salt_case(tmp_path)).view()
    with pytest.raises(NotPossible, match="E-FC-02"):
        follow_setup(view, FollowRequest(organism="sea serpent"))
