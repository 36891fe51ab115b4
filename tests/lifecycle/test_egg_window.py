"""When a second dose belongs where eggs survive the first, held to print.

Zhang et al. 2015 (abstract) on Dactylogyrus vastator: the first eggs hatch after 3 days at 20 C and
2 at 30 C, hatching is spread over 5 days, and from egg to grown worm it takes 8 to 11 days at 20 C.
Scenario 5 (invented, 29 C): the second dose about 4 to 6 days after the first.
"""

from __future__ import annotations

from math import ceil, floor

import pytest
from tests.lifecycle.tanks import white_spot

from tankside import library, lifecycle
from tankside.lifecycle import last_hatch_days
from tankside.report.teaching.life_cycle import life_cycle_sheet
from tankside.services.life_cycle import life_cycle

FLUKE = library.load().organisms["dactylogyrus_vastator"]


def whole_days(temperature_c: float) -> tuple[int, int]:
    window = lifecycle.egg_window_days(FLUKE, temperature_c)
    assert window is not None
    return ceil(window[0]), floor(window[1])


def test_the_last_day_at_20_c_is_before_the_first_worms_are_grown() -> None:
    assert whole_days(20.0)[1] == 8


@pytest.mark.parametrize(("temperature_c", "first_hatch_d"), [(20.0, 3), (30.0, 2)])
def test_the_first_day_lies_within_the_printed_days_of_hatching(
    temperature_c: float, first_hatch_d: int
) -> None:
    assert first_hatch_d < whole_days(temperature_c)[0] <= first_hatch_d + 5


def test_a_second_dose_at_29_c_belongs_on_day_4_or_5() -> None:
    assert whole_days(29.0) == (4, 5)


def test_where_nothing_lays_eggs_there_is_no_such_time() -> None:
    assert lifecycle.egg_window_days(white_spot(), 25.0) is None


def test_where_eggs_do_not_develop_there_is_no_such_time() -> None:
    assert lifecycle.egg_window_days(FLUKE, 7.0) is None


@pytest.mark.parametrize("temperature_c", [15.0, 20.0, 25.0, 30.0])
def test_the_gill_fluke_leaves_no_window_for_two_doses(temperature_c: float) -> None:
    # Zhang 2015 at 20 C: first hatch after 3 d, spread over 5 d, so the last on day 8; the first
    # from egg to grown worm takes 8 d.
    window, last = (
        find(FLUKE, temperature_c) for find in (lifecycle.egg_window_days, last_hatch_days)
    )
    assert isinstance(window, tuple)
    assert isinstance(last, float)
    assert last > window[1]
    if temperature_c == 20.0:
        assert 8 <= last <= 11


def test_the_marine_skin_fluke_leaves_one_and_the_page_says_which() -> None:
    skin = library.load().organisms["neobenedenia_girellae"]
    window, last = lifecycle.egg_window_days(skin, 25.0), last_hatch_days(skin, 25.0)
    assert window is not None
    assert last is not None
    assert window[0] < last < window[1]
    for name, words in (("neobenedenia_girellae", "two doses can"), (FLUKE.id, "No window, three")):
        parts = life_cycle_sheet(life_cycle(name, 25.0)).parts
        assert sum(words in line for part in parts for line in part.lines) == 1
