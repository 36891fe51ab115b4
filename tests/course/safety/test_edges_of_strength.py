"""Strength, minutes and intervals through a course, on round figures: the last that passes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tankside.claims import Knowledge
from tankside.course import BodyKind, Caution, Course, Level, StockGroup, System, Volume, run
from tankside.course.actions import Bath, Dose
from tankside.course.actions.action import Action

COPPER, FORMALIN = "copper_sulphate", "formalin"
DOSE = f"agent.{COPPER}.dose.prolonged"  # 0.15 to 0.2 mg/L in the small set of facts
SOFT = f"agent.{COPPER}.soft_max.prolonged"
INTERVAL = f"agent.{COPPER}.interval.prolonged"
MINUTES = f"agent.{FORMALIN}.minutes_max.bath"
BATH = f"agent.{FORMALIN}.dose.bath"  # at most 250 in the small set of facts


@pytest.fixture
def tank(elm_road: System) -> System:
    return replace(elm_road, volume=Volume(100, 100, 100, "two methods"))


def figures(know: Callable[..., Knowledge], changes: dict[str, object]) -> Knowledge:
    return know(**{key.replace(".", "__"): value for key, value in changes.items()})


def codes(
    tank: System, facts: Knowledge, *steps: Action, code: str, days: int = 5
) -> list[Caution]:
    """Return what the checks of the whole course say; the amount of a step speaks for itself."""
    group = StockGroup("carp", "koi", "carp", 3, 20.0, None, "main", "adult", False)
    beside = System("tub", "the tub", BodyKind.BATH, Volume(20, 20, 20, "x"), water="fresh")
    course_run = run([tank, beside], [group], Course("c", days, steps), facts)
    return [
        caution for caution in course_run.safety if caution.code == code and caution.action is None
    ]


def dose(mg_l: float, hour: int = 8, **more: Any) -> Dose:
    return Dose(hour, "main", COPPER, mg_l, **more)


def test_a_strength_at_the_hard_limit_passes_and_a_hair_above_is_blocked(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    assert codes(tank, know(), dose(0.2), code="E-DOSE-10") == []
    (caution,) = codes(tank, know(), dose(0.2001), code="E-DOSE-10")
    assert (caution.level, caution.hour, caution.body, caution.agent, caution.claim_key) == (
        Level.BLOCKED, 8, "main", COPPER, DOSE)  # fmt: skip
    assert "no override" in caution.words
    assert "0.2001" in caution.why
    assert "test figure" in caution.why


def test_two_doses_that_add_up_are_blocked_at_the_second(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    (caution,) = codes(tank, know(), dose(0.15), dose(0.15, 33), code="E-DOSE-10")
    assert (caution.level, caution.hour) == (Level.BLOCKED, 33)
    assert "0.3" in caution.why


def test_what_only_the_smallest_volume_makes_too_strong_is_stopped(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    unsure = replace(tank, volume=Volume(100, 90, 110, "two methods"))
    (caution,) = codes(unsure, know(), dose(0.19), code="E-DOSE-10")
    assert (caution.level, caution.hour) == (Level.BLOCKED, 8)
    assert "a second way" in caution.what_instead
    assert codes(unsure, know(), dose(0.18), code="E-DOSE-10") == []
    (stopped,) = codes(unsure, know(), dose(0.201), code="E-DOSE-10")
    assert "a second way" not in stopped.what_instead


def test_above_the_soft_limit_a_reason_is_asked_for_and_shown(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = figures(know, {SOFT: 0.18})
    assert codes(tank, facts, dose(0.18), code="E-DOSE-11") == []
    (asks,) = codes(tank, facts, dose(0.185), code="E-DOSE-11")
    assert (asks.level, asks.hour, asks.body, asks.agent, asks.claim_key) == (
        Level.CARE, 8, "main", COPPER, SOFT)  # fmt: skip
    assert "write down why" in asks.words
    assert "0.185" in asks.why
    assert "0.18\xa0mg/L" in asks.why
    assert "Reason" not in asks.why
    (caution,) = codes(tank, facts, dose(0.185, reason="as the vet advised"), code="E-DOSE-11")
    assert "write down" not in caution.words
    assert caution.why.endswith("Reason given: as the vet advised.")
    assert asks.what_instead != caution.what_instead


def test_a_dose_below_the_useful_range_is_told_so(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    assert codes(tank, know(), dose(0.15), code="E-DOSE-13") == []
    (caution,) = codes(tank, know(), dose(0.1469), code="E-DOSE-13")
    assert (caution.level, caution.hour, caution.body, caution.agent, caution.claim_key) == (
        Level.CARE, None, "main", COPPER, DOSE)  # fmt: skip
    assert "At most 0.1469\xa0mg/L; useful from 0.15\xa0mg/L (test figure)" in caution.why
    assert codes(tank, know(), dose(0.25), code="E-DOSE-13") == []


def test_what_nobody_published_is_not_offered(tank: System, know: Callable[..., Knowledge]) -> None:
    (caution,) = codes(tank, know(), Dose(8, "main", "moon_dust", 1.0), code="E-DOSE-10")
    assert (caution.level, caution.body, caution.agent, caution.claim_key) == (
        Level.BLOCKED, "main", "moon_dust", "")  # fmt: skip
    assert "moon dust" in caution.words


def test_the_next_dose_may_come_at_its_hour_and_not_one_sooner(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = figures(know, {INTERVAL: (24.0, None, 48.0)})
    small = 0.05
    assert codes(tank, facts, dose(small), dose(small, 32), code="E-DOSE-22") == []
    (too_soon,) = codes(
        tank, facts, dose(small), dose(small, 31), dose(small, 40), code="E-DOSE-22"
    )
    assert (too_soon.level, too_soon.hour, too_soon.body, too_soon.agent, too_soon.claim_key) == (
        Level.BLOCKED, 31, "main", COPPER, INTERVAL)  # fmt: skip
    assert too_soon.why == "23 h after the last dose; at least 24 h."
    late = codes(tank, facts, dose(small), dose(small, 32), dose(small, 55), code="E-DOSE-22")
    assert [caution.hour for caution in late] == [55]


def bath(mg_l: float, minutes: float) -> Bath:
    return Bath(10, "main", "carp", "tub", FORMALIN, mg_l, minutes, "bath", "")


def test_a_bath_beside_the_tank_is_held_to_strength_and_minutes(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = figures(know, {MINUTES: (30.0, None, 60.0)})
    assert codes(tank, facts, bath(250, 60), code="E-DOSE-10") == []
    assert codes(tank, facts, bath(250, 60), code="E-DOSE-12") == []
    (strong,) = codes(tank, facts, bath(250.1, 60), code="E-DOSE-10")
    assert (strong.level, strong.hour, strong.agent, strong.claim_key) == (
        Level.BLOCKED, 10, FORMALIN, BATH)  # fmt: skip
    assert "250.1\xa0mg/L; the limit is 250\xa0mg/L" in strong.why
    (long,) = codes(tank, facts, bath(250, 60.5), code="E-DOSE-12")
    assert (long.level, long.hour, long.agent, long.claim_key) == (
        Level.BLOCKED, 10, FORMALIN, MINUTES)  # fmt: skip
    assert long.words.startswith("60.5 min in formalin")
    assert long.why == "At most 60 min (test figure)."
    soft = figures(know, {f"agent.{FORMALIN}.soft_max.bath": 200.0})
    assert codes(tank, soft, bath(200, 30), code="E-DOSE-11") == []
    (more,) = codes(tank, soft, bath(201, 30), code="E-DOSE-11")
    assert (more.level, more.hour, more.agent, more.claim_key) == (
        Level.CARE, 10, FORMALIN, f"agent.{FORMALIN}.soft_max.bath")  # fmt: skip
    assert "201\xa0mg/L; usual at most 200\xa0mg/L (test figure)" in more.why


def test_a_bath_of_the_whole_tank_needs_its_minutes_and_an_end(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = figures(know, {MINUTES: (30.0, None, 60.0)})
    cautions = codes(tank, facts, Dose(8, "main", FORMALIN, 200, route="bath"), code="E-DOSE-20")
    (asks,) = [
        caution for caution in cautions if caution.words == "How long is the bath with formalin?"
    ]
    assert (asks.level, asks.hour, asks.body, asks.agent, asks.claim_key) == (
        Level.BLOCKED, 8, "main", FORMALIN, MINUTES)  # fmt: skip
    for minutes, hour in ((60.0, 9), (45.0, 9)):
        timed = Dose(8, "main", FORMALIN, 200, route="bath", minutes=minutes)
        (ended,) = codes(tank, facts, timed, code="E-DOSE-12")
        assert (ended.level, ended.hour, ended.body, ended.agent) == (
            Level.BLOCKED, hour, "main", FORMALIN)  # fmt: skip
        assert ended.claim_key == f"agent.{FORMALIN}.dose.prolonged"
        assert f"After {minutes:g} min 200\xa0mg/L" in ended.why
    last = Dose(23, "main", FORMALIN, 200, route="bath", minutes=60.0)
    assert codes(tank, facts, last, code="E-DOSE-12", days=1) == []
    weak = Dose(8, "main", FORMALIN, 25, route="bath", minutes=60.0)
    assert codes(tank, facts, weak, code="E-DOSE-12") == []
