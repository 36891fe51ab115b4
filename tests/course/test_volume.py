"""Two methods agree, are questioned, or stop every dose (10 % and 25 %)."""

from __future__ import annotations

import pytest

from tankside.course import Agreement, Volume, VolumeRules, compare_volumes, volume_from_methods
from tankside.errors import BadInput

RULES = VolumeRules(0.10, 0.25)


@pytest.mark.parametrize(
    ("first", "second", "agreement"),
    [
        (173, 175, Agreement.AGREE),  # S1, 1 % apart
        (556, 567, Agreement.AGREE),  # S6, 2 % apart
        (404.5, 405, Agreement.AGREE),  # S5: no warning should appear
        (173, 216, Agreement.ASK),  # S1, the label
        (58, 78, Agreement.STOP),  # S4, the label
        (100, 110, Agreement.AGREE),
        (100, 110.1, Agreement.ASK),
        (100, 125, Agreement.ASK),
        (100, 125.1, Agreement.STOP),
        (100, float("nan"), Agreement.STOP),
        (100, float("inf"), Agreement.STOP),
        (100, None, Agreement.ONE_METHOD),
    ],
)
def test_agreement(first: float, second: float | None, agreement: Agreement) -> None:
    assert compare_volumes(first, second, RULES).agreement is agreement
    if second is not None:
        assert compare_volumes(second, first, RULES).agreement is agreement


def test_the_first_method_is_the_point_and_both_bound_it() -> None:
    assert volume_from_methods(173, 175, RULES, "x") == Volume(173, 173, 175, "x")
    assert volume_from_methods(175, 173, RULES, "x") == Volume(175, 173, 175, "x")


def test_one_method_is_marked_weak_and_bracketed() -> None:
    volume = volume_from_methods(100, None, RULES, "tape")
    assert "weak" in volume.how
    assert volume.smaller_l == pytest.approx(100 / 1.1)
    assert volume.larger_l == pytest.approx(110)


def test_too_far_apart_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        volume_from_methods(58, 78, RULES, "x")
    assert refused.value.code == "E-DOSE-21"


@pytest.mark.parametrize(
    "bounds", [(0, 0, 0), (2, 3, 4), (1, float("nan"), 2), (1, 1, float("inf"))]
)
def test_a_volume_that_cannot_be_is_refused(bounds: tuple[float, ...]) -> None:
    point, smaller, larger = bounds
    with pytest.raises(BadInput):
        Volume(point, smaller, larger, "x")
