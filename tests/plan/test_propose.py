"""Which courses are made of the levers of a hand-made case: each one listed, with its hours.

100 L, worked on from 18:00 of day 0; fast cycle 4.5 d, slow cycle 7 d. So courses last 14 or 21
days, water is changed a quarter at a time (25 L) every day or every third day.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.plan.hand_made import DYE, LEVERS, SALT, STAYS, group, situation, tank

from tankside.course import Aeration, InWater
from tankside.course.actions import Count, SaltTo, Siphon, Transfer
from tankside.plan import NO_TREATMENT, WATER_ONLY, Candidate, Situation, propose

EVENINGS = tuple(range(18, 14 * 24, 24))


def made(place: Situation, kind: str = "") -> tuple[Candidate, ...]:
    return tuple(c for c in propose(place, LEVERS) if not kind or c.kind == kind)


def hours(candidate: Candidate, kind: str) -> tuple[int, ...]:
    return tuple(a.at_h for a in candidate.course().actions if a.kind == kind)


def words(candidate: Candidate) -> tuple[str, ...]:
    return tuple(part.words for part in candidate.parts)


def test_without_an_agent_only_water_is_varied() -> None:
    """A tenth, a quarter and a half of 100 L, in marks of 5 L, over the longest course."""
    names = [candidate.name for candidate in made(situation())]
    assert names == [
        WATER_ONLY,
        NO_TREATMENT,
        "water only, bottom siphoned every day with 10 L, 21 days",
        "water only, bottom siphoned every day with 25 L, 21 days",
        "water only, bottom siphoned every day with 50 L, 21 days",
    ]


def test_water_only_siphons_every_evening_of_two_slow_cycles() -> None:
    first = made(situation())[0]
    assert (first.kind, first.days) == (WATER_ONLY, 14)
    assert words(first) == ("air stone", "bottom siphoned every day with 25 L",
                            "counts and water tests")  # fmt: skip
    assert hours(first, "siphon") == EVENINGS


def test_no_treatment_only_counts_and_tests() -> None:
    """Counts and tests every second morning at 8, from day 2 on."""
    nothing = made(situation())[1]
    assert (nothing.days, words(nothing)) == (14, ("counts and water tests",))
    mornings = tuple(day * 24 + 8 for day in range(2, 14, 2))
    assert hours(nothing, "count") == hours(nothing, "take_reading") == mornings
    assert {a.kind for a in nothing.course().actions} == {"count", "take_reading"}


def test_litres_that_are_wished_are_the_only_ones_tried() -> None:
    names = [c.name for c in made(situation(change_l=40.0), WATER_ONLY)]
    assert names == [WATER_ONLY, "water only, bottom siphoned every day with 40 L, 21 days"]


def test_a_held_agent_is_tried_at_each_length_and_each_rhythm_of_changing() -> None:
    """Siphoned every day, every third day, or changed plainly every third day; 14 or 21 days."""
    names = [candidate.name for candidate in made(situation(SALT), "sodium_chloride")]
    assert names == [
        f"salt to 2 g/L in 2 steps, {water}, {days} days"
        for days in (14, 21)
        for water in (
            "bottom siphoned every day with 25 L",
            "bottom siphoned every 3 days with 25 L",
            "25 L changed every 3 days",
        )
    ]


def test_salt_goes_up_in_steps_after_carbon_and_uv_are_off_and_comes_out_at_the_end() -> None:
    salted = made(situation(SALT), "sodium_chloride")[0]
    assert words(salted) == (
        "carbon out", "UV off", "air stone", "bottom siphoned every day with 25 L",
        "salt to 2 g/L in 2 steps", "Salt taken out", "counts and water tests",
    )  # fmt: skip
    assert hours(salted, "salt") == (18, 42)
    assert [a.to_g_l for a in salted.course().actions if isinstance(a, SaltTo)] == [1.0, 2.0]
    assert hours(salted, "carbon") == hours(salted, "uv") == (18,)
    assert hours(salted, "siphon") == EVENINGS[1:]
    assert hours(salted, "water_change") == (14 * 24 + 18, 15 * 24 + 18)
    assert salted.days == 14 + 2


def test_salt_already_there_is_counted_into_the_steps() -> None:
    """From 1.2 to 2 g/L is 0.8 g/L: one step of at most 1 g/L."""
    there = tank(residues=(InWater("sodium_chloride", 1000.0, 1200.0),))
    salted = made(situation(SALT, systems=(there,)), "sodium_chloride")[0]
    assert "salt to 2 g/L in 1 step" in words(salted)


def test_a_fading_agent_is_given_once_or_again_before_a_fast_cycle_is_over() -> None:
    """Of the intervals 2, 4 and 6 days the last is longer than the fast cycle of 4.5 days."""
    dyed = made(situation(DYE), "dye")
    ways = list(dict.fromkeys(candidate.name.split(", ")[0] for candidate in dyed))
    assert ways == ["Dye 0.1 mg/L once", "Dye 0.1 mg/L every 2 days", "Dye 0.1 mg/L every 4 days"]
    assert len(dyed) == 3 * 2 * 3
    every_4 = next(c for c in dyed if "every 4 days" in c.name)
    assert hours(every_4, "dose") == (18, 114, 210, 306)
    once = dyed[0]
    assert hours(once, "dose") == (18,)


def test_carbon_goes_back_in_only_for_an_agent_that_it_takes_out() -> None:
    dyed, salted = made(situation(DYE), "dye")[0], made(situation(SALT), "sodium_chloride")[0]
    assert len(hours(dyed, "carbon")) == 2
    assert len(hours(salted, "carbon")) == 1


def test_media_that_are_known_not_to_be_there_are_not_taken_out() -> None:
    bare = tank(carbon_in=False, uv_on=False, aeration=Aeration.AIR_STONE)
    salted = made(situation(SALT, systems=(bare,)), "sodium_chloride")[0]
    assert not {"carbon out", "UV off", "air stone"} & set(words(salted))


def test_warming_is_tried_alone_and_with_each_strength_over_the_short_course() -> None:
    warmed = situation(SALT, warm_to_c=(27.0,))
    alone = made(warmed, "warming")
    assert [c.name for c in alone] == [
        "warmed to 27 C, bottom siphoned every day with 25 L, 14 days"
    ]
    with_salt = [c.name for c in made(warmed, "sodium_chloride") if "warmed" in c.name]
    assert with_salt == [
        "salt to 2 g/L in 2 steps, warmed to 27 C, bottom siphoned every day with 25 L, 14 days"
    ]


def test_uv_and_a_fine_filter_are_tried_where_their_flow_is_known() -> None:
    flowing = tank(turnover_per_h=4.0, uv_turnover_per_h=1.0, uv_on=False)
    kinds = [c.kind for c in made(situation(systems=(flowing,)))]
    assert kinds[-2:] == ["UV on", "fine filter"]
    running = replace(flowing, uv_on=True)
    assert "UV on" not in [c.kind for c in made(situation(systems=(running,)))]
    assert "fine filter" not in [c.kind for c in made(situation(systems=(tank(),)))]


def test_fish_are_moved_to_a_spare_tank_whose_own_water_is_siphoned_every_day() -> None:
    """A quarter of 18 L is 4.5 L, nine marks of half a litre."""
    boxed = situation(SALT, systems=(tank(), tank("box", 18.0)), spare=("box",))
    (moved,) = made(boxed, "transfer")
    assert moved.name == "all fish moved to the box tank, display fishless, 14 days"
    assert hours(moved, "transfer") == (18,)
    siphons = [a for a in moved.course().actions if isinstance(a, Siphon)]
    assert {(a.body, a.litres) for a in siphons} == {("box", 4.5)}
    assert [a.at_h for a in siphons] == list(EVENINGS[1:])
    (salted,) = made(boxed, "transfer and sodium_chloride")
    assert "salt to 2 g/L in 2 steps there" in salted.name
    assert {a.body for a in salted.course().actions if isinstance(a, SaltTo)} == {"box"}


def test_only_hosts_are_moved_and_none_that_is_there_already() -> None:
    stock = (group(), group("shrimp"), group("pair", where="box"))
    boxed = situation(
        systems=(tank(), tank("box", 18.0)), spare=("box",), stock=stock, fish=("tetra", "pair")
    )
    (moved,) = made(boxed, "transfer")
    assert [a.group for a in moved.course().actions if isinstance(a, Transfer)] == ["tetra"]


def test_two_spare_tanks_take_the_fish_in_turns_before_a_fast_cyst_opens() -> None:
    """Cysts open after 12 h at the earliest and fish carry for 6 d at the latest: 13 moves.

    At the end of each stay the tank left behind is emptied, but never the display.
    """
    boxes = (tank(), tank("a", 20.0), tank("b", 20.0))
    twice = situation(systems=boxes, spare=("a", "b"))
    turns = made(twice, "transfer")[-1]
    assert turns.name == "all fish moved every 12 h, 13 times"
    moves = [a for a in turns.course().actions if isinstance(a, Transfer)]
    assert [a.at_h for a in moves] == [18 + 12 * n for n in range(13)]
    assert [(a.body, a.to_body) for a in moves[:3]] == [("main", "a"), ("a", "b"), ("b", "a")]
    emptied = [(a.body, a.litres) for a in turns.course().actions if isinstance(a, Siphon)]
    assert emptied == [("a", 20.0), ("b", 20.0)] * 6


def test_one_spare_tank_or_a_cyst_that_opens_at_once_gives_no_turns() -> None:
    one_box = situation(systems=(tank(), tank("a", 20.0)), spare=("a",))
    assert not [c for c in made(one_box) if "times" in c.name]
    at_once = replace(STAYS, bottom=(0.0, 0.5, 1.0))
    boxes = (tank(), tank("a", 20.0), tank("b", 20.0))
    twice = situation(systems=boxes, spare=("a", "b"), stage_durations=at_once)
    assert not [c for c in made(twice) if "times" in c.name]


def test_work_that_begins_tomorrow_makes_the_course_a_day_longer() -> None:
    later = made(situation(SALT, first_h=42), "sodium_chloride")
    assert {c.days for c in later} == {1 + 14 + 2, 1 + 21 + 2}
    assert hours(later[0], "salt") == (42, 66)


def test_the_fish_counted_are_those_watched_first() -> None:
    watched = situation(fish=("tetra", "cory"), watched=("cory", "tetra"))
    counts = [a for a in made(watched)[1].course().actions if isinstance(a, Count)]
    assert {a.group for a in counts} == {"cory"}


@pytest.mark.parametrize("place", [situation(SALT), situation(DYE, SALT, warm_to_c=(27.0, 29.0))])
def test_no_two_courses_share_a_name(place: Situation) -> None:
    names = [candidate.name for candidate in made(place)]
    assert len(set(names)) == len(names)


def test_where_eggs_are_spared_two_or_three_doses_are_tried_in_the_time_before_they_lay() -> None:
    """Usual interval 2 days, window day 4 to 5: 18:00 of days 0 and 4 (or 5), then once more."""
    levers = replace(LEVERS, few_doses=(2, 3))
    place = situation(DYE, egg_window_d=(3.5, 5.2))
    few = [c for c in propose(place, levers) if c.kind in ("dye in 2 doses", "dye in 3 doses")]
    siphoned = ("bottom siphoned every day with 25 L", "bottom siphoned every 3 days with 25 L")
    assert [c.name for c in few] == [
        f"Dye 0.1 mg/L {number} times, {days} days apart, {water}, 14 days"
        for days in (4, 5)
        for number in (2, 3)
        for water in siphoned
    ]
    assert hours(few[0], "dose") == (18, 18 + 4 * 24)
    assert hours(few[-1], "dose") == (18, 18 + 5 * 24, 18 + 10 * 24)
    assert not [c for c in made(situation(DYE)) if c.kind.startswith("dye in ")]
