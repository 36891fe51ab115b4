"""The earliest day of a stop, against the expert's dates of scenarios 1 and 6 (invented cases).

Stays: Noe & Dickerson 1995 for the stay on the fish (K 140 degree-days above 3.1 C, slow end) and
the cyst at +30 % of 410 degree-hours above 3.0 C; the arithmetic is done here by hand.
"""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.follow import DayLooked, Waits, not_before
from tankside.lifecycle import PrintedTail, StageDurations


def slow_cycle_d(temperature_c: float) -> float:
    return 140 / (temperature_c - 3.1) + 1.3 * 410 / (temperature_c - 3.0) / 24


def stage_durations(temperature_c: float, slow_d: float | None = None) -> StageDurations:
    slow = slow_cycle_d(temperature_c) if slow_d is None else slow_d
    return StageDurations(temperature_c, (1, 2, 3), (0.5, 0.7, 1.0), (1.5, 2.7, slow))


def looked(**days: int) -> list[DayLooked]:
    return [DayLooked(int(name[1:]), count > 0) for name, count in days.items()]


COUNTS_TO_D5 = looked(d0=44, d2=61, d3=30, d4=6, d5=0)


def test_slow_cycle_at_25_5_c_is_7_2_days_as_the_expert_says() -> None:
    assert slow_cycle_d(25.5) == pytest.approx(7.2, abs=0.05)


def test_scenario_1_asked_on_day_5_waits_until_day_12() -> None:
    assert not_before(COUNTS_TO_D5, stage_durations(25.5), today=5).day == 12


def test_scenario_1_branch_x_asked_on_day_10_waits_until_day_18() -> None:
    counts = [*COUNTS_TO_D5, *looked(d9=4, d10=75)]
    assert not_before(counts, stage_durations(25.5), today=10).day == 18


def test_scenario_1_branch_y_last_positive_day_7_waits_until_day_15() -> None:
    counts = [*COUNTS_TO_D5, *looked(d7=2, d9=0, d12=0, d14=0)]
    earliest = not_before(counts, stage_durations(25.5), today=14)
    assert (earliest.day, earliest.last_seen) == (15, 7)


def test_scenario_6_at_11_c_waits_21_days_from_day_16() -> None:
    counts = looked(d0=14, d4=16, d8=15, d12=6, d16=2, d20=0, d26=0)
    assert not_before(counts, stage_durations(11.0), today=26).day == 37


def test_counts_after_the_day_asked_are_not_used() -> None:
    counts = [*COUNTS_TO_D5, *looked(d7=2)]
    assert not_before(counts, stage_durations(25.5), today=5).day == 12


def test_nothing_ever_seen_gives_no_date() -> None:
    earliest = not_before(looked(d0=0, d2=0), stage_durations(25.5), today=2)
    assert earliest.day is None
    assert "no date" in earliest.words


def test_too_cold_to_develop_gives_no_date_and_says_why() -> None:
    earliest = not_before(looked(d0=5), stage_durations(2.0, float("inf")), today=1)
    assert earliest.day is None
    assert "does not develop" in earliest.words


def test_the_words_say_what_the_date_leaves_out() -> None:
    words = not_before(COUNTS_TO_D5, stage_durations(25.5), today=5).words
    for part in ("Settling", "free life", "until anything shows", "cannot yet see"):
        assert part in words


@given(
    st.lists(st.tuples(st.integers(0, 60), st.booleans()), max_size=20),
    st.floats(0.1, 60),
    st.integers(0, 60),
)
def test_a_positive_count_never_brings_the_date_nearer(
    days: list[tuple[int, bool]], slow: float, today: int
) -> None:
    before = not_before([DayLooked(*look) for look in days], stage_durations(20, slow), today)
    more = [DayLooked(*look) for look in days] + [DayLooked(today, True)]
    after = not_before(more, stage_durations(20, slow), today)
    assert after.day == today + ceil(slow)
    assert before.day is None or after.day >= before.day


def test_the_date_is_the_latest_of_those_named_and_each_is_named() -> None:
    """Last seen on day 4: cycle 7.2 d to day 12, tail 20 d to day 24, a week to day 11."""
    waits = Waits(7, PrintedTail(20.0, "the longest in print is 20 days"), course_ends=15)
    earliest = not_before(COUNTS_TO_D5, stage_durations(25.5), 5, waits)
    assert earliest.day == 24
    assert [named.day for named in earliest.dates] == [24, 12, 11]
    assert all(named.words in earliest.words for named in earliest.dates)
    assert "goes on to day 15" in earliest.words


@given(st.integers(0, 30), st.floats(0.1, 100), st.integers(0, 60))
def test_one_more_thing_to_wait_for_never_brings_the_date_nearer(
    house: int, tail: float, ends: int
) -> None:
    plain = not_before(COUNTS_TO_D5, stage_durations(25.5), 5)
    waits = Waits(house, PrintedTail(tail, "tail"), ends)
    more = not_before(COUNTS_TO_D5, stage_durations(25.5), 5, waits)
    assert more.day == max(12, 4 + house, 4 + ceil(tail))
    assert (more.day or 0) >= (plain.day or 0)
