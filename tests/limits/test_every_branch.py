"""The turns of the parser, the amounts and the limits that no other test takes.

Counted with::

    pytest tests/quantity tests/course tests/limits --cov=tankside.quantity --cov=tankside.course \
        --cov-branch --cov-report=term-missing
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from tankside.claims import Knowledge
from tankside.course import (
    Agreement,
    Course,
    InWater,
    LabelEntry,
    StockGroup,
    StrengthBasis,
    System,
    Tool,
    ToolUnit,
    VolumeRules,
    compare_volumes,
    run,
)
from tankside.course.actions import Dose, UltraViolet
from tankside.course.actions.action import Action
from tankside.course.amounts.choice import unfit_label
from tankside.course.amounts.double_check import strength_from_print
from tankside.course.amounts.limits import (
    UNKNOWN,
    Around,
    Limit,
    hard_limit,
    is_inside,
    lowest_useful,
    soft_limit,
)
from tankside.course.amounts.needs import Readings, around
from tankside.course.amounts.printing import label_words
from tankside.course.amounts.stock_solution import within
from tankside.course.amounts.weighing import weigh_out
from tankside.course.amounts.young import is_young
from tankside.errors import BadInput, NotPossible
from tankside.intake.labels import read_labels
from tankside.quantity import Kind, parse_number, parse_quantity
from tankside.quantity.counts import check_share, parse_count, whole_count
from tankside.quantity.moment import parse_moment
from tankside.quantity.show import reading
from tankside.quantity.strict_json import parse_json


def refusal(call: Callable[..., Any], *args: Any, **kwargs: bool | str) -> str:
    with pytest.raises(BadInput) as refused:
        call(*args, **kwargs)
    return refused.value.code


def test_a_reading_is_shown_as_typed_and_unparted() -> None:
    assert reading(parse_quantity("7.0 mg/L", Kind.OXYGEN, field="oxygen")) == "7.0\xa0mg/L"
    assert reading(parse_quantity("7.0", Kind.PH, field="ph")) == "7.0"


def test_an_empty_ph_is_no_ph() -> None:
    assert refusal(parse_quantity, " ", Kind.PH, field="ph") == "E-NUM-01"


def test_a_comma_is_read_in_a_quantity_of_a_file_that_declares_it() -> None:
    read = parse_quantity("12,5 L", Kind.VOLUME, field="volume", comma_declared=True)
    assert read.to("L") == Decimal("12.5")
    code = refusal(parse_quantity, "12.5 L", Kind.VOLUME, field="volume", comma_declared=True)
    assert code == "E-NUM-02"


def test_a_share_larger_than_its_whole_is_refused_and_one_as_large_is_not() -> None:
    names = {"part_name": "infected", "whole_name": "examined", "field": "count"}
    check_share(5, 5, **names)
    assert refusal(check_share, 6, 5, **names) == "E-COUNT-01"


@pytest.mark.parametrize("text", ["2026-03-04T24:30+01:00", "2026-03-04T10:61Z"])
def test_a_time_that_no_clock_shows_is_refused(text: str) -> None:
    assert refusal(parse_moment, text, field="on", zone="UTC") in ("E-DATE-01", "E-DATE-02")


def test_a_finite_number_in_json_is_kept_and_one_too_large_is_refused() -> None:
    assert parse_json(b'{"a": 1.5}') == {"a": 1.5}
    assert refusal(parse_json, b'{"a": 1e400}') == "E-NUM-05"


def liquid(**more: Any) -> LabelEntry:
    return replace(
        LabelEntry("x", Decimal("0.35"), StrengthBasis.MASS_PER_VOLUME, "x", Decimal(1),
                   Decimal("1.2"), Tool(ToolUnit.MILLIGRAM, Decimal(1))),
        **more,
    )  # fmt: skip


def test_a_liquid_is_weighed_in_milligrams_too() -> None:
    """10 mg/L in 35 L is 350 mg: 1 mL of a 35 % w/v liquid, which weighs 1200 mg at 1.2 g/mL."""
    assert weigh_out(Decimal(10), Decimal(35), liquid()).value == 1200
    assert strength_from_print("1200 mg", label_words(liquid()), "", "35") == 10


def test_the_way_back_refuses_a_liquid_on_a_scale_without_its_density() -> None:
    words = label_words(liquid(density_g_ml=None))
    with pytest.raises(NotPossible) as refused:
        strength_from_print("1200 mg", words, "", "35")
    assert refused.value.code == "E-DOSE-900"


@pytest.mark.parametrize(
    ("amount", "words", "stock"),
    [
        ("a pinch", "", ""),
        ("5 g", "strength unknown", ""),
        ("5\xa0g", label_words(liquid()), "Dissolve some in water to make 1000 mL"),
        ("5 g", label_words(liquid()), "Dissolve 10 g in water to make 1000 mL"),
    ],
)
def test_the_way_back_refuses_words_it_cannot_read(amount: str, words: str, stock: str) -> None:
    with pytest.raises(NotPossible) as refused:
        strength_from_print(amount, words, stock, "100")
    assert refused.value.code == "E-DOSE-900"


def test_a_route_that_nobody_printed_has_no_limit_of_either_kind(facts: Knowledge) -> None:
    assert hard_limit(facts, "copper_chelated", "prolonged", UNKNOWN) is None
    assert soft_limit(facts, "copper_chelated", "prolonged") is None
    assert hard_limit(facts, "formalin", "feed", UNKNOWN) is None


# The turns of what stands against an agent ----------------------------------------------------


def with_age(stage: str | None) -> StockGroup:
    return StockGroup(str(stage), "cyprinus_carpio_koi", "carp", 3, 5.0, None, "main", stage)


def test_one_young_group_makes_the_water_one_with_young_fish(
    water: System, facts: Knowledge
) -> None:
    readings = Readings.at_start(water)
    assert around(facts, readings, [with_age("adult"), with_age("fry")]).young is True
    assert around(facts, readings, [with_age(None), with_age("larva")]).young is True
    assert around(facts, readings, [with_age("adult"), with_age(None)]).young is None
    assert around(facts, readings, [with_age("adult")]).young is False


def of_length(
    length_cm: float | None, host: str | None = "symphysodon_spp", life_stage: str | None = None
) -> StockGroup:
    return StockGroup("g", host, "discus", 3, length_cm, None, "main", life_stage)


def test_length_tells_the_age_where_no_life_stage_was_told(facts: Knowledge) -> None:
    """Discus grow to 20 cm: a third of that is 6.6 cm; no fry of any species has 10 cm."""
    assert is_young(facts, of_length(6.6)) is False
    assert is_young(facts, of_length(6.5)) is None
    assert is_young(facts, of_length(None)) is None
    assert is_young(facts, of_length(14.0, life_stage="fry")) is True
    assert is_young(facts, of_length(2.0, life_stage="juvenile")) is False
    assert is_young(facts, of_length(9.9, "cyprinus_carpio_koi")) is None
    assert is_young(facts, of_length(10.0, "cyprinus_carpio_koi")) is False
    assert is_young(facts, of_length(10.0, None)) is False
    assert is_young(facts, of_length(9.9, None)) is None
    assert is_young(facts, of_length(None, "neocaridina_davidi")) is False
    assert is_young(facts, of_length(None, "neocaridina_davidi", life_stage="larva")) is True


def test_a_container_of_what_the_library_does_not_hold_is_not_judged_by_its_form(
    facts: Knowledge,
) -> None:
    stranger = liquid(agent="moon_dust")
    assert unfit_label(facts, "moon_dust", "moon dust", stranger) is None
    assert unfit_label(facts, "formalin", "formalin", stranger) is not None


def test_what_the_library_does_not_hold_shares_no_active_and_has_no_limit(
    water: System, facts: Knowledge
) -> None:
    there = replace(water, residues=(InWater("moon_dust", 1.0, 1.0),))
    dose = Dose(8, "main", "formalin", 15.0)
    course_run = run([there], [fish_group()], Course("c", 2, (dose,)), facts)
    assert "E-DOSE-22" not in {caution.code for caution in course_run.blocked}
    strange = run([water], [], Course("c", 2, (Dose(8, "main", "moon_dust", 1.0),)), facts)
    assert "E-DOSE-10" in {caution.code for caution in strange.blocked}


def fish_group() -> StockGroup:
    return StockGroup("f", "cyprinus_carpio_koi", "carp", 3, 20.0, None, "main", "adult", False)


def test_a_bath_that_lasts_beyond_the_course_is_judged_by_the_plan_that_follows(
    water: System, facts: Knowledge
) -> None:
    """The hour in which it should end lies outside; its strength and its minutes still count."""
    bath = Dose(23, "main", "formalin", 150.0, route="bath", minutes=60.0)
    course_run = run([water], [fish_group()], Course("c", 1, (bath,)), facts)
    codes = {caution.code for caution in course_run.blocked}
    assert "E-DOSE-12" not in codes
    long = replace(bath, minutes=61.0)
    again = run([water], [fish_group()], Course("c", 1, (long,)), facts)
    assert "E-DOSE-12" in {caution.code for caution in again.blocked}


def test_uv_turned_off_before_the_dose_says_nothing(water: System, facts: Knowledge) -> None:
    lit = replace(water, uv_on=True, uv_turnover_per_h=1.0)
    dose = Dose(30, "main", "malachite_green", 0.05)

    def codes(*steps: Action) -> set[str]:
        course_run = run([lit], [fish_group()], Course("c", 4, (*steps, dose)), facts)
        return {caution.code for caution in course_run.safety}

    assert "S-UV" in codes()
    assert "S-UV" not in codes(UltraViolet(0, "main", False))


@pytest.mark.parametrize(
    ("typed", "scale", "syringe", "code"),
    [
        ("sodium_chloride=pure", "1 kg", None, "E-PROD-01"),
        ("sodium_chloride", "1 g", None, "E-PROD-01"),
        ("moon_dust=pure", "1 g", None, "E-PROD-02"),
        ("sodium_chloride=pure", None, None, "E-PROD-01"),
        ("sodium_chloride=5 %", "1 g", None, "E-UNIT-03"),
        ("formalin=as product", None, "1 L", "E-PROD-01"),
        ("formalin=as product", None, None, "E-PROD-01"),
    ],
)
def test_a_label_or_a_tool_that_cannot_be_read_is_refused(
    facts: Knowledge, typed: str, scale: str | None, syringe: str | None, code: str
) -> None:
    assert refusal(read_labels, facts, [typed], scale, syringe) == code


def test_a_share_that_cannot_be_is_no_strength_of_a_label(facts: Knowledge) -> None:
    for strength in ("0 % w/w", "101 % w/w", "0.0 % w/v"):
        typed = [f"sodium_chloride={strength}"]
        assert refusal(read_labels, facts, typed, "1 g", None) == "E-PROD-01"
    whole = read_labels(facts, ["sodium_chloride=100 % w/w"], "1 g", None)
    assert whole["sodium_chloride"].strength == 1


# Edges that only a planted change of the source brought to light -------------------------------


def test_fifteen_digits_are_read_and_sixteen_are_not() -> None:
    assert parse_number("123456789012345", field="volume") == 123456789012345
    assert refusal(parse_number, "1234567890123456", field="volume") == "E-NUM-10"


@pytest.mark.parametrize("pair", [(0.0, 175.0), (175.0, 0.0), (175.0, math.inf), (-5.0, 5.0)])
def test_volumes_that_cannot_be_are_never_said_to_agree(pair: tuple[float, float]) -> None:
    assert compare_volumes(*pair, VolumeRules(0.1, 0.25)).agreement is Agreement.STOP


def test_water_exactly_as_warm_as_the_edge_keeps_the_cool_limit(facts: Knowledge) -> None:
    edge = facts.number("agent.formalin.warm_above.bath")
    at, above = (
        hard_limit(facts, "formalin", "bath", Around(t, 120.0, young=False))
        for t in (edge, math.nextafter(edge, math.inf))
    )
    assert at is not None
    assert above is not None
    assert above.mg_l < at.mg_l


def test_a_density_of_nothing_is_no_density() -> None:
    for density in ("0", "-1.2"):
        assert refusal(weigh_out, Decimal(10), Decimal(35),
                       liquid(density_g_ml=Decimal(density))) == "E-PROD-01"  # fmt: skip


def test_a_count_has_an_upper_end_at_either_door() -> None:
    assert whole_count(10_000_000, field="spots") == 10_000_000
    assert parse_count("10000000", field="spots") == 10_000_000
    for call, value in ((whole_count, 10_000_001), (parse_count, "10000001"), (whole_count, -1)):
        assert refusal(call, value, field="spots") == "E-COUNT-01"
    assert refusal(parse_count, 5, field="spots") == "E-NUM-06"


def test_the_lowest_useful_strength_is_the_lower_end(facts: Knowledge) -> None:
    low = lowest_useful(facts, "formalin", "prolonged")
    assert low is not None
    assert low.mg_l == facts.claim("agent.formalin.dose.prolonged").bounds()[0]
    assert low.mg_l < facts.claim("agent.formalin.dose.prolonged").bounds()[1]


def test_exactly_at_a_limit_is_inside_and_no_number_never_is() -> None:
    limit = Limit(5.0, "a key", "a leaflet")
    assert is_inside(5.0, limit)
    assert not is_inside(5.0001, limit)
    assert not is_inside(math.nan, limit)


def test_an_amount_exactly_two_per_cent_off_passes_and_a_hair_more_does_not() -> None:
    assert within(Decimal("1.02"), Decimal(1))
    assert within(Decimal("0.98"), Decimal(1))
    assert not within(Decimal("1.0200001"), Decimal(1))
    assert not within(Decimal(0), Decimal("0.001"))


def test_a_bath_of_half_a_litre_is_compared_like_a_pond() -> None:
    assert compare_volumes(0.5, 0.52, VolumeRules(0.1, 0.25)).agreement is Agreement.AGREE
    assert compare_volumes(0.5, 0.6, VolumeRules(0.1, 0.25)).agreement is Agreement.ASK
