"""Salt, warmth, ready filters and what may meet: the last hour and figure that pass."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tankside.claims import Knowledge
from tankside.course import (
    BodyKind,
    Caution,
    Course,
    InWater,
    Level,
    StockGroup,
    System,
    Volume,
    run,
)
from tankside.course.actions import Air, Carbon, Dose, UltraViolet, Warm, WaterChange
from tankside.course.actions.action import Action
from tankside.course.safety.losses import share_died
from tankside.course.safety.rate_of_change import rise_in_a_day
from tankside.course.safety.together import round_up

SALT, COPPER, GREEN = "sodium_chloride", "copper_sulphate", "malachite_green"


def group(name: str = "carp", died: int = 0) -> StockGroup:
    return StockGroup(name, "koi", name, 3, 20.0, None, "main", "adult", False, died)


@pytest.fixture
def tank(elm_road: System) -> System:
    return replace(elm_road, volume=Volume(100, 100, 100, "two methods"), oxygen_mg_l=None,
                   total_ammonia_mg_l_n=None, nitrite_mg_l_n=None)  # fmt: skip


def figures(
    know: Callable[..., Knowledge], **changes: float | tuple[float, float, float]
) -> Knowledge:
    return know(**{f"practice.course.{name}".replace(".", "__"): v for name, v in changes.items()})


def cautions_of(
    tank: System,
    facts: Knowledge,
    *steps: Action,
    code: str,
    days: int = 5,
    stock: list[StockGroup] | None = None,
) -> list[Caution]:
    groups = [group()] if stock is None else stock
    result = run([tank], groups, Course("c", days, steps), facts)
    return [caution for caution in result.safety if caution.code == code and caution.action is None]


# Speed of change ------------------------------------------------------------------------------


def test_a_rise_is_counted_over_the_24_hours_before() -> None:
    series = np.array([1.0] * 10 + [2.0] * 30)
    rise = rise_in_a_day(series, 1.0)
    assert rise.shape == series.shape
    assert rise[:10].tolist() == [0.0] * 10
    assert rise[10:34].tolist() == [1.0] * 24
    assert rise[34:].tolist() == [0.0] * 6
    assert rise_in_a_day(np.array([1.0, 2.0, 4.0]), 1.0).tolist() == [0.0, 1.0, 3.0]
    at_once = rise_in_a_day(np.array([3.0] * 30), 1.0)
    assert at_once.tolist() == [2.0] * 24 + [0.0] * 6


def test_salt_may_rise_so_much_in_a_day_and_no_more(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = figures(know, salt_rise_per_day=(1.0, 2.0, 3.0))

    def salted(mg_l: float) -> list[Caution]:
        return cautions_of(tank, facts, Dose(8, "main", SALT, mg_l), code="S-SALT-RATE")

    assert salted(1999.0) == []
    (fast,) = salted(2100.0)
    assert (fast.level, fast.hour, fast.body) == (Level.CARE, 8, "main")
    assert fast.claim_key == "practice.course.salt_rise_per_day"
    assert fast.why == "Up to 2.1 g/L in 24 h; usual at most 2, never above 3."
    assert salted(3059.0)[0].level is Level.CARE
    assert salted(3061.0)[0].level is Level.BLOCKED
    steps = (Dose(8, "main", SALT, 1500.0), Dose(31, "main", SALT, 1500.0))
    (second,) = cautions_of(tank, facts, *steps, code="S-SALT-RATE")
    assert second.hour == 31
    later = (Dose(8, "main", SALT, 1500.0), Dose(32, "main", SALT, 1500.0))
    assert cautions_of(tank, facts, *later, code="S-SALT-RATE") == []


@pytest.mark.parametrize("read_g_l", [0.0, 1.5, None])
@pytest.mark.parametrize("mg_l", [1999.0, 2100.0, 3500.0])
def test_salt_at_the_first_hour_is_judged_as_at_any_other(
    tank: System, know: Callable[..., Knowledge], read_g_l: float | None, mg_l: float
) -> None:
    """What was read before, or never read, does not hide a rise at hour 0."""
    facts = figures(know, salt_rise_per_day=(1.0, 2.0, 3.0))
    water = replace(tank, salinity_g_l=read_g_l, water="fresh" if read_g_l is not None else None)

    def levels(hour: int) -> list[Level]:
        step = Dose(hour, "main", SALT, mg_l)
        return [c.level for c in cautions_of(water, facts, step, code="S-SALT-RATE")]

    assert (
        levels(0) == levels(9) == {1999.0: [], 2100.0: [Level.CARE], 3500.0: [Level.BLOCKED]}[mg_l]
    )


@pytest.mark.parametrize("new_c", [15.0, 24.0])
def test_cold_water_at_the_first_hour_is_judged_as_at_any_other(
    tank: System, know: Callable[..., Knowledge], new_c: float
) -> None:
    facts = figures(know, cooling_per_day=1.0, warming_per_day=2.0)
    cold = replace(tank, new_water=replace(tank.new_water, temperature_c=new_c))

    def fast(hour: int) -> list[str]:
        change = WaterChange(hour, "main", 50.0)
        return [c.why for c in cautions_of(cold, facts, change, code="S-HEAT-RATE")]

    assert fast(0) == fast(9)
    assert bool(fast(0)) is (new_c < 20)


def test_salt_that_the_reading_shows_and_nobody_told_of_is_asked_about(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = know(practice__course__fresh_salinity=(0.0, 0.2, 0.5))
    dose = Dose(8, "main", SALT, 1000.0)

    def there(**more: Any) -> list[Caution]:
        return cautions_of(replace(tank, **more), facts, dose, code="S-SALT-THERE")

    assert there(salinity_g_l=0.5) == []
    (asks,) = there(salinity_g_l=0.6)
    assert (asks.level, asks.body, asks.agent) == (Level.CARE, "main", SALT)
    assert "reading is 0.6 g/L, fresh water holds at most 0.5" in asks.why
    assert there(salinity_g_l=0.6, water="marine") == []
    assert there(salinity_g_l=0.6, residues=(InWater(SALT, 600.0, 600.0),)) == []
    assert cautions_of(replace(tank, salinity_g_l=0.6), facts, code="S-SALT-THERE") == []


@pytest.mark.parametrize(
    ("key", "to_c", "words"),
    [("warming_per_day", 29.0, "warms"), ("cooling_per_day", 22.0, "cools")],
)
def test_water_warms_and_cools_no_faster_than_the_rule(
    tank: System, know: Callable[..., Knowledge], key: str, to_c: float, words: str
) -> None:
    facts = figures(know, **{key: 2.0})
    assert cautions_of(tank, facts, Warm(8, "main", to_c, 2.0), code="S-HEAT-RATE") == []
    (fast,) = cautions_of(tank, facts, Warm(8, "main", to_c, 3.0), code="S-HEAT-RATE")
    assert (fast.level, fast.body, fast.claim_key) == (
        Level.CARE, "main", f"practice.course.{key}")  # fmt: skip
    assert fast.hour is not None
    assert 8 < fast.hour <= 32
    assert fast.words == f"The water {words} fast."
    assert fast.why.startswith("Up to 3 C in 24 h; a public-aquarium rule is 2")


def test_a_temperature_that_is_not_known_is_asked_for(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    (asks,) = cautions_of(replace(tank, temperature_c=None), know(), code="S-TEMPERATURE-ASK")
    assert (asks.level, asks.body, asks.claim_key) == (Level.CARE, "main", "")
    assert "the tank" in asks.words
    assert cautions_of(tank, know(), code="S-TEMPERATURE-ASK") == []
    nobody = cautions_of(
        replace(tank, temperature_c=None), know(), code="S-TEMPERATURE-ASK", stock=[]
    )
    assert nobody == []


# Around a dose --------------------------------------------------------------------------------


def test_a_volume_less_sure_than_the_rule_is_called_weak(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = figures(know, volume_ask_difference=0.1)
    dose = Dose(8, "main", COPPER, 0.15)
    sure = replace(tank, volume=Volume(105, 100, 110, "two methods"))
    assert cautions_of(sure, facts, dose, code="E-DOSE-21") == []
    weak = replace(tank, volume=Volume(105, 100, 110.2, "one method"))
    (asks,) = cautions_of(weak, facts, dose, code="E-DOSE-21")
    assert (asks.level, asks.hour, asks.body) == (Level.CARE, 8, "main")
    assert asks.claim_key == "practice.course.volume_ask_difference"
    assert asks.why.replace("\xa0", " ") == (
        "one method: 100 L to 110.2 L fit, and amounts are worked out for 105 L."
    )
    assert cautions_of(weak, know(), dose, code="E-DOSE-21") == []
    assert cautions_of(weak, facts, code="E-DOSE-21") == []


@pytest.mark.parametrize(
    ("effect", "words"),
    [("lost", "Filter may be lost"), ("at_risk", "Filter at risk"), (None, "Filter at risk")],
)
def test_what_happens_to_the_filter_is_said_unless_it_is_spared(
    tank: System, know: Callable[..., Knowledge], effect: str | None, words: str
) -> None:
    effects = {} if effect is None else {f"agent__{COPPER}__effect__filter": effect}
    (caution,) = cautions_of(tank, know(**effects), Dose(9, "main", COPPER, 0.15), code="S-FILTER")
    assert (caution.level, caution.hour, caution.body, caution.agent) == (
        Level.CARE,
        9,
        "main",
        COPPER,
    )
    assert caution.claim_key == f"agent.{COPPER}.effect.filter"
    assert caution.words.startswith(words)
    spared = know(**{f"agent__{COPPER}__effect__filter": "spared"})
    assert cautions_of(tank, spared, Dose(9, "main", COPPER, 0.15), code="S-FILTER") == []


def test_carbon_is_to_be_out_before_the_dose(tank: System, know: Callable[..., Knowledge]) -> None:
    dose = Dose(9, "main", GREEN, 0.1)
    assert cautions_of(tank, know(), dose, code="S-CARBON") == []
    (there,) = cautions_of(replace(tank, carbon_in=True), know(), dose, code="S-CARBON")
    assert (there.level, there.hour, there.body, there.agent) == (Level.CARE, 9, "main", GREEN)
    assert there.claim_key == f"agent.{GREEN}.removal.carbon"
    assert there.why == "It takes the agent out."
    (maybe,) = cautions_of(replace(tank, carbon_in=None), know(), dose, code="S-CARBON")
    assert (maybe.level, maybe.hour, maybe.body, maybe.agent) == (Level.NOTE, 9, "main", GREEN)
    out = Carbon(2, "main", False)
    for carbon in (True, None):
        assert (
            cautions_of(replace(tank, carbon_in=carbon), know(), out, dose, code="S-CARBON") == []
        )
    copper = Dose(9, "main", COPPER, 0.15)
    (unsure,) = cautions_of(replace(tank, carbon_in=True), know(), copper, code="S-CARBON")
    assert unsure.why == "It may take the agent out."
    never = know(**{f"agent__{COPPER}__removal__carbon": "does_not"})
    assert cautions_of(replace(tank, carbon_in=True), never, copper, code="S-CARBON") == []


def test_ultraviolet_is_to_be_off_for_an_agent_it_breaks_down(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    dose = Dose(9, "main", GREEN, 0.1)
    lit = replace(tank, uv_on=True, uv_turnover_per_h=1.0)
    breaks = know(**{f"agent__{GREEN}__removal__uv": "removes"})
    (caution,) = cautions_of(lit, breaks, dose, code="S-UV")
    assert (caution.level, caution.hour, caution.body, caution.agent) == (
        Level.CARE,
        9,
        "main",
        GREEN,
    )
    assert caution.claim_key == f"agent.{GREEN}.removal.uv"
    assert cautions_of(lit, know(), dose, code="S-UV") == []
    assert (
        cautions_of(lit, know(**{f"agent__{GREEN}__removal__uv": "does_not"}), dose, code="S-UV")
        == []
    )
    assert cautions_of(replace(tank, uv_on=False), breaks, dose, code="S-UV") == []
    assert cautions_of(lit, breaks, UltraViolet(2, "main", False), dose, code="S-UV") == []


def test_air_drives_out_carbon_dioxide_that_is_led_in(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    (caution,) = cautions_of(
        replace(tank, co2_added=True), know(), Air(5, "main", True), code="S-CO2"
    )
    assert (caution.level, caution.hour, caution.body, caution.claim_key) == (
        Level.CARE,
        5,
        "main",
        "",
    )
    assert cautions_of(replace(tank, co2_added=True), know(), code="S-CO2") == []
    assert cautions_of(tank, know(), Air(5, "main", True), code="S-CO2") == []
    off = Air(5, "main", False)
    assert cautions_of(replace(tank, co2_added=True), know(), off, code="S-CO2") == []


# What may meet --------------------------------------------------------------------------------


@pytest.mark.parametrize(("hours", "whole"), [(24.0, 24), (23.2, 24), (0.0, 0), (24.0001, 25)])
def test_hours_apart_are_never_fewer_than_asked_for(hours: float, whole: int) -> None:
    assert round_up(hours) == whole


def test_two_medicines_are_kept_apart_by_the_days_of_practice(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = know(**{"practice__course__days_between_medicines": 1.0,
                    f"agent__{GREEN}__half_life": 0.01, f"agent__{COPPER}__half_life": 0.01,
                    "practice__course__gone_share": 0.01})  # fmt: skip

    def meet(second: int) -> list[Caution]:
        doses = (Dose(8, "main", GREEN, 0.1), Dose(second, "main", COPPER, 0.15))
        return cautions_of(tank, facts, *doses, code="E-DOSE-23")

    (close,) = meet(30)
    assert (close.level, close.hour, close.body) == (Level.CARE, 30, "main")
    assert close.claim_key == "practice.course.days_between_medicines"
    assert close.why == "Practice keeps 24 h between two medicines."
    assert (len(meet(32)), len(meet(33))) == (1, 0)
    salted = cautions_of(tank, facts, Dose(8, "main", SALT, 1000.0), Dose(9, "main", COPPER, 0.15),
                   code="E-DOSE-23")  # fmt: skip
    assert salted == []


# Losses ---------------------------------------------------------------------------------------


def test_losses_are_a_share_of_the_living_and_the_dead(
    tank: System, know: Callable[..., Knowledge]
) -> None:
    facts = figures(know, losses_care=0.25)
    assert share_died((group(died=1), group("orfe", died=2))) == pytest.approx(1 / 3)
    assert share_died(()) == 0.0
    assert cautions_of(tank, facts, code="S-LOSSES", stock=[group(died=1)]) == []
    stock = [group(died=3), group("orfe")]
    (caution,) = cautions_of(tank, facts, code="S-LOSSES", stock=stock)
    assert (caution.level, caution.body, caution.group) == (Level.CARE, "main", "carp")
    assert caution.claim_key == "practice.course.losses_care"
    assert caution.words == "50.0% of carp died (3 of 6)."
    assert caution.why == "Over all animals it is 33.3%; care above 25% of a group."
    assert tank.kind == BodyKind.MAIN
