"""Which courses a forecast plays for a case, how long, on whose fish, and what is refused."""

from __future__ import annotations

from math import ceil
from pathlib import Path

import pytest
from tests.services.salt_case import ACTIONS, Row, salt_case

from tankside import library
from tankside.errors import BadInput, NotPossible
from tankside.intake.forecast_setup import (
    FEWEST,
    LONG_WAIT_D,
    MOST,
    Followed,
    ForecastRequest,
    ForecastSetup,
    forecast_setup,
)
from tankside.records.case_file import read_case

SLOW_D = 140 / (24.0 - 3.1) + 1.3 * 410 / (24.0 - 3.0) / 24
"""Slow cycle of white spot at 24.0 C [d], by hand (Noe and Dickerson 1995; cyst at +30 %)."""


def setup_of(
    folder: Path, *rows: Row, request: ForecastRequest | None = None, **more: bool
) -> ForecastSetup:
    view = read_case(salt_case(folder, *rows, **more)).view()
    return forecast_setup(view, library.load(), request or ForecastRequest())


def names(setup: ForecastSetup) -> list[str]:
    return [course.name for course in setup.courses]


def test_the_chosen_course_comes_first_and_no_treatment_last(tmp_path: Path) -> None:
    setup = setup_of(tmp_path)
    assert names(setup) == ["salt to 2 g/L", "water only", "no treatment"]
    assert setup.followed == Followed("salt to 2 g/L", 1)
    assert setup.courses[0].actions == ACTIONS
    assert setup.courses[-1].actions == ()


def test_without_a_choice_water_only_stands_in_its_place(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, course=False)
    assert names(setup) == ["water only", "no treatment"]
    assert setup.followed == Followed("water only", 0)


def test_all_courses_are_looked_at_until_a_slow_cycle_after_the_longest(tmp_path: Path) -> None:
    setup = setup_of(tmp_path)
    days = {course.days for course in setup.courses}
    assert len(days) == 1
    # Water only runs for two slow cycles (practice.levers), the salt course for 7 days.
    (longest,) = days
    assert longest - ceil(SLOW_D) == max(7, ceil(2 * SLOW_D))


def test_where_the_parasite_does_not_develop_a_month_is_looked_at(tmp_path: Path) -> None:
    cold: Row = ("water", "temperature=2.0 C", "on=2026-05-04T17:00")
    setup = setup_of(tmp_path, cold)
    assert {course.days for course in setup.courses} >= {7 + LONG_WAIT_D}


def test_hour_0_is_the_start_of_the_course(tmp_path: Path) -> None:
    assert setup_of(tmp_path).case.zero.text.startswith("2026-05-04T00:00")


def test_fish_of_the_most_affected_group_are_looked_at(tmp_path: Path) -> None:
    setup = setup_of(tmp_path)
    assert (setup.group, setup.look_fish) == ("platy", 5)  # 14 spots; 6 fish are enough for 5


def test_a_look_that_takes_more_than_the_group_has_goes_to_the_next_with_enough(
    tmp_path: Path,
) -> None:
    setup = setup_of(tmp_path, request=ForecastRequest(look_fish=8))
    assert (setup.group, setup.look_fish) == ("danio", 8)


def test_where_no_group_has_enough_the_largest_is_looked_at_as_a_whole(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, request=ForecastRequest(look_fish=30))
    assert (setup.group, setup.look_fish) == ("danio", 8)


def test_another_course_is_named_by_any_words_that_only_it_holds(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, request=ForecastRequest(against="Every day with 20 L, 24"))
    assert names(setup)[1] == "water only, bottom siphoned every day with 20 L, 24 days"


def test_a_whole_name_wins_over_longer_names_that_hold_it(tmp_path: Path) -> None:
    setup = setup_of(tmp_path, request=ForecastRequest(against="water only"))
    assert names(setup)[1] == "water only"


def test_a_name_of_two_courses_is_refused_with_both(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as refused:
        setup_of(tmp_path, request=ForecastRequest(against="salt to"))
    assert (refused.value.code, refused.value.field) == ("E-FC-03", "against")
    assert refused.value.needed.count("salt to") > 1
    assert "water only" not in refused.value.needed.split(": ", 1)[1].split("; ")


def test_a_name_of_no_course_is_refused_with_all(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as refused:
        setup_of(tmp_path, request=ForecastRequest(against="magic"))
    assert "water only" in refused.value.needed


@pytest.mark.parametrize(
    ("request_", "field"),
    [
        (ForecastRequest(runs=FEWEST - 1), "runs"),
        (ForecastRequest(runs=MOST + 1), "runs"),
        (ForecastRequest(look_fish=0), "fish"),
        (ForecastRequest(look_fish=MOST + 1), "fish"),
    ],
)
def test_a_number_out_of_bounds_is_refused(
    tmp_path: Path, request_: ForecastRequest, field: str
) -> None:
    with pytest.raises(BadInput) as refused:
        setup_of(tmp_path, request=request_)
    assert (refused.value.code, refused.value.field) == ("E-FC-01", field)


@pytest.mark.parametrize("runs", [FEWEST, MOST])
def test_the_bounds_themselves_are_allowed(tmp_path: Path, runs: int) -> None:
    assert setup_of(tmp_path, request=ForecastRequest(runs=runs)).courses


def test_a_parasite_without_figures_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NotPossible, match="E-FC-02"):
        setup_of(tmp_path, request=ForecastRequest(organism="lernaea_cyprinacea"))


def test_a_seed_typed_is_the_seed_played(tmp_path: Path) -> None:
    assert setup_of(tmp_path, request=ForecastRequest(seed=7)).trial.seed == 7
