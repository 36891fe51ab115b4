"""How long a tank stands without fish, from what is advised and what the stages last."""

from __future__ import annotations

import pytest

from tankside.intake.fishless import fishless_time
from tankside.library import load

FACTS = load()


def days(organism: str, temperature_c: float | None) -> tuple[int | None, int | None]:
    time = fishless_time(FACTS, FACTS.organisms[organism], temperature_c)
    return time.least_d, time.most_d


@pytest.mark.parametrize("temperature_c", [25.0, None])
def test_weeks_in_print_stand_where_they_are_longer_than_the_stages(
    temperature_c: float | None,
) -> None:
    """6 to 12 weeks for marine velvet, 6 to 11 for marine white spot (common practice)."""
    assert days("amyloodinium_ocellatum", temperature_c) == (42, 84)
    assert days("cryptocaryon_irritans", temperature_c) == (42, 77)


def test_cold_water_is_never_told_less_than_its_stages_last() -> None:
    """At 8 C the slow end on the bottom alone is over a week: 7 days would be too short."""
    warm, cold = days("ichthyophthirius_multifiliis", 24.0), days("ichthyophthirius_multifiliis", 6)
    assert warm == (7, 14)
    assert cold[0] is not None
    assert cold[0] > 7


def test_where_nothing_develops_no_time_is_told() -> None:
    """Velvet has no development at or below 8 C on file: its cysts may wait."""
    assert days("amyloodinium_ocellatum", 7.0) == (None, None)
    words = fishless_time(FACTS, FACTS.organisms["amyloodinium_ocellatum"], 7.0).words
    assert "does not develop and may wait" in words


def test_where_nobody_advises_the_stages_alone_are_told_and_that_no_margin_is_in_it() -> None:
    time = fishless_time(FACTS, FACTS.organisms["piscinoodinium_pillulare"], 25.0)
    assert time.least_d is not None
    assert time.most_d is None
    assert "No advised time is on file" in time.words
