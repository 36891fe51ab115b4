from __future__ import annotations

import pytest

from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose import (
    nitrogen_answers,
    oxygen_answers,
    sample_weight,
    temperature_answers,
)


@pytest.mark.parametrize(
    ("low", "high", "bands"),
    [
        (25.0, 26.0, {"above_22"}),
        (9.5, 13.5, {"below_15"}),
        (14.0, 16.0, {"below_15", "15_to_22"}),
        (13.0, 24.0, {"below_15", "15_to_22", "above_22"}),
        (18.0, 18.0, {"15_to_22"}),
    ],
)
def test_a_daily_swing_touches_several_bands(
    facts: DiagnosisFacts, low: float, high: float, bands: set[str]
) -> None:
    assert temperature_answers(facts, low, high) == bands


def nitrogen(
    facts: DiagnosisFacts,
    toxic: float | None,
    total: float | None,
    nitrite: float | None,
    sea: bool = False,
) -> frozenset[str] | None:
    return nitrogen_answers(
        facts, toxic_ammonia_mg_l_n=toxic, total_ammonia_mg_l_n=total, nitrite_mg_l_n=nitrite,
        sea_water=sea,
    )  # fmt: skip


def test_nothing_measured_is_not_safe(facts: DiagnosisFacts) -> None:
    assert nitrogen(facts, None, None, None) is None


def test_the_worse_reading_decides(facts: DiagnosisFacts) -> None:
    assert nitrogen(facts, 0.005, 0.1, 0.0) == {"safe"}
    assert nitrogen(facts, 0.027, 1.2, 0.8) == {"raised"}
    assert nitrogen(facts, 0.005, 0.1, 2.0) == {"dangerous"}


def test_a_missing_reading_can_only_make_it_worse(facts: DiagnosisFacts) -> None:
    assert nitrogen(facts, 0.005, 0.1, None) == {"safe", "raised", "dangerous"}
    assert nitrogen(facts, None, 1.2, 0.0) == {"raised", "dangerous"}


def test_nitrite_is_not_judged_in_the_sea(facts: DiagnosisFacts) -> None:
    assert nitrogen(facts, 0.001, 0.05, 2.0, sea=True) == {"safe"}


def test_much_total_ammonia_of_which_little_is_toxic_counts_as_raised(
    facts: DiagnosisFacts,
) -> None:
    assert nitrogen(facts, 0.002, 1.0, 0.0) == {"raised"}


@pytest.mark.parametrize(
    ("share", "answer"),
    [(0.4, "low"), (0.85, "adequate"), (1.0, "adequate"), (1.25, "supersaturated")],
)
def test_oxygen_by_its_share_of_saturation(
    facts: DiagnosisFacts, share: float, answer: str
) -> None:
    assert oxygen_answers(facts, share) == {answer}


def test_late_invaders_lose_weight_with_hours_since_death_when_present(
    facts: DiagnosisFacts,
) -> None:
    def weight(answer: str, dead_h: float | None) -> float:
        return sample_weight(facts, "m_pear_ciliate", {answer}, dead_h=dead_h, slide_min=None)

    assert weight("surface_only", None) == weight("surface_only", 0.3) == 1
    assert 0 < weight("surface_only", 6) < weight("surface_only", 3) < 1
    assert weight("none", 6) == 1


def test_moving_organisms_lose_weight_when_absent_from_an_old_slide(facts: DiagnosisFacts) -> None:
    def weight(answer: str, minutes: float) -> float:
        return sample_weight(facts, "m_flat_heart", {answer}, dead_h=None, slide_min=minutes)

    assert weight("none", 5) == 1
    assert weight("none", 45) < 1
    assert weight("many", 45) == 1


def test_a_finding_that_does_not_spoil_keeps_its_weight(facts: DiagnosisFacts) -> None:
    assert sample_weight(facts, "flashing", {"none"}, dead_h=10, slide_min=100) == 1
