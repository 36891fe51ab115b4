"""Needs, limits and containers at their edges: the last that passes, and what a stop points to."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from tankside.claims import Claim, Confidence, Knowledge, Provenance
from tankside.course import (
    Caution,
    LabelEntry,
    Level,
    StockGroup,
    StrengthBasis,
    System,
    Tool,
    ToolUnit,
)
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.choice import (
    forms_of,
    missing_fields,
    plain_form,
    standing_against,
    unfit_label,
)
from tankside.course.amounts.limits import (
    UNKNOWN,
    Around,
    Limit,
    hard_limit,
    is_inside,
    lowest_useful,
    reason_limit,
    soft_limit,
)
from tankside.course.amounts.needs import Readings, around, unmet
from tankside.course.amounts.other_forms import read_back, read_form_again
from tankside.course.amounts.printing import Request, print_amount

COPPER = "copper_sulphate"


def having(tank: System, name: str, value: Any) -> System:
    """Return the tank with one thing told otherwise."""
    return replace(tank, **{name: value})


def fish(stage: str | None = "adult", gills: bool | None = False, name: str = "carp") -> StockGroup:
    return StockGroup(name, "koi", name, 3, 20.0, None, "main", stage, gills)


def stops(facts: Knowledge, tank: System, *groups: StockGroup, hour: int = 30) -> list[Caution]:
    readings = Readings.at_start(tank)
    return list(unmet(facts, COPPER, "copper sulphate", readings, groups or (fish(),), hour))


# What an agent needs of the water -------------------------------------------------------------


@pytest.mark.parametrize(
    ("need", "field", "limit", "inside", "outside", "words", "unit"),
    [
        (
            "alkalinity_min",
            "alkalinity_mg_l_caco3",
            50.0,
            50.0,
            49.9,
            "alkalinity",
            "mg/L as CaCO3",
        ),
        ("oxygen_min", "oxygen_mg_l", 5.0, 5.0, 4.9, "oxygen", "mg/L"),
        ("temperature_max", "temperature_c", 27.0, 27.0, 27.1, "temperature", "C"),
        ("ph_min", "ph", 6.5, 6.5, 6.4, "pH", "pH"),
        ("ph_max", "ph", 8.0, 8.0, 8.1, "pH", "pH"),
    ],
)
def test_a_reading_at_its_limit_passes_and_one_beyond_stops(
    know: Callable[..., Knowledge],
    elm_road: System,
    need: str,
    field: str,
    limit: float,
    inside: float,
    outside: float,
    words: str,
    unit: str,
) -> None:
    key = f"agent.{COPPER}.needs.{need}"
    facts = know(**{key.replace(".", "__"): limit})
    assert stops(facts, having(elm_road, field, inside)) == []
    (caution,) = stops(facts, having(elm_road, field, outside))
    assert (caution.level, caution.code, caution.claim_key) == (Level.BLOCKED, "E-DOSE-25", key)
    assert (caution.hour, caution.body, caution.agent) == (30, "main", COPPER)
    assert caution.words.endswith(f": {words} is {outside:g} {unit}.")
    side = "at most" if need.endswith("max") else "at least"
    assert caution.why == f"Needed: {side} {limit:g} {unit} (test figure)."
    (missing,) = stops(facts, having(elm_road, field, None))
    assert (missing.level, missing.code, missing.claim_key) == (Level.BLOCKED, "E-DOSE-20", key)
    assert (missing.hour, missing.body, missing.agent) == (30, "main", COPPER)
    assert f"{words}, which is not known" in missing.words
    assert missing.what_instead == f"Measure the {words} of the tank today."


def test_a_reading_and_a_volume_are_as_old_as_they_may_be_and_no_older(
    know: Callable[..., Knowledge], elm_road: System
) -> None:
    facts = know(**{f"agent__{COPPER}__needs__ph_min": 6.5,
                    "practice__course__age_limit_water_test": 24.0,
                    "practice__course__age_limit_volume": 100.0})  # fmt: skip
    last = replace(elm_road, read_at_h={"ph": -24.0, "volume": -100.0})
    assert stops(facts, last) == []
    (ph,) = stops(facts, replace(last, read_at_h={"ph": -24.5, "volume": -100.0}))
    assert (ph.code, ph.hour, ph.body, ph.agent) == ("E-DOSE-20", 30, "main", COPPER)
    assert "pH, which is too old" in ph.words
    (volume,) = stops(facts, replace(last, read_at_h={"ph": 0.0, "volume": -100.5}))
    assert volume.claim_key == "practice.course.age_limit_volume"
    assert (volume.code, volume.hour, volume.body, volume.agent) == (
        "E-DOSE-20", 30, "main", COPPER)  # fmt: skip
    assert "water volume, which is too old" in volume.words
    assert stops(facts, replace(last, read_at_h={})) == []
    assert set(Readings.at_start(replace(last, read_at_h={})).read_at_h.values()) == {0.0}
    stateless = replace(last, read_at_h={"ph": 0.0, "volume": -1e6})
    assert stops(know(), stateless) == []


def test_an_alkalinity_that_only_has_to_be_measured_is_asked_for(
    know: Callable[..., Knowledge], elm_road: System
) -> None:
    facts = know(**{f"agent__{COPPER}__needs__alkalinity_measured": "yes"})
    assert stops(facts, replace(elm_road, alkalinity_mg_l_caco3=1.0)) == []
    (caution,) = stops(facts, elm_road)
    assert (caution.code, caution.hour, caution.body, caution.agent) == (
        "E-DOSE-20",
        30,
        "main",
        COPPER,
    )
    assert "alkalinity, which is not known" in caution.words
    later = Readings.at_start(elm_road)
    later.take(6, {"alkalinity_mg_l_caco3": 90.0})
    assert (later.values["alkalinity_mg_l_caco3"], later.read_at_h["alkalinity_mg_l_caco3"]) == (
        90.0, 6.0)  # fmt: skip
    assert list(unmet(facts, COPPER, "copper sulphate", later, [fish()], 30)) == []


def test_hurt_gills_stop_and_gills_nobody_looked_at_ask(
    know: Callable[..., Knowledge], elm_road: System
) -> None:
    key = f"agent.{COPPER}.needs.no_gill_damage"
    facts = know(**{key.replace(".", "__"): "yes"})
    assert stops(facts, elm_road, fish(), fish(name="orfe")) == []
    (hurt,) = stops(facts, elm_road, fish(), fish(gills=True, name="orfe"), fish(gills=None))
    assert (hurt.level, hurt.code, hurt.claim_key) == (Level.BLOCKED, "E-DOSE-25", key)
    assert (hurt.hour, hurt.body, hurt.agent) == (30, "main", COPPER)
    assert hurt.words.endswith("hurt gills: orfe.")
    assert hurt.why == "Stated by test figure."
    nobody = replace(facts.facts[key][0], source="", evidence="")
    bare = replace(facts, facts={**facts.facts, key: (nobody,)})
    (unsaid,) = stops(bare, elm_road, fish(gills=True))
    assert unsaid.why == "Stated by the agent file."
    (two,) = stops(facts, elm_road, fish(gills=True), fish(gills=True, name="orfe"))
    assert two.words.endswith("hurt gills: carp, orfe.")
    (asks,) = stops(facts, elm_road, fish(gills=None), fish(), fish(gills=None, name="orfe"))
    assert (asks.level, asks.code, asks.claim_key) == (Level.CARE, "E-DOSE-20", key)
    assert (asks.hour, asks.body, asks.agent) == (30, "main", COPPER)
    assert asks.words.endswith("not looked at: carp, orfe.")


@pytest.mark.parametrize("stage", ["embryo", "larva", "fry"])
def test_every_young_stage_is_young(
    elm_road: System, know: Callable[..., Knowledge], stage: str
) -> None:
    facts, readings = know(), Readings.at_start(replace(elm_road, alkalinity_mg_l_caco3=90.0))
    mixed, grown = (fish(), fish(stage), fish(None)), (fish("juvenile"),)
    assert around(facts, readings, mixed) == Around(25.5, 90.0, True, "fresh", mixed)
    assert around(facts, readings, grown) == Around(25.5, 90.0, False, "fresh", grown)
    assert around(facts, readings, []).young is False


# Limits ---------------------------------------------------------------------------------------


def test_the_strictest_limit_that_applies_is_taken_with_its_claim(
    know: Callable[..., Knowledge],
) -> None:
    hard, warm, young, slope, above = (
        f"agent.{COPPER}.{short}"
        for short in ("hard_max.prolonged", "hard_max_warm.prolonged", "hard_max_young.prolonged",
                      "dose_per_alkalinity", "warm_above.prolonged")
    )  # fmt: skip
    figures = {hard: 4.0, warm: 3.0, young: 2.0, slope: 0.01, above: 24.0}
    facts = know(**{key.replace(".", "__"): value for key, value in figures.items()})

    def limit(warmth: float | None, alkalinity: float | None, small: bool | None) -> Limit | None:
        return hard_limit(facts, COPPER, "prolonged", Around(warmth, alkalinity, small))

    assert limit(24.0, 500.0, False) == Limit(4.0, hard, "test figure")
    cool = "above 24 C; a temperature of at most 24 C, once read, lifts this stop"
    old = (
        "for young fish; life-stage=juvenile or life-stage=adult of all fish, once told, lifts "
        "this stop"
    )
    assert limit(24.1, 500.0, False) == Limit(3.0, warm, "test figure", "above 24 C")
    assert limit(None, 500.0, False) == Limit(3.0, warm, "test figure", cool)
    assert limit(20.0, 500.0, True) == Limit(2.0, young, "test figure", "for young fish")
    assert limit(20.0, 500.0, None) == Limit(2.0, young, "test figure", old)
    sloping = limit(20.0, 90.0, False)
    assert sloping is not None
    assert sloping.mg_l == pytest.approx(0.9)
    where = "at an alkalinity of 90 mg/L as CaCO3"
    assert sloping == Limit(sloping.mg_l, slope, "test figure", where)
    assert limit(20.0, None, False) == Limit(4.0, hard, "test figure")
    assert hard_limit(facts, COPPER, "prolonged") == limit(None, None, None)
    assert hard_limit(facts, COPPER, "dip", UNKNOWN) is None


def test_each_kind_of_limit_rests_on_its_own_claim(know: Callable[..., Knowledge]) -> None:
    dose, soft = f"agent.{COPPER}.dose.prolonged", f"agent.{COPPER}.soft_max.prolonged"
    plain = know()
    assert hard_limit(plain, COPPER, "prolonged") == Limit(0.2, dose, "test figure")
    assert soft_limit(plain, COPPER, "prolonged") == Limit(0.2, dose, "test figure")
    assert reason_limit(plain, COPPER, "prolonged") is None
    assert lowest_useful(plain, COPPER, "prolonged") == Limit(0.15, dose, "test figure")
    assert lowest_useful(plain, COPPER, "bath") is None
    stated = know(**{soft.replace(".", "__"): 0.18})
    assert soft_limit(stated, COPPER, "prolonged") == Limit(0.18, soft, "test figure")
    assert reason_limit(stated, COPPER, "prolonged") == Limit(0.18, soft, "test figure")


def test_a_limit_names_its_source_only_where_there_is_one() -> None:
    assert Limit(1.0, "k", "a leaflet").cited == " (a leaflet)"
    assert Limit(1.0, "k", "").cited == ""


def test_the_last_binary_digit_of_a_limit_does_not_count_and_the_tenth_does() -> None:
    assert is_inside(0.1 + 0.2, Limit(0.3, "k", "s"))
    assert not is_inside(0.3 + 1e-9, Limit(0.3, "k", "s"))
    assert not is_inside(math.inf, Limit(0.3, "k", "s"))


# Containers and fields ------------------------------------------------------------------------


def bag(agent: str, form: str, share: str) -> LabelEntry:
    return LabelEntry(agent, Decimal(1), StrengthBasis.PURE, form, Decimal(share), None,
                      Tool(ToolUnit.GRAM, Decimal(1)))  # fmt: skip


def test_a_form_is_compared_in_plain_words() -> None:
    assert plain_form("  As CuSO4.5H2O ") == "cuso4.5h2o"
    assert plain_form("as  Cu") == "cu"
    assert plain_form("has Cu") == "has cu"


def test_a_container_is_held_to_its_agent_and_its_form(facts: Knowledge) -> None:
    name = "blue copper crystals"
    fits = bag(COPPER, "as CuSO4.5H2O", "0.254505")
    assert unfit_label(facts, COPPER, name, fits) is None
    assert unfit_label(facts, COPPER, name, bag(COPPER, "as Cu", "1")) is None
    for near in ("0.25475", "0.254759505"):  # the last is a thousandth above, exactly
        assert unfit_label(facts, COPPER, name, bag(COPPER, "as CuSO4.5H2O", near)) is None
    for wrong in (bag(COPPER, "as CuSO4.5H2O", "1"), bag(COPPER, "as CuSO4.5H2O", "0.2550"),
                  bag(COPPER, "as Cu", "0.254505"), bag(COPPER, "as X", "0.5")):  # fmt: skip
        caution = unfit_label(facts, COPPER, name, wrong)
        assert caution is not None
        assert (caution.level, caution.code, caution.agent) == (Level.BLOCKED, "E-PROD-01", COPPER)
        assert caution.claim_key == f"agent.{COPPER}.form"
        assert name in caution.words
        assert f"holds {'0.254505' if 'CuSO4' in wrong.form else '1'}, not" in caution.why
    other = unfit_label(facts, COPPER, name, bag("malachite_green", "as active dye", "1"))
    assert other is not None
    assert "its label is that of malachite green" in other.why
    assert unfit_label(facts, "moon_dust", "moon dust", bag("moon_dust", "x", "0.5")) is None


def test_a_form_taken_for_granted_is_to_be_read_where_forms_differ(facts: Knowledge) -> None:
    name = "blue copper crystals"
    granted = replace(bag(COPPER, "as CuSO4.5H2O", "0.254505"), form_named=False)
    (caution,) = read_form_again(facts, name, printed(granted))
    assert (caution.level, caution.code, caution.agent) == (Level.CARE, "E-PROD-04", COPPER)
    assert caution.claim_key == f"agent.{COPPER}.form"
    assert caution.words.startswith("Is it CuSO4.5H2O?")
    assert name in caution.words
    assert "3.929\xa0mg/L if it is cu," in caution.why
    named = printed(replace(granted, form_named=True))
    assert list(read_form_again(facts, name, named)) == []
    for agent in ("formalin", "moon_dust"):
        alone = printed(replace(bag(agent, "x", "1"), form_named=False))
        assert list(read_form_again(facts, agent, alone)) == []


def printed(label: LabelEntry) -> PrintedAmount:
    """Return 1 mg/L in 1000 L out of a container: 3.929 g of crystals hold 1 g of copper."""
    limit = Limit(2.0, "agent.x.hard_max.prolonged", "s")
    fine = replace(label, tool=Tool(ToolUnit.GRAM, Decimal("0.0001")))
    return print_amount(Request(label.agent, "x", "as x", 1.0, 1000.0, 1000.0, 0.0, limit), fine)


def test_every_other_form_is_named_with_its_own_factor(facts: Knowledge) -> None:
    """Copper sulphate without water holds 0.3981 of copper (63.546 / 159.60, IUPAC 2021)."""
    agents = dict(facts.agents)
    dry = Claim("k", 0.3981, "", Provenance.FOUND, Confidence.HIGH)
    agents[COPPER] = replace(
        agents[COPPER], claims={**agents[COPPER].claims, "form.dry_powder": (dry,)}
    )
    with_agents = replace(facts, agents=agents)
    crystals = printed(bag(COPPER, "as CuSO4.5H2O", "0.254505"))
    assert read_back(with_agents, "copper", crystals).replace("\xa0", " ") == (
        "The container of copper must say CuSO4.5H2O: the same amount would bring 3.929 mg/L if it "
        "is cu, 1.564 mg/L if it is dry_powder, not 1 mg/L."
    )
    element = printed(bag(COPPER, "Cu as", "1"))
    assert (
        read_back(with_agents, "copper", element)
        .replace("\xa0", " ")
        .startswith(
            "The container of copper must say Cu as: the same amount would bring 0.2545 mg/L if it "
            "is cuso4.5h2o"
        )
    )
    assert forms_of(agents[COPPER]) == {
        "cu": 1, "cuso4.5h2o": Decimal("0.254505"), "dry_powder": Decimal("0.3981")
    }  # fmt: skip
    only_told = replace(dry, conditions={"container": "none", "form": "as Cu2+"})
    told_only = replace(agents[COPPER], claims={"form.element": (only_told,)})
    assert "cu2+" in forms_of(told_only)
    assert "cu2+" not in forms_of(told_only, in_containers=True)


@pytest.mark.parametrize("claim", [True, False])
def test_an_agent_that_is_not_offered_is_refused_with_the_reason_of_its_file(
    facts: Knowledge, claim: bool
) -> None:
    key = f"agent.{COPPER}.not_offered"
    why = Claim(key, "It is banned.", "", Provenance.FOUND, Confidence.HIGH, source="a law")
    claims = {"not_offered": (why,)} if claim else {}
    agents = {COPPER: replace(facts.agents[COPPER], kind="live_food", claims=claims)}
    (caution, *_) = standing_against(replace(facts, agents=agents), COPPER, "copper")
    assert (caution.level, caution.code, caution.agent) == (Level.BLOCKED, "E-DOSE-27", COPPER)
    assert caution.claim_key == (key if claim else "")
    assert caution.why == (
        "It is banned. (a law)" if claim else "It is live food: nothing to weigh into water."
    )


def test_empty_people_fields_are_named_unless_the_hazard_is_low(
    know: Callable[..., Knowledge],
) -> None:
    fields = ("ppe", "splash", "do_not_mix", "storage", "disposal")
    low = know()
    assert missing_fields(low, COPPER) == ()
    assert list(standing_against(low, COPPER, "copper")) == []
    high = know(**{f"agent__{COPPER}__people__hazard": "high"})
    assert missing_fields(high, COPPER) == fields
    assert missing_fields(high, "moon_dust") == ("hazard", *fields)
    (caution,) = standing_against(high, COPPER, "copper")
    assert (caution.level, caution.code, caution.agent) == (Level.BLOCKED, "S-PEOPLE", COPPER)
    assert caution.claim_key == f"agent.{COPPER}.people.ppe"
    assert ", ".join(fields) in caution.words
    assert ", ".join(fields) in caution.why
    filled = {f"agent__{COPPER}__people__{field}": "told" for field in fields}
    full = know(**filled, **{f"agent__{COPPER}__people__hazard": "high"})
    assert missing_fields(full, COPPER) == ()
