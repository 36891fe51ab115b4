"""Stage durations against the expert's lines of two invented scenarios and printed figures."""

from __future__ import annotations

from itertools import pairwise
from math import ceil

import pytest
from tests.lifecycle.tanks import white_spot

from tankside import library, lifecycle
from tankside.errors import NotPossible


@pytest.mark.parametrize(
    ("temperature_c", "last_seen", "not_before"),
    [(25.5, 7, 15), (25.5, 4, 12), (25.5, 10, 18), (11.0, 16, 37)],
)
def test_not_before_is_last_seen_plus_the_slow_cycle(
    temperature_c: float, last_seen: int, not_before: int
) -> None:
    # Dates of scenarios S1 and S6, worked by hand by a practitioner.
    slow = lifecycle.stage_durations(white_spot(), temperature_c).cycle[2]
    assert ceil(last_seen + slow) == not_before


def test_windows_in_cold_water_cover_the_printed_ranges() -> None:
    # S6: on the fish 13-18 d, cycle 14-21 d at 11 C.
    durations = lifecycle.stage_durations(white_spot(), 11.0)
    assert [round(day) for day in (durations.on_fish[0], durations.on_fish[2])] == [13, 18]
    assert round(durations.cycle[0]) == 14
    assert ceil(durations.cycle[2]) == 21


def test_stay_passes_through_the_two_published_points() -> None:
    # Noe & Dickerson 1995: 20.4 d at 9 C and 5.5 d at 25 C.
    for temperature_c, days in ((9.0, 20.4), (25.0, 5.5)):
        middle = lifecycle.stage_durations(white_spot(), temperature_c).on_fish[1]
        assert middle == pytest.approx(days, rel=0.01)


def test_cysts_release_within_the_printed_day_near_22_c() -> None:
    # Coyne et al. 2011: 18-24 h at room temperature.
    low, middle, high = lifecycle.stage_durations(white_spot(), 22.0).bottom
    assert low * 24 < 18 <= middle * 24 <= 24 < high * 24


def test_warmer_is_never_slower() -> None:
    days = [lifecycle.stage_durations(white_spot(), t).cycle for t in range(5, 31)]
    assert all(a[k] > b[k] for a, b in pairwise(days) for k in range(3))


def test_below_the_start_of_development_nothing_ends() -> None:
    assert lifecycle.stage_durations(white_spot(), 3.0).cycle[1] == float("inf")


def test_a_live_bearing_fluke_has_one_life_on_the_fish_as_its_cycle() -> None:
    # Jansen & Bakke 1991: a worm lives 4.5 d at 19 C and 33.7 d at 2.5 C.
    fluke = library.load().organisms["gyrodactylus_salaris"]
    warm, cold = (lifecycle.stage_durations(fluke, c) for c in (19.0, 2.5))
    assert warm.cycle[1] == pytest.approx(4.5, rel=0.01)
    assert cold.cycle[1] == pytest.approx(33.7, rel=0.02)
    assert warm.breeds_on_fish
    assert warm.cycle[0] < warm.cycle[1] < warm.cycle[2]
    assert warm.bottom == (0, 0, 0)
    assert [name for name, _ in warm.rows()] == ["one life on the fish"]


def test_an_organism_without_any_time_is_still_refused() -> None:
    with pytest.raises(NotPossible, match="No figure says how long"):
        lifecycle.stage_durations(library.load().organisms["lernaea_cyprinacea"], 20.0)
