"""A course stays in view unless another is as good in every respect and better in one."""

from __future__ import annotations

from tankside.plan.pareto import unbeaten


def test_a_course_worse_in_everything_is_marked() -> None:
    assert unbeaten([(1, 1), (2, 2)]) == (True, False)


def test_two_courses_that_each_win_once_both_stay() -> None:
    assert unbeaten([(1, 3), (3, 1)]) == (True, True)


def test_equal_courses_both_stay() -> None:
    assert unbeaten([(1, 1), (1, 1)]) == (True, True)


def test_a_course_as_good_everywhere_but_once_is_beaten() -> None:
    assert unbeaten([(1, 2, 3), (1, 2, 4)]) == (True, False)


def test_it_takes_one_other_course_to_beat_it_not_several_together() -> None:
    """(2, 2) is beaten by neither: one is worse in the second respect, the other in the first."""
    assert unbeaten([(1, 3), (3, 1), (2, 2)]) == (True, True, True)
    assert unbeaten([(1, 3), (3, 1), (2, 2), (2, 1)]) == (True, False, False, True)


def test_a_course_alone_is_unbeaten_and_none_is_none() -> None:
    assert unbeaten([(5, 5)]) == (True,)
    assert unbeaten([]) == ()
