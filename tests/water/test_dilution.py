"""Dilution, washout, repeated doses, turnover: relations and longhand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside import water
from tankside.errors import BadInput

SHARE = st.floats(0.01, 0.99)


@given(SHARE, st.integers(0, 30))
def test_part_changes_multiply(share: float, times: int) -> None:
    left = 1.0
    for _ in range(times):
        left *= 1 - share
    assert water.left_after_changes(share, float(times)).number == pytest.approx(left, rel=1e-12)


def test_no_change_keeps_and_a_full_change_clears() -> None:
    assert water.left_after_changes(0.0, 5.0).number == 1
    assert water.left_after_changes(1.0, 1.0).number == 0


@given(SHARE, st.floats(0.001, 0.9))
def test_changes_needed_is_the_fewest(share: float, target: float) -> None:
    n = water.changes_needed(share, target)
    assert (1 - share) ** n <= target * (1 + 1e-6)
    assert n == 1 or (1 - share) ** (n - 1) > target * (1 - 1e-6)


def test_a_target_met_exactly_asks_for_no_more() -> None:
    assert water.changes_needed(0.5, 0.25) == 2
    assert water.changes_needed(0.25, 0.421875) == 3
    assert water.changes_needed(1.0, 0.01) == 1


@pytest.mark.parametrize(("share", "left"), [(0.0, 0.5), (1.5, 0.5), (0.5, 0.0), (0.5, 1.0)])
def test_impossible_shares_are_refused(share: float, left: float) -> None:
    with pytest.raises(BadInput):
        water.changes_needed(share, left)


@given(st.floats(0.5, 500), st.floats(0, 500))
def test_decay_halves_in_a_half_life(half_life: float, hours: float) -> None:
    rate = water.decay_rate_per_h(half_life)
    left = water.left_after_flow_and_decay(hours, decay_per_h=rate).number
    assert left == pytest.approx(0.5 ** (hours / half_life), rel=1e-9)


@given(st.floats(0.01, 3), st.floats(0, 48))
def test_what_passed_and_what_is_left_make_one(per_h: float, hours: float) -> None:
    left = water.left_after_flow_and_decay(hours, exchanges_per_h=per_h).number
    assert left + water.share_passed(per_h, hours).number == pytest.approx(1)


def test_three_turnovers_are_95_per_cent_and_9_2_are_99_99() -> None:
    """Rule of the trade: 9.2 turnovers for 99.99 % (dilution law)."""
    assert water.share_passed(1.0, 3.0).number == pytest.approx(0.95, abs=0.0005)
    assert water.share_passed(1.0, 9.2).number == pytest.approx(0.9999, abs=0.000005)


@given(st.floats(0.1, 100), SHARE, st.floats(1, 72), st.floats(5, 500))
def test_repeating_a_dose_many_times_reaches_the_peak(
    dose: float, share: float, interval: float, half_life: float
) -> None:
    strength = 0.0
    for _ in range(4000):
        strength = strength * 0.5 ** (interval / half_life) * (1 - share) + dose
    peak = water.repeated_dose_peak(dose, share, interval, half_life).number
    assert strength == pytest.approx(peak, rel=1e-6)


@given(st.floats(0.1, 100), SHARE, st.floats(1, 72), st.floats(5, 500))
def test_putting_back_what_left_holds_the_strength(
    target: float, share: float, interval: float, half_life: float
) -> None:
    back = water.dose_to_hold(target, share, interval, half_life).number
    left = target * 0.5 ** (interval / half_life) * (1 - share)
    assert left + back == pytest.approx(target, rel=1e-12)


def test_full_redosing_after_a_part_change_overdoses() -> None:
    """25 % changed daily, half-life 36 h: the full dose each day peaks at 1.9 times (M13)."""
    assert water.repeated_dose_peak(1.0, 0.25, 24.0, 36.0).number == pytest.approx(1.9, abs=0.05)


def test_nothing_ever_leaving_has_no_peak() -> None:
    assert math.isinf(water.repeated_dose_peak(1.0, 0.0, 24.0, math.inf).number)
    assert water.dose_to_hold(1.0, 0.0, 24.0, math.inf).number == 0


def test_only_the_new_water_needs_the_agent_again() -> None:
    """Without decay, what is put back is the changed share of the target: 40 L of 173 L, S1."""
    back = water.dose_to_hold(2.0, 40 / 173, 24.0, math.inf).number
    assert back * 173 == pytest.approx(80)


def test_turnover_per_hour() -> None:
    assert float(water.turnovers_per_h(400.0, 200.0)) == 2
    assert np.all(np.diff(water.share_passed(2.0, np.arange(5.0)).values) > 0)
