"""Steps missed or done twice: new dates, and never a doubled dose."""

from __future__ import annotations

import itertools

from hypothesis import given
from hypothesis import strategies as st

from tankside.course.actions.happened import Happened
from tankside.follow import DosingStep, reschedule


def course(*happened: Happened | None) -> list[DosingStep]:
    """One step every 48 h from hour 18."""
    return [DosingStep(n, 18 + 48 * n, what) for n, what in enumerate(happened)]


def test_a_missed_step_is_done_now_once_and_the_rest_moves_with_it() -> None:
    new = reschedule(course(Happened.DONE, Happened.MISSED, None, None), now_h=66 + 24)
    assert new.hours == {1: 90, 2: 114 + 24, 3: 162 + 24}
    assert new.later_h == 24
    assert any("Nothing is doubled" in words for words in new.words)


def test_a_step_a_few_hours_late_is_due_now_and_moves_no_other() -> None:
    new = reschedule(course(Happened.DONE, Happened.MISSED, None), now_h=66 + 5)
    assert new.later_h == 0
    assert new.hours == {1: 71, 2: 114}
    assert "due" in new.words[0]


def test_a_step_done_twice_makes_the_next_one_drop_out() -> None:
    new = reschedule(course(Happened.TWICE, None, None), now_h=20)
    assert new.dropped == (1,)
    assert new.hours == {2: 114}
    assert any("leave out the next one" in words for words in new.words)


def test_an_unknown_amount_asks_for_a_measurement_and_moves_nothing() -> None:
    new = reschedule(course(Happened.NOT_KNOWN, None), now_h=20)
    assert new.hours == {1: 66}
    assert any("measure the strength" in words for words in new.words)


def test_nothing_to_mend_changes_nothing() -> None:
    new = reschedule(course(Happened.DONE, None, None), now_h=20)
    assert (new.hours, new.dropped, new.later_h, new.words) == ({1: 66, 2: 114}, (), 0, ())


PAST = st.sampled_from([Happened.DONE, Happened.MISSED, Happened.TWICE, Happened.OTHER_AMOUNT])


@given(st.lists(PAST, min_size=1, max_size=6), st.integers(1, 5), st.integers(0, 100))
def test_no_two_steps_ever_fall_closer_together_than_planned(
    past: list[Happened], ahead: int, late: int
) -> None:
    steps = course(*past, *([None] * ahead))
    now = steps[len(past) - 1].hour + late
    hours = sorted(reschedule(steps, now).hours.values())
    assert all(later - earlier >= 36 for earlier, later in itertools.pairwise(hours))
    assert len(hours) <= ahead + 1


def test_a_delay_is_whole_days_from_half_a_day_late_on() -> None:
    # Planned at hour 66. Half a day late is still that day's step; then each begun day counts.
    for late, days in ((12, 0), (13, 1), (36, 1), (37, 2), (60, 2), (61, 3)):
        new = reschedule(course(Happened.DONE, Happened.MISSED, None), now_h=66 + late)
        assert new.later_h == 24 * days, late


def test_only_the_last_of_several_missed_steps_is_made_good() -> None:
    new = reschedule(course(Happened.MISSED, Happened.MISSED, None), now_h=66 + 24)
    assert new.hours == {1: 90, 2: 114 + 24}
    assert len(new.words) == 1


def test_a_missed_step_after_which_another_was_done_moves_nothing() -> None:
    for later in (Happened.DONE, Happened.TWICE):
        new = reschedule(course(Happened.MISSED, later, None, None), now_h=66 + 40)
        assert new.later_h == 0
        assert 0 not in new.hours
    (words,) = reschedule(course(Happened.MISSED, Happened.DONE, None), now_h=106).words
    assert "was missed" in words
    assert "not caught up" in words


def test_a_step_missed_after_one_done_still_counts_as_missed() -> None:
    new = reschedule(course(Happened.DONE, Happened.MISSED), now_h=66 + 24)
    assert new.hours == {1: 90}


def test_two_steps_done_twice_drop_two_and_none_is_dropped_that_is_not_there() -> None:
    new = reschedule(course(Happened.TWICE, Happened.TWICE, None, None, None), now_h=70)
    assert (new.dropped, new.hours) == ((2, 3), {4: 210})
    last = reschedule(course(Happened.DONE, Happened.TWICE), now_h=70)
    assert (last.dropped, last.hours) == ((), {})
    assert len(last.words) == 1


def test_another_amount_asks_for_a_measurement_once_however_often_it_was() -> None:
    new = reschedule(course(Happened.OTHER_AMOUNT, Happened.NOT_KNOWN, None), now_h=70)
    assert (new.hours, new.dropped, new.later_h) == ({2: 114}, (), 0)
    assert len(new.words) == 1
    single = reschedule(course(Happened.OTHER_AMOUNT, None), now_h=20)
    assert "measure the strength" in single.words[0]


def test_a_step_is_dropped_by_its_hour_whatever_its_place_in_the_course() -> None:
    twice = DosingStep(3, 18, Happened.TWICE)
    new = reschedule([twice, DosingStep(0, 114), DosingStep(1, 66)], now_h=20)
    assert (new.dropped, new.hours) == ((1,), {0: 114})
    assert reschedule([twice, DosingStep(0, 66)], now_h=20).dropped == (0,)
