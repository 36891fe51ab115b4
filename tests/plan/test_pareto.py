"""A course stays in view unless another is as good in every respect and better in one."""

from __future__ import annotations

from tankside.plan.pareto import unbeaten


def test_a_course_worse_in_everything_is_marked() -> None:
    assert unbeaten([(1, 1), (2, 2)]) == (True, False)


def test_two_courses_that_each_win_once_both_stay() -> None:
    assert unbeaten([(1, 3), (3, 1)]) == (True, True)


def test_equal_courses_both_stay() -> None:
    assert unbeaten([(1, 1), (1, 1)]) == (True, True)
