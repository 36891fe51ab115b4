"""Steps missed or done twice: new dates, and never a doubled dose."""

from __future__ import annotations

import itertools

from hypothesis import given
from hypothesis import strategies as st

from tankside.follow import Happened, Step, reschedule


def course(*happened: Happened | None) -> list[Step]:
    """One step every 48 h from hour 18."""
    return [Step(n, 18 + 48 * n, what) for n, what in enumerate(happened)]


def test_a_missed_step_is_done_now_once_and_the_rest_moves_with_it() -> None:
    new = reschedule(course(Happened.DONE, Happened.MISSED, None, None), now_h=66 + 24)
    assert new.hours == {1: 90, 2: 114 + 24, 3: 162 + 24}
    assert new.later_h == 24
    assert any("Nothing is doubled" in words for words in new.words)


def test_a_step_a_few_hours_late_moves_nothing() -> None:
    new = reschedule(course(Happened.DONE, Happened.MISSED, None), now_h=66 + 5)
    assert new.later_h == 0
    assert new.hours == {2: 114}


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
