"""Comparing courses, on outcomes written down by hand: every figure here is worked out on paper."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.lifecycle.tanks import fish
from tests.plan.hand_made import Outcome, ScriptedTrial, care, course, histories, refusal

from tankside.plan import NO_TREATMENT, WATER_ONLY, Candidate, Comparison, RaceRules, Sizes, compare
from tankside.plan.compare import horizon_days

ALL = [True] * 20
WATER, NOTHING = course(WATER_ONLY, WATER_ONLY), course(NO_TREATMENT, NO_TREATMENT)
SIZES = Sizes(RaceRules(first=4, keep=9, most=8), final=20, ablated=0)


def of(trial: ScriptedTrial, *candidates: Candidate, sizes: Sizes = SIZES) -> Comparison:
    scripted: Any = trial  # plays what is written down, where a trial plays the case
    return compare(scripted, candidates, sizes)


def names(comparison: Comparison) -> list[str]:
    return [compared.candidate.name for compared in comparison.courses]


def first_of(first: Outcome, second: Outcome, days: tuple[int, int] = (10, 10)) -> str:
    """Return which of two courses comes first."""
    trial = ScriptedTrial({"first": first, "second": second})
    pair = (course("first", "a", days[0]), course("second", "b", days[1]))
    return names(of(trial, *pair))[0]


def test_every_course_is_followed_over_the_longest_one_and_a_slow_cycle_more() -> None:
    """21 days and a slow cycle of 7.2 d, rounded up to whole days: 29."""
    assert horizon_days((course("a", days=16), course("b", days=21)), 7.2) == 29
    trial = ScriptedTrial({name: Outcome(histories(ALL)) for name in ("a", "b")})
    comparison = of(trial, course("a", days=16), course("b", days=21))
    assert comparison.horizon_days == 21 + 7
    assert {compared.run.course.days for compared in comparison.courses} == {28}
    assert trial.looked_at_h == {(0, 28 * 24 - 1)}


def test_a_course_is_scored_by_runs_clear_fish_lost_days_and_minutes() -> None:
    """15 of 20 clear is (15 + 1/2) / 21; of 20 runs the 1st and 19th lose 0 and 4 of 10."""
    ends = histories([True] * 15 + [False] * 5, [10] * 8 + [9] * 10 + [6, 6])
    trial = ScriptedTrial({"a": Outcome(ends, minutes=(20.0, 30.0, None))})
    (compared,) = of(trial, course("a", days=10)).courses
    score = compared.score
    assert score.clear.share == pytest.approx(15.5 / 21)
    assert (score.lost_low, score.lost_high, score.stock) == (0, 4, 10)
    assert (score.days, score.work_min_per_day) == (10, 5.0)
    assert score.losses_useful


def test_a_history_without_a_fish_left_is_not_clear() -> None:
    trial = ScriptedTrial({"a": Outcome(histories(ALL, [0] * 12 + [10] * 8))})
    (compared,) = of(trial, course("a")).courses
    assert compared.score.clear.share == pytest.approx(8.5 / 21)


def test_where_no_figure_says_what_kills_no_loss_is_told() -> None:
    trial = ScriptedTrial({"a": Outcome(histories(ALL))}, deadly=False)
    (compared,) = of(trial, course("a")).courses
    assert not compared.score.deaths_known
    assert not compared.score.losses_useful


def test_where_a_kind_of_fish_has_no_dose_in_print_no_loss_is_told() -> None:
    hosts = (fish(), replace(fish(name="platies"), dose_known=False))
    trial = ScriptedTrial({"a": Outcome(histories(ALL))}, hosts=hosts)
    (compared,) = of(trial, course("a")).courses
    assert not compared.score.deaths_known


def test_water_only_and_no_treatment_come_first_however_they_end() -> None:
    worst, best = Outcome(histories([False] * 20, [1] * 20)), Outcome(histories(ALL))
    trial = ScriptedTrial({WATER_ONLY: worst, NO_TREATMENT: worst, "a": best})
    comparison = of(trial, WATER, NOTHING, course("a"))
    assert names(comparison) == [WATER_ONLY, NO_TREATMENT, "a"]


def test_the_others_come_by_runs_not_clear_and_share_of_fish_lost() -> None:
    """Not clear in 8 of 20 is 0.4; 5 of 10 fish lost in every run is 0.5; in 6 of 20 0.15."""
    trial = ScriptedTrial(
        {
            "half lost": Outcome(histories(ALL, [5] * 20)),
            "not clear": Outcome(histories([True] * 12 + [False] * 8)),
            "some lost": Outcome(histories(ALL, [5] * 6 + [10] * 14)),
        }
    )
    comparison = of(trial, *(course(name, name) for name in trial.outcomes))
    assert names(comparison) == ["some lost", "not clear", "half lost"]


@pytest.mark.parametrize(("longer", "winner"), [(49, "second"), (51, "first")])
def test_fifty_days_weigh_as_much_as_one_run_of_twenty_that_does_not_clear(
    longer: int, winner: str
) -> None:
    """A day is 0.001; one run of 20 is 0.05. The longer course clears in every run."""
    once = Outcome(histories([True] * 19 + [False]))
    assert first_of(once, Outcome(histories(ALL)), (10, 10 + longer)) == winner


@pytest.mark.parametrize(("minutes", "winner"), [(490.0, "second"), (510.0, "first")])
def test_fifty_minutes_a_day_weigh_as_much_as_one_run_of_twenty(
    minutes: float, winner: str
) -> None:
    """A minute a day is 0.001; 500 minutes over 10 days are 50 a day."""
    once = Outcome(histories([True] * 19 + [False]))
    assert first_of(once, Outcome(histories(ALL), minutes=(minutes,))) == winner


@pytest.mark.parametrize(("cautions", "winner"), [(4, "second"), (6, "first")])
def test_five_cautions_weigh_as_much_as_one_run_of_twenty(cautions: int, winner: str) -> None:
    once = Outcome(histories([True] * 19 + [False]))
    careful = Outcome(histories(ALL), safety=(care(),) * cautions)
    assert first_of(once, careful) == winner


def test_work_whose_time_nobody_knows_weighs_nothing() -> None:
    """Equal courses stand in the order in which they were proposed."""
    unknown = Outcome(histories(ALL), minutes=(None,))
    none, some = (Outcome(histories(ALL), minutes=(minutes,)) for minutes in (0.0, 1.0))
    assert first_of(unknown, none) == "first"
    assert first_of(some, unknown) == "second"


def test_a_history_that_weighs_more_counts_more() -> None:
    """Of four histories the one that fails weighs 3 of 6: half, against one of three."""
    heavy = Outcome(histories([False, True, True, True], weights=[3.0, 1.0, 1.0, 1.0]))
    light = Outcome(histories([False, True, True], weights=[1.0, 1.0, 1.0]))
    assert first_of(heavy, light) == "second"


def test_only_the_weights_beside_each_other_count() -> None:
    """One of four that all weigh 2 is a quarter, less than one of three that all weigh 1."""
    quarter = Outcome(histories([False, True, True, True], weights=[2.0] * 4))
    third = Outcome(histories([False, True, True], weights=[1.0] * 3))
    assert first_of(third, quarter) == "second"


def test_a_course_beaten_in_every_respect_is_marked_and_kept() -> None:
    trial = ScriptedTrial(
        {
            "good": Outcome(histories(ALL)),
            "as good, longer": Outcome(histories(ALL)),
            "worse, shorter": Outcome(histories([True] * 10 + [False] * 10)),
        }
    )
    candidates = (
        course("good", "a", 12), course("as good, longer", "b", 13),
        course("worse, shorter", "c", 11),
    )  # fmt: skip
    comparison = of(trial, *candidates)
    unbeaten = {c.candidate.name: c.unbeaten for c in comparison.courses}
    assert unbeaten == {"good": True, "as good, longer": False, "worse, shorter": True}


def test_a_blocked_course_is_not_played_and_what_stands_against_every_one_is_told() -> None:
    """Two dyes are refused for the loach, one of them for its strength too."""
    loach = refusal("E-DOSE-26", "Dye is not for loach.", "loach")
    strong = refusal("E-DOSE-10", "Too strong.")
    trial = ScriptedTrial(
        {
            "weak": Outcome(histories(ALL), (loach,)),
            "strong": Outcome(histories(ALL), (strong, loach)),
            "salt": Outcome(histories(ALL)),
        }
    )
    dyes = (course("weak", "dye"), course("strong", "dye"))
    comparison = of(trial, *dyes, course("salt"))
    assert names(comparison) == ["salt"]
    ((blocked),) = comparison.blocked
    assert (blocked.kind, blocked.candidates, blocked.reasons) == ("dye", 2, (loach,))
    assert (comparison.candidates, comparison.simulated) == (3, 1)
    assert {name for name, _, _ in trial.calls} == {"salt"}


def test_where_nothing_stands_against_every_course_each_reason_is_told_once() -> None:
    early, late = (refusal("E-DOSE-10", "Too strong.", hour=hour) for hour in (18, 42))
    loach = refusal("E-DOSE-26", "Dye is not for loach.", "loach")
    trial = ScriptedTrial(
        {
            "a": Outcome(histories(ALL), (early, late)),
            "b": Outcome(histories(ALL), (loach,)),
            "open": Outcome(histories(ALL)),
        }
    )
    (blocked,) = of(trial, course("a", "dye"), course("b", "dye"), course("open")).blocked
    assert blocked.reasons == (early, loach)


def test_the_race_leaves_the_best_and_one_of_each_kind() -> None:
    """Four salts and a dye, two kept: the two best salts, and the dye though it is worst."""
    salts = {f"salt {n}": Outcome(histories([True] * (4 - n) + [False] * n)) for n in range(4)}
    trial = ScriptedTrial({**salts, "dye": Outcome(histories([False] * 4, [1] * 4))})
    candidates = [*(course(name, "salt") for name in salts), course("dye", "dye")]
    sizes = Sizes(RaceRules(first=4, keep=2, most=8), final=4, ablated=0)
    assert names(of(trial, *candidates, sizes=sizes)) == ["salt 0", "salt 1", "dye"]


def test_the_last_comparison_has_luck_of_its_own_that_all_share() -> None:
    trial = ScriptedTrial({name: Outcome(histories(ALL)) for name in (WATER_ONLY, "a", "b")})
    comparison = of(trial, WATER, course("a"), course("b"))
    assert trial.calls == [(WATER_ONLY, 1000, 20), ("a", 1000, 20), ("b", 1000, 20)]
    assert comparison.histories == 60


def test_each_lever_of_the_best_is_left_out_and_played_only_where_it_changes_the_water() -> None:
    """Of the best course the warming is a lever that the parasite meets, the air is not."""
    best = Outcome(histories(ALL), warm_c=28.0)
    cold = Outcome(histories([True] * 4 + [False] * 16))
    trial = ScriptedTrial(
        {
            "best": best,
            "best, leaving out air": best,
            "best, leaving out warming": cold,
            "next": Outcome(histories([False] * 20)),
        }
    )
    candidates = (
        course("next", "b", levers=("air",)),
        course("best", "a", levers=("air", "warming")),
    )
    sizes = Sizes(RaceRules(first=4, keep=9, most=8), final=20, ablated=1)
    comparison = of(trial, *candidates, sizes=sizes)
    first, second = comparison.courses
    assert [(x.words, x.clear.share) for x in first.leaving_out] == [
        ("air", pytest.approx(20.5 / 21)),
        ("warming", pytest.approx(4.5 / 21)),
    ]
    assert second.leaving_out == ()
    played = [name for name, _, _ in trial.calls]
    assert played == ["next", "best", "best, leaving out warming"]
    assert comparison.histories == 60


def test_each_long_step_tells_how_far_it_has_come() -> None:
    trial: Any = ScriptedTrial(
        {name: Outcome(histories(ALL)) for name in ("a", "a, leaving out air", "b")}
    )
    steps: list[tuple[str, int, int]] = []
    sizes = Sizes(RaceRules(first=4, keep=9, most=8), final=4, ablated=1)
    compare(
        trial,
        (course("a", levers=("air",)), course("b", "b")),
        sizes,
        lambda *step: steps.append(step),
    )
    assert steps == [
        ("running the water of each course", 1, 2),
        ("running the water of each course", 2, 2),
        ("playing the courses left", 1, 2),
        ("playing the courses left", 2, 2),
        ("leaving out one lever at a time", 1, 1),
    ]
