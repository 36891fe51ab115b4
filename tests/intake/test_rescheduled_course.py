"""A missed or doubled step re-dates the course: never a second dose to catch up."""

from __future__ import annotations

from tankside.course import Course
from tankside.course.actions import Count, Dose, WaterChange
from tankside.follow import Rescheduled
from tankside.intake.course_as_done import rescheduled_course
from tankside.intake.course_codec import decode_course, encode_course

COURSE = Course(
    "dye every second day",
    7,
    (
        Dose(18, "main", "malachite_green", 0.05),
        Dose(66, "main", "malachite_green", 0.05),
        WaterChange(90, "main", 40.0),
        Dose(114, "main", "malachite_green", 0.05),
        Count(130, "main", "tetra"),
    ),
)


def doses(course: Course) -> list[int]:
    return [action.at_h for action in course.actions if action.kind == "dose"]


def test_a_missed_dose_is_given_once_now_and_all_later_steps_move() -> None:
    new = Rescheduled({1: 94, 3: 138}, (), 24, ("missed",))
    course = rescheduled_course(COURSE, new, shift_h=0, now_h=94)
    assert doses(course) == [18, 94, 138]
    assert len(doses(course)) == len(doses(COURSE))
    assert [a.at_h for a in course.actions if a.kind == "count"] == [154]
    assert course.days == 8


def test_a_doubled_dose_drops_the_next_one() -> None:
    course = rescheduled_course(
        COURSE, Rescheduled({3: 114}, (1,), 0, ("twice",)), shift_h=0, now_h=20
    )
    assert doses(course) == [18, 114]
    assert course.days == 7


def test_strengths_are_never_raised() -> None:
    new = Rescheduled({1: 94, 3: 138}, (), 24, ("missed",))
    course = rescheduled_course(COURSE, new, shift_h=0, now_h=94)
    strengths = {action.strength_mg_l for action in course.actions if isinstance(action, Dose)}
    assert strengths == {0.05}


def test_the_schedule_survives_the_case_file() -> None:
    course, labels = decode_course(encode_course(COURSE, {}))
    assert (course, labels) == (COURSE, {})
