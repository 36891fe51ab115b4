"""Oxygen, ammonia, nitrite and pH on curves drawn by hand: the last figure that passes, and when.

Shares of un-ionised ammonia are those of Emerson et al. 1975 (J. Fish. Res. Board Can. 32,
2379-2383), percent NH3: 0.566 at pH 7, 5.38 at pH 8 and 36.3 at pH 9, all at 25 C, from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from tankside.claims import Knowledge
from tankside.course import BodyKind, FilterState, Level, System
from tankside.course.bodies.caution import Caution
from tankside.course.bodies.effects import Switch, Warmed
from tankside.course.safety import gases

HOURS = 48
AT = 31  # the second day, 7 o'clock
COPPER = "copper_sulphate"


Draw = Callable[..., SimpleNamespace]
Say = Callable[..., list[Caution]]


def curve(
    usual: float, at: dict[int, float] | None = None, others: float | None = None
) -> np.ndarray:
    """Return three strata of hours; ``at`` changes hours of the harsh one, ``others`` the rest."""
    series = np.full((3, HOURS), usual)
    if others is not None:
        series[1:] = others
    for hour, value in (at or {}).items():
        series[0, hour] = value
    return series


@pytest.fixture
def water(elm_road: System) -> Callable[..., SimpleNamespace]:
    """Return the function that draws the water of one tank."""

    def draw(
        *, oxygen: np.ndarray | None = None, ask: str = "", ammonia: np.ndarray | None = None,
        nitrite: np.ndarray | None = None, ph: np.ndarray | None = None,
        settled: np.ndarray | None = None, warmth: float = 25.0, salinity: float = 0.0,
        ramps: Iterable[object] = (), air: Iterable[object] = (), agents: Iterable[object] = (),
        ammonia_ask: str = "", ph_read: float | None = None, **system: Any,
    ) -> SimpleNamespace:  # fmt: skip
        drawn = 8.0 if ph is None else float(ph[0, 0])
        system.setdefault("ph", drawn if ph_read is None else ph_read)
        run = SimpleNamespace(
            system=replace(elm_road, **system), target_c=np.full(HOURS, 25.0), agents=agents,
            steps=SimpleNamespace(ramps=list(ramps), switches={Switch.AIR_STONE: list(air)}),
            temperature_c=curve(warmth), salinity_g_l=curve(salinity),
        )  # fmt: skip
        return SimpleNamespace(
            run=run,
            oxygen=SimpleNamespace(
                ask=ask, oxygen_mg_l=curve(8.0) if oxygen is None else oxygen,
                saturation_mg_l=curve(9.0, {AT: 8.4}),
            ),
            nitrogen=SimpleNamespace(
                ask=ammonia_ask, ammonia_mg_l_n=curve(0.0) if ammonia is None else ammonia,
                nitrite_mg_l_n=curve(0.0) if nitrite is None else nitrite,
            ),
            acidity=SimpleNamespace(ph=curve(8.0) if ph is None else ph, settled_ph=settled),
        )  # fmt: skip

    return draw


@pytest.fixture
def said_of(know: Callable[..., Knowledge]) -> Callable[..., list[Caution]]:
    """Return the function that gives what is said of a water."""

    def say(
        water: SimpleNamespace,
        facts: Knowledge | None = None,
        *,
        animals: bool = True,
        effects: Iterable[tuple[float, float | None]] = ((8, None),),
        events: Iterable[object] = (),
        doses: Iterable[object] = (),
    ) -> list[Caution]:
        inside = np.full(HOURS, animals)
        scene: Any = SimpleNamespace(
            facts=facts or know(), waters={"main": water}, harsh=0,
            stock=(SimpleNamespace(id="carp"),), in_body=lambda group, body: inside,
            in_water=lambda body: "",
            schedule=SimpleNamespace(effects=effects, events=events), doses=lambda *of: doses,
        )  # fmt: skip
        return list(gases.check(scene))

    return say


def test_calm_water_says_nothing(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    assert said_of(water()) == []


def test_only_water_with_animals_in_it_is_followed_and_no_bath(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    bad = {"oxygen": curve(1.0)}
    assert [caution.code for caution in said_of(water(**bad))] == ["S-OXYGEN"]
    assert said_of(water(**bad), animals=False) == []
    assert said_of(water(**bad, kind=BodyKind.BATH)) == []


# Oxygen: care below 5, not offered below 3 (the small set of facts) -----------------------------


def test_oxygen_at_the_care_figure_passes_and_below_it_is_told(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    assert said_of(water(oxygen=curve(8.0, {AT: 5.0}, others=0.5))) == []
    (low,) = said_of(water(oxygen=curve(8.0, {AT: 4.9, AT + 1: 4.95})))
    assert (low.level, low.code, low.hour, low.body) == (Level.CARE, "S-OXYGEN", AT, "main")
    assert low.words == "Oxygen gets low."
    assert low.claim_key == "practice.course.oxygen_care"
    assert low.why == (
        "Down to 4.9 mg/L on day 1 at 7 h; care below 5, not offered below 3. Saturation then 8.4."
    )


def test_oxygen_at_the_floor_is_told_and_below_it_stopped_from_that_hour(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    (low,) = said_of(water(oxygen=curve(8.0, {AT: 3.0})))
    assert (low.level, low.hour) == (Level.CARE, AT)
    (stopped,) = said_of(water(oxygen=curve(8.0, {AT - 2: 3.0, AT: 2.9})))
    assert (stopped.level, stopped.hour, stopped.body) == (Level.BLOCKED, AT, "main")
    assert stopped.words == "Oxygen falls too low."
    assert stopped.claim_key == "practice.course.oxygen_floor"
    assert stopped.why.startswith("Down to 2.9 mg/L on day 1 at 7 h;")


def test_oxygen_that_is_no_number_is_never_enough(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    (stopped,) = said_of(water(oxygen=curve(8.0, {AT: np.nan})))
    assert (stopped.level, stopped.hour) == (Level.BLOCKED, AT)


WARMER, AS_WARM = (3, Warmed("main", 28.0, 1.0)), (3, Warmed("main", 25.0, 1.0))


@pytest.mark.parametrize(
    ("more", "demand", "level"),
    [
        ({}, None, None),
        ({"ramps": [AS_WARM]}, None, None),
        ({"ramps": [WARMER]}, None, Level.CARE),
        ({"ramps": [AS_WARM, WARMER]}, None, Level.CARE),
        ({"air": [(4, 1.0)]}, None, None),
        ({"air": [(4, 0.0)]}, None, Level.CARE),
        ({"air": [(4, 1.0), (9, 0.0)]}, None, Level.CARE),
        ({"agents": (COPPER,)}, None, None),
        ({"agents": (COPPER,)}, 0.0, None),
        ({"agents": (COPPER,)}, 0.2, Level.CARE),
        ({"gasping": True}, None, None),
        ({"gasping": True, "air": [(4, 0.0)]}, None, Level.CARE),
        ({"gasping": True, "ramps": [WARMER]}, None, Level.BLOCKED),
        ({"gasping": True, "ramps": [WARMER], "air": [(4, 0.0)]}, None, Level.BLOCKED),
        ({"gasping": True, "ramps": [WARMER], "air": [(2, 1.0)]}, None, Level.CARE),
        ({"gasping": None, "ramps": [WARMER]}, None, Level.CARE),
    ],
)  # fmt: skip
def test_unknown_oxygen_is_asked_for_where_the_course_leans_on_it(
    water: Callable[..., SimpleNamespace],
    said_of: Callable[..., list[Caution]],
    know: Callable[..., Knowledge],
    more: dict[str, Any],
    demand: float | None,
    level: Level | None,
) -> None:
    facts = know() if demand is None else know(**{f"agent__{COPPER}__oxygen_demand": demand})
    cautions = said_of(water(ask="oxygen, by day and at dawn", oxygen=curve(np.nan), **more), facts)
    assert [caution.level for caution in cautions] == ([] if level is None else [level])
    for caution in cautions:
        assert (caution.body, caution.claim_key) == ("main", "practice.course.oxygen_care")
        asks = caution.level is Level.CARE
        assert caution.code == ("S-OXYGEN-ASK" if asks else "S-OXYGEN")
        assert ("measure oxygen, by day and at dawn" in caution.words) is asks


# Ammonia: guideline 0.02 mg/L as NH3 (0.0164 as N), gill damage from 0.05 as N --------------------


@pytest.mark.parametrize(
    ("total", "words", "key"),
    [
        (0.30, None, None),  # 0.30 x 5.38 % = 0.0161
        (0.32, "Toxic ammonia above the guideline.", "water.ammonia.guideline_fresh.trade_body"),
        (0.92, "Toxic ammonia above the guideline.", "water.ammonia.guideline_fresh.trade_body"),
        (0.96, "Toxic ammonia may hurt gills.", "water.ammonia.gill_damage"),
    ],
)
def test_ammonia_is_held_to_the_guideline_and_to_what_hurts_gills(
    water: Callable[..., SimpleNamespace],
    said_of: Callable[..., list[Caution]],
    total: float,
    words: str | None,
    key: str | None,
) -> None:
    cautions = said_of(water(ammonia=curve(0.1, {AT: total, AT + 1: 0.32}, others=9.0)))
    if words is None:
        (later,) = cautions
        assert later.hour == AT + 1
        return
    (caution,) = cautions
    assert (caution.level, caution.code, caution.hour, caution.body) == (
        Level.CARE,
        "S-AMMONIA",
        AT,
        "main",
    )
    assert (caution.words, caution.claim_key) == (words, key)
    assert caution.why.startswith(f"Up to {total * 0.0538:.2g} mg/L as N on day 1 if the filter")
    assert caution.why.endswith("guideline 0.016, first gill damage 0.05.")


def test_ammonia_below_the_guideline_all_through_says_nothing(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    assert said_of(water(ammonia=curve(0.30, others=9.0))) == []


def test_sea_water_holds_less_toxic_ammonia_than_fresh_at_the_same_ph(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    """4.28 % at 25 C, pH 8 and S 34 (Bower and Bidwell 1978); on the NBS scale 8 % below."""
    much = curve(0.1, {AT: 0.32})
    assert [caution.code for caution in said_of(water(ammonia=much))] == ["S-AMMONIA"]
    assert said_of(water(ammonia=much, water="marine", salinity=35.0)) == []
    (caution,) = said_of(water(ammonia=curve(0.1, {AT: 0.9}), water="marine", salinity=35.0))
    assert caution.hour == AT
    assert float(caution.why.split()[2]) == pytest.approx(0.9 * 0.0428, rel=0.1)


@pytest.mark.parametrize(
    ("more", "needed"),
    [
        ({"ph": curve(8.0, {AT: np.nan})}, "needed pH."),
        ({"ammonia": curve(0.1, {AT: np.nan}), "ammonia_ask": "total ammonia"},
         "needed total ammonia."),
        ({"warmth": np.nan}, "needed pH."),
        ({"salinity": np.nan, "water": "marine"}, "needed pH."),
    ],
)  # fmt: skip
def test_ammonia_that_cannot_be_followed_is_asked_for_where_something_is_done(
    water: Callable[..., SimpleNamespace],
    said_of: Callable[..., list[Caution]],
    more: dict[str, Any],
    needed: str,
) -> None:
    (caution,) = said_of(water(**more))
    assert (caution.level, caution.code, caution.body) == (Level.NOTE, "S-AMMONIA-ASK", "main")
    assert caution.words.endswith(needed)
    assert caution.claim_key == "water.ammonia.guideline_fresh.trade_body"
    assert said_of(water(**more), effects=()) == []


def test_the_salt_of_fresh_water_does_not_matter_to_its_ammonia(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    cautions = said_of(water(ammonia=curve(0.1, {AT: 0.32}), salinity=np.nan))
    assert [caution.code for caution in cautions] == ["S-AMMONIA"]


def test_a_reading_that_may_count_bound_ammonia_is_called_the_worst_case(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    (caution,) = said_of(water(ammonia_bound=True))
    assert (caution.level, caution.code, caution.body) == (Level.CARE, "S-AMMONIA-BOUND", "main")
    assert caution.claim_key == "water.ammonia.guideline_fresh.trade_body"
    assert said_of(water(ammonia_bound=True, total_ammonia_mg_l_n=None)) == []
    assert said_of(water(ammonia_bound=None)) == []


# Nitrite: care above 0.3 ------------------------------------------------------------------------


def test_nitrite_at_its_figure_passes_and_above_it_is_told(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]]
) -> None:
    assert said_of(water(nitrite=curve(0.0, {AT: 0.3}, others=5.0))) == []
    (caution,) = said_of(water(nitrite=curve(0.0, {AT: 0.31, AT + 1: 0.4})))
    assert (caution.level, caution.code, caution.hour, caution.body) == (
        Level.CARE,
        "S-NITRITE",
        AT,
        "main",
    )
    assert caution.claim_key == "practice.course.nitrite_care"
    assert caution.why == "Up to 0.4 mg/L as N if the filter does worst; care above 0.3."
    assert said_of(water(nitrite=curve(1.0, {AT: np.nan}))) == []


# pH ---------------------------------------------------------------------------------------------


def jump(
    *, before: float = 7.0, after: float = 8.0, last: float = 7.5, early: float = 7.25
) -> np.ndarray:
    """Return a pH that is ``before`` for one hour only and jumps at hour ``AT``."""
    series = curve(early, others=3.0)
    series[0, AT - 1], series[0, AT:] = before, after
    series[0, AT + 1 :] = np.linspace(after, last, HOURS - AT - 1)
    return series


@pytest.fixture
def half(know: Callable[..., Knowledge]) -> Knowledge:
    """Return facts in which a jump of half a unit is the last that passes."""
    return know(practice__course__ph_jump_care=0.5)


def test_a_jump_of_ph_at_its_figure_passes_up_and_down(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]], half: Knowledge
) -> None:
    assert said_of(water(ph=jump(before=7.0, after=7.5)), half) == []
    assert said_of(water(ph=jump(before=7.5, after=7.0, last=7.0)), half) == []
    assert said_of(water(ph=curve(7.0, {0: np.nan}), ammonia=curve(0.0)), half, effects=()) == []
    for after in (7.625, 6.375):
        (caution,) = said_of(water(ph=jump(before=7.0, after=after, last=after)), half)
        assert (caution.level, caution.code, caution.hour, caution.body) == (
            Level.CARE,
            "S-PH",
            AT,
            "main",
        )
        assert caution.claim_key == "practice.course.ph_jump_care"
        assert caution.why.startswith("By 0.62 within an hour; care above 0.5. From 7.0 to ")


SHARE = "The toxic share of the ammonia rises "


@pytest.mark.parametrize(
    ("more", "said"),
    [
        # 5.38 / 0.566 = 9.5 and 36.3 / 0.566 = 64
        ({"ph": jump(), "settled": np.array([9.0, 3.0, 3.0])},
         "From 7.0 to 8.0 at once, 7.5 at the end of the course, 9.0 once the gases have settled. "
         + SHARE + "9.5 times at once and 64 times in the end."),
        ({"ph": jump(last=9.0)},
         "From 7.0 to 8.0 at once, 9.0 at the end of the course. "
         + SHARE + "9.5 times at once and 64 times in the end."),
        ({"ph": jump(), "settled": np.array([6.0, 9.0, 9.0])},
         "From 7.0 to 8.0 at once, 7.5 at the end of the course, 6.0 once the gases have settled. "
         + SHARE + "9.5 times at once and 9.5 times in the end."),
        ({"ph": jump(before=8.0, after=7.0, last=7.5, early=8.25)},
         "From 8.0 to 7.0 at once, 7.5 at the end of the course."),
        ({"ph": jump(before=8.0, after=7.0, last=8.0, early=8.25)},
         "From 8.0 to 7.0 at once, 8.0 at the end of the course."),
        ({"ph": jump(), "water": "marine", "salinity": 35.0},
         "From 7.0 to 8.0 at once, 7.5 at the end of the course."),
    ],
)  # fmt: skip
def test_where_the_ph_goes_is_said_and_what_it_makes_of_the_ammonia(
    water: Callable[..., SimpleNamespace],
    said_of: Callable[..., list[Caution]],
    half: Knowledge,
    more: dict[str, Any],
    said: str,
) -> None:
    (caution,) = said_of(water(**more), half)
    assert caution.why.endswith(f"care above 0.5. {said}")


def test_a_fall_that_comes_back_higher_makes_ammonia_more_toxic(
    water: Callable[..., SimpleNamespace], said_of: Callable[..., list[Caution]], half: Knowledge
) -> None:
    (caution,) = said_of(water(ph=jump(before=7.0, after=6.25, last=8.0, early=7.0)), half)
    assert SHARE in caution.why
    assert caution.why.endswith("and 9.5 times in the end.")


def test_a_jump_at_the_first_hour_counts_against_what_was_read(water: Draw, said_of: Say) -> None:
    """From 7.2 as read to 8.0 in hour 0 and on: 0.8 within an hour, 0.3 allowed."""
    (jump,) = [c for c in said_of(water(ph=curve(8.0), ph_read=7.2)) if c.code == "S-PH"]
    assert (jump.hour, jump.why.startswith("By 0.8 within an hour; care above 0.3.")) == (0, True)
    assert "From 7.2 to 8.0 at once" in jump.why
    assert said_of(water(ph=curve(8.0), ph_read=8.0)) == []


def test_ammonia_that_a_test_does_not_show_is_no_finding(water: Draw, said_of: Say) -> None:
    """At pH 9 a third of 0.05 mg/L is toxic (0.018 above 0.0165), but a zero reads up to 0.05."""
    assert said_of(water(ammonia=curve(0.05), ph=curve(9.0))) == []
    (more,) = said_of(water(ammonia=curve(0.06), ph=curve(9.0)))
    assert more.code == "S-AMMONIA"


def a_day(water: SimpleNamespace) -> SimpleNamespace:
    """Return the water with the first day of its warmth."""
    water.run.temperature_c = water.run.temperature_c[:, :24]
    return water


def test_one_amount_for_a_bath_is_not_about_the_day_in_the_tank(water: Draw, said_of: Say) -> None:
    """Nothing is done to the water and fish go to a bath: only what was read is told."""
    rising = curve(0.0, dict.fromkeys(range(2, 24), 0.9))[:, :24]
    bowl = a_day(water(ammonia=rising, ph=curve(8.0)[:, :24], nitrite=curve(0.0)[:, :24]))
    assert said_of(bowl, effects=(), events=("bath",)) == []
    assert [c.code for c in said_of(bowl, effects=(), events=())] == ["S-AMMONIA"]
    bad = a_day(water(ammonia=rising + 0.9, ph=curve(8.0)[:, :24], nitrite=curve(0.9)[:, :24]))
    codes = [c.code for c in said_of(bad, effects=(), events=("bath",))]
    assert codes == ["S-AMMONIA", "S-NITRITE"]


def test_a_filter_that_may_stop_is_told_once_until_gills_are_hurt(
    water: Draw, said_of: Say, know: Callable[..., Knowledge]
) -> None:
    """At pH 8 5.4 % is toxic: 0.32 mg/L is above the guideline, 0.96 hurts gills."""
    risk = know(**{f"agent__{COPPER}__effect__filter": "at_risk"})
    spares = know(**{f"agent__{COPPER}__effect__filter": "spared"})

    def said(facts: Knowledge, mg_l: float, **system: Any) -> list[str]:
        drawn = water(ammonia=curve(0.0, {AT: mg_l}), agents=(COPPER,), **system)
        return [c.code for c in said_of(drawn, facts, doses=((8, None),))]

    assert said(risk, 0.32) == said(know(), 0.32) == []
    assert said(risk, 0.96) == said(spares, 0.32) == ["S-AMMONIA"]
    assert said(risk, 0.32, filter_state=FilterState.UNRIPE) == ["S-AMMONIA"]
