"""The edges of amounts and limits: what is shown, what a refusal shows, the last that passes."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from tankside.claims import Knowledge
from tankside.course import (
    Agreement,
    LabelEntry,
    Level,
    StrengthBasis,
    Tool,
    ToolUnit,
    Volume,
    VolumeRules,
    compare_volumes,
)
from tankside.course.amounts.double_check import confirm, strength_from_print
from tankside.course.amounts.limits import Around, Limit, RouteLimit, other_routes
from tankside.course.amounts.printing import (
    Request,
    concentration,
    judge,
    label_words,
    mass,
    placed,
    print_amount,
    refusal,
)
from tankside.course.amounts.stock_solution import on_step, within
from tankside.course.amounts.weighing import product_per_active, weigh_out
from tankside.course.bodies.volume import volume_from_methods
from tankside.course.bodies.words import show
from tankside.errors import BadInput, Mistake, NotPossible

RULES = VolumeRules(0.1, 0.25)
GAP = "\u00a0"


def refused(
    call: Callable[..., object],
    *args: Any,
    kind: type[Mistake] = BadInput,
    **kwargs: Any,
) -> Mistake:
    with pytest.raises(kind) as caught:
        call(*args, **kwargs)
    return caught.value


def salt(**more: Any) -> LabelEntry:
    return replace(
        LabelEntry("salt", Decimal(1), StrengthBasis.PURE, "NaCl", Decimal(1), None,
                   Tool(ToolUnit.GRAM, Decimal(1))),
        **more,
    )  # fmt: skip


def crystals(**more: Any) -> LabelEntry:
    """Blue crystals of a quarter copper, on a scale of 10 mg, with a syringe."""
    return salt(agent="copper", form="as CuSO4.5H2O", active_per_form=Decimal("0.25"),
                tool=Tool(ToolUnit.MILLIGRAM, Decimal(10)),
                stock_tool=Tool(ToolUnit.MILLILITRE, Decimal("0.5")), **more)  # fmt: skip


def asked(mg_l: float = 2000.0, litres: float = 173.0, **more: Any) -> Request:
    base = Request("salt", "salt", "as NaCl", mg_l, litres, litres, 0.0,
                   Limit(3000.0, "agent.salt.hard_max.prolonged", "a leaflet"))  # fmt: skip
    return replace(base, **more)


# The sum on the card ---------------------------------------------------------------------------


def test_the_sum_of_the_first_scenario_can_be_redone_with_a_pocket_calculator() -> None:
    """2 g/L in 173 L is 346 g of salt, the sum of the first scenario."""
    amount = print_amount(asked(), salt())
    assert amount.text == f"346{GAP}g"
    assert amount.sum_text.replace(GAP, " ") == (
        "2 g/L as NaCl x 173 L = 346 g; on the tool 346 g, which gives 2 g/L"
    )
    assert (amount.value, amount.unit, amount.active_mg) == (346, "g", 346_000)
    assert (amount.for_l, amount.strength_mg_l, amount.strength_smaller_mg_l) == (173, 2000, 2000)
    assert (amount.action, amount.hour, amount.body) == (-1, 0, "")
    assert (amount.agent, amount.basis, amount.stock_solution, amount.reason) == (
        "salt", "as NaCl", "", "")  # fmt: skip
    assert amount.label == salt()


def test_the_sum_names_the_form_the_strength_and_the_density() -> None:
    """1 mg/L in 100 L is 100 mg; of a 50 % w/w liquid at 1.25 g/mL that is 0.16 mL."""
    entry = salt(strength=Decimal("0.5"), basis=StrengthBasis.MASS_PER_MASS,
                 density_g_ml=Decimal("1.25"),
                 tool=Tool(ToolUnit.MILLILITRE, Decimal("0.01")))  # fmt: skip
    words = print_amount(asked(1.0, 100.0), entry).sum_text.replace(GAP, " ")
    assert words == (
        "1 mg/L as NaCl x 100 L = 100 mg / 0.5 w/w (density 1.25 g/mL) = 0.16 mL; "
        "on the tool 0.16 mL, which gives 1 mg/L"
    )
    copper = print_amount(asked(1.0, 100.0, basis="as Cu"), crystals()).sum_text.replace(GAP, " ")
    assert copper == (
        "1 mg/L as Cu x 100 L = 100 mg / 0.25 (as CuSO4.5H2O) = 400 mg; "
        "on the tool 400 mg, which gives 1 mg/L"
    )


def test_a_thousand_milligrams_are_told_as_a_gram() -> None:
    assert mass(999.9).replace(GAP, " ") == "999.9 mg"
    assert mass(1000).replace(GAP, " ") == "1 g"
    assert concentration(1234.56, "as NaCl").replace(GAP, " ") == "1.235 g/L as NaCl"
    assert concentration(Decimal("0.18"), "").replace(GAP, " ") == "0.18 mg/L"
    assert show(172.844, "L") == f"172.8{GAP}L"
    assert show(0.5, "mg/kg/d") == f"0.5{GAP}mg/kg/d"


def test_an_amount_is_put_to_its_step_and_keeps_all_else() -> None:
    amount = print_amount(asked(), salt())
    there = placed(amount, 3, 20, "main")
    assert (there.action, there.hour, there.body) == (3, 20, "main")
    assert replace(there, action=-1, hour=0, body="") == amount


def test_the_label_line_tells_how_a_liquid_product_is_measured() -> None:
    product = salt(basis=StrengthBasis.AS_PRODUCT, solid=False, density_g_ml=Decimal("1.080"))
    assert label_words(product) == (
        "strength 1 as product, by volume; 1 of NaCl holds 1; density 1.08"
    )
    assert label_words(replace(product, solid=True, density_g_ml=None)) == (
        "strength 1 as product; 1 of NaCl holds 1; density not known"
    )


# Reasons and limits ----------------------------------------------------------------------------

SOFT = Limit(1500.0, "agent.salt.soft_max.prolonged", "a leaflet")


def test_a_reason_has_ten_characters_and_stays_with_the_amount() -> None:
    judge(asked(passed=SOFT, reason=" ten chars. "))
    fault = refused(judge, asked(passed=SOFT, reason="  nine char   "))
    assert (fault.code, fault.field) == ("E-DOSE-11", "reason")
    assert fault.given == "2 g/L as NaCl"
    assert "1.5" in fault.needed
    assert "a leaflet" in fault.needed
    assert "10 characters" in fault.needed
    shown = print_amount(asked(passed=SOFT, reason="  as the vet advised "), salt())
    assert shown.reason == "as the vet advised"
    assert print_amount(asked(reason="as the vet advised"), salt()).reason == ""


def test_the_hard_limit_is_judged_before_any_container_is_there() -> None:
    judge(asked(3000.0))
    judge(asked(3000.0, limit=None))
    for request in (asked(3000.1), asked(2999.0, there_mg_l=2.0), asked(2000.0, limit_l=115.0)):
        fault = refused(judge, request)
        assert (fault.code, fault.field) == ("E-DOSE-10", "strength")
    fault = refused(judge, asked(2500.0, there_mg_l=1000.0, limit_l=170.0))
    assert fault.given == "3.544 g/L if there are 170 L, with 1 g/L there already"
    assert fault.needed.replace(GAP, " ") == "at most 3 g/L (a leaflet)"


def test_a_refusal_says_whether_it_speaks_of_the_whole_or_of_what_is_added() -> None:
    """1.208 mg/L are there, 1.292 are to be added: the whole of 2.5 is above 2, the part is not."""
    soft = Limit(2.0, "k", "a leaflet")
    fault = refused(judge, asked(1.292, there_mg_l=1.208, passed=soft))
    plain = fault.given.replace(GAP, " ")
    assert plain == "2.5 mg/L in all (1.208 mg/L there, 1.292 mg/L to add)"
    alone = refused(judge, asked(2.5, passed=soft))
    assert alone.given.replace(GAP, " ") == "2.5 mg/L as NaCl"


@pytest.mark.parametrize("there", [0.0, 1000.0, 2999.0])
@pytest.mark.parametrize("smaller_l", [173.0, 170.0, 166.1])
def test_what_a_refusal_says_may_be_asked_for_passes_and_a_hair_more_does_not(
    there: float, smaller_l: float
) -> None:
    """The strength asked for counts what is there, as a dose that is brought up to it does."""
    fault = refused(judge, asked(4000.0 - there, there_mg_l=there, limit_l=smaller_l))
    passes = re.match(r"Ask for at most ([0-9.]+) g/L", fault.next_step.replace(GAP, " "))
    assert passes is not None
    most = float(passes[1]) * 1000
    judge(asked(most - there, there_mg_l=there, limit_l=smaller_l))
    refused(judge, asked(most + 10.0 - there, there_mg_l=there, limit_l=smaller_l))
    assert ("second method" in fault.next_step) is (smaller_l < 173.0)
    assert ("change water" in fault.next_step) is (there > 0)


def test_what_is_at_its_limit_already_asks_to_wait() -> None:
    fault = refused(judge, asked(100.0, there_mg_l=3000.0))
    assert fault.next_step.startswith("Wait, or change water first")


def test_a_refusal_names_the_routes_that_have_a_limit_of_their_own(facts: Knowledge) -> None:
    """Levamisole has a published bath of 24 h and none in lasting water."""
    here = Around(20.0, 120.0, False, "fresh")
    routes = other_routes(facts, "levamisole", "prolonged", here)
    assert routes == (RouteLimit("bath", 2.0, 1440.0),)
    assert other_routes(facts, "levamisole", "bath", here) == ()
    fault = refused(print_amount, asked(limit=None, elsewhere=routes), salt())
    said = "route=bath at most 2 mg/L for at most 1440 min"
    assert said in fault.next_step.replace(GAP, " ")
    also = refused(judge, asked(4000.0, elsewhere=(RouteLimit("dip", 30000.0, None),)))
    assert also.next_step.replace(GAP, " ").endswith("route=dip at most 30 g/L.")


def test_without_a_limit_the_strength_is_shown_and_no_amount() -> None:
    fault = refused(print_amount, asked(limit=None), salt())
    assert (fault.code, fault.field) == ("E-DOSE-10", "agent")
    assert fault.given == "2 g/L as NaCl"


def test_a_refused_amount_becomes_a_caution_at_its_place() -> None:
    mistake = BadInput("E-DOSE-24", "Too small.", given="1 mg", needed="more", next_step="Wait.")
    caution = refusal(mistake, 2, 30, "main", asked(), "the tank")
    assert (caution.level, caution.code, caution.words) == (
        Level.BLOCKED,
        "E-DOSE-24",
        "Salt for the tank: too small.",
    )
    assert caution.why == "Asked for 1 mg; needed more."
    assert caution.claim_key == "agent.salt.hard_max.prolonged"
    assert caution.what_instead == "Wait."
    assert (caution.hour, caution.body, caution.agent, caution.action) == (30, "main", "salt", 2)
    assert refusal(mistake, 2, 30, "main", asked(limit=None), "the tank").claim_key == ""


# The tool --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("exact", "step", "nearest", "down"),
    [("10.5", "1", "10", "10"), ("10.51", "1", "11", "10"), ("0.49", "1", "0", "0"),
     ("10.95", "0.2", "11", "10.8"), ("7", "0.5", "7", "7")],
)  # fmt: skip
def test_a_half_step_goes_down(exact: str, step: str, nearest: str, down: str) -> None:
    tool = Tool(ToolUnit.GRAM, Decimal(step))
    assert on_step(Decimal(exact), tool) == Decimal(nearest)
    assert on_step(Decimal(exact), tool, down=True) == Decimal(down)


def test_two_per_cent_of_the_exact_amount_is_the_most_a_tool_may_be_off() -> None:
    assert within(Decimal(102), Decimal(100))
    assert within(Decimal(98), Decimal(100))
    assert not within(Decimal("102.01"), Decimal(100))
    assert not within(Decimal("97.99"), Decimal(100))
    assert not within(Decimal(0), Decimal(0))


def test_a_stock_solution_holds_a_hundred_steps_in_a_litre() -> None:
    """0.05 mg/L in 100 L is 5 mg of copper, 20 mg of crystals. 1 g of them in 1 L holds 0.25 mg of
    copper in a millilitre: 20 mL."""
    entry = crystals()
    weighed = weigh_out(Decimal("0.0525"), Decimal(100), entry)
    assert weighed.stock.replace(GAP, " ").startswith(
        "Too small to measure directly. Dissolve 1000 mg in water to make 1000 mL"
    )
    assert (weighed.value, weighed.unit, weighed.exact) == (21, ToolUnit.MILLILITRE, 21)
    assert weighed.active_mg == Decimal("5.25")
    direct = weigh_out(Decimal("0.05"), Decimal(100), entry)
    assert (direct.value, direct.unit, direct.stock) == (20, ToolUnit.MILLIGRAM, "")


def test_what_no_tool_can_measure_is_shown_with_the_tool() -> None:
    for entry in (crystals(), replace(crystals(), stock_tool=None),
                  replace(crystals(), stock_tool=Tool(ToolUnit.GRAM, Decimal("0.5")))):  # fmt: skip
        fault = refused(weigh_out, Decimal("0.000001"), Decimal(100), entry)
        assert (fault.code, fault.field) == ("E-DOSE-24", "scale")
        assert fault.given == "0.0004 mg on steps of 10"


def test_a_label_that_cannot_be_is_shown() -> None:
    fault = refused(weigh_out, Decimal(1), Decimal(100), salt(strength=Decimal("1.5")))
    assert (fault.code, fault.field, fault.given) == ("E-PROD-01", "strength", "1.5 pure")
    for bad in (Decimal("Infinity"), Decimal(0), Decimal("-0.1")):
        assert refused(weigh_out, Decimal(1), Decimal(1), salt(strength=bad)).code == "E-PROD-01"
    assert refused(product_per_active, salt(active_per_form=Decimal(0)), ToolUnit.GRAM).code == (
        "E-PROD-01"
    )
    strong = salt(strength=Decimal(400), basis=StrengthBasis.MG_PER_ML, density_g_ml=Decimal(1))
    assert weigh_out(Decimal(1000), Decimal(100), strong).value == 250
    density = refused(weigh_out, Decimal(1), Decimal(100),
                      salt(tool=Tool(ToolUnit.MILLILITRE, Decimal(1))))  # fmt: skip
    assert (density.code, density.field) == ("E-PROD-01", "density")
    nothing = refused(weigh_out, Decimal(0), Decimal(100), salt())
    assert (nothing.code, nothing.given) == ("E-NUM-09", "0 mg/L in 100 L")


@pytest.mark.parametrize("litres", ["0", "-1", "Infinity", "NaN"])
def test_water_that_cannot_be_is_no_water(litres: str) -> None:
    assert refused(weigh_out, Decimal(1), Decimal(litres), salt()).code == "E-NUM-09"
    assert refused(weigh_out, Decimal("Infinity"), Decimal(1), salt()).code == "E-NUM-09"


def test_every_basis_on_every_tool_against_sums_done_by_hand() -> None:
    """100 mg of active: 0.2 g at 50 % w/w; 0.2 mL at 50 % w/v; 2 mL at 50 mg/mL; weighed at
    1.25 g/mL those are 0.25 g and 2.5 g, and 0.2 g measured by volume is 0.16 mL."""
    half, per_ml = Decimal("0.5"), Decimal(50)
    by_hand = {
        StrengthBasis.MASS_PER_MASS: (half, "0.2", "200", "0.16"),
        StrengthBasis.MASS_PER_VOLUME: (half, "0.25", "250", "0.2"),
        StrengthBasis.VOLUME_PER_VOLUME: (half, "0.25", "250", "0.2"),
        StrengthBasis.MG_PER_ML: (per_ml, "2.5", "2500", "2"),
        StrengthBasis.PURE: (half, "0.2", "200", "0.16"),
    }
    for basis, (strength, grams, milligrams, millilitres) in by_hand.items():
        for unit, want in ((ToolUnit.GRAM, grams), (ToolUnit.MILLIGRAM, milligrams),
                           (ToolUnit.MILLILITRE, millilitres)):  # fmt: skip
            entry = salt(strength=strength, basis=basis, density_g_ml=Decimal("1.25"),
                         tool=Tool(unit, Decimal("0.01")))  # fmt: skip
            weighed = weigh_out(Decimal(1), Decimal(100), entry)
            assert weighed.value == Decimal(want), (basis, unit)
            back = strength_from_print(f"{want} {unit.value}", label_words(entry), "", "100")
            assert back == 1, (basis, unit)


# The way back ----------------------------------------------------------------------------------


def test_the_way_back_says_what_it_could_not_read() -> None:
    words = label_words(salt())
    for amount, label, stock, shown in (
        ("some", words, "", "some"),
        ("5 g", "no label", "", "no label"),
        ("5 g", words, "Dissolve 1 g in water to make 1000 mL", "5 g of a stock solution"),
        ("5 mL", words, "Dissolve it", "Dissolve it"),
        ("5 mL", words, "", "the label gives no density"),
    ):
        fault = refused(strength_from_print, amount, label, stock, "100", kind=NotPossible)
        assert (fault.code, fault.given) == ("E-DOSE-900", shown)


def test_the_way_back_allows_the_step_of_the_tool_against_what_was_asked_and_nothing_else() -> None:
    words = label_words(salt())
    confirm("102 g", words, "", "100", "1020", "1000")
    confirm("98 g", words, "", "100", "980", "1000")
    for claimed, wanted in (("1021", "1000"), ("1020", "999"), ("1000", "1020"), ("1020", "1042")):
        fault = refused(confirm, "102 g", words, "", "100", claimed, wanted, kind=NotPossible)
        assert fault.code == "E-DOSE-900"
    assert fault.given == "102 g in 100 L: 1020 against 1042"
    assert strength_from_print(
        "5 mL", words, "Dissolve 10 g in water to make 1000 mL", "100"
    ) == Fraction(1, 2)


# Volumes ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "second", "agreement", "difference"),
    [(100, 110, "AGREE", 0.1), (110, 100, "AGREE", 0.1), (100, 110.1, "ASK", 0.101),
     (100, 125, "ASK", 0.25), (125.1, 100, "STOP", 0.251), (100, 100, "AGREE", 0.0)],
)  # fmt: skip
def test_two_volumes_are_compared_by_the_smaller(
    first: float, second: float, agreement: str, difference: float
) -> None:
    compared = compare_volumes(first, second, RULES)
    assert compared.agreement is Agreement[agreement]
    assert compared.difference == pytest.approx(difference)


def test_a_single_volume_is_as_unsure_as_may_pass_and_says_so() -> None:
    volume = volume_from_methods(110.0, None, RULES, "hose")
    assert (volume.point_l, volume.how) == (110.0, "hose; one method only, weak")
    assert (volume.smaller_l, volume.larger_l) == (pytest.approx(100), pytest.approx(121))
    assert compare_volumes(110.0, None, RULES).difference is None
    both = volume_from_methods(110.0, 100.0, RULES, "hose; measures")
    assert both == Volume(110.0, 100.0, 110.0, "hose; measures")
    assert volume_from_methods(100.0, 125.0, RULES, "x") == Volume(100.0, 100.0, 125.0, "x")


def test_volumes_that_differ_too_much_are_both_shown() -> None:
    fault = refused(volume_from_methods, 100.0, 130.0, RULES, "x")
    assert (fault.code, fault.field) == ("E-DOSE-21", "volume")
    assert fault.given == "100 L and 130 L"
    assert "25%" in fault.needed
    assert compare_volumes(0.0, 5.0, RULES).difference is None


@pytest.mark.parametrize(
    ("smaller", "point", "larger"),
    [(0, 1, 2), (-1, 1, 2), (2, 1, 3), (1, 3, 2), (1, 1, math.inf), (math.nan, 1, 2)],
)
def test_volumes_out_of_order_are_no_volume(smaller: float, point: int, larger: float) -> None:
    fault = refused(Volume, point, smaller, larger, "x")
    assert (fault.code, fault.field) == ("E-NUM-09", "volume")
    assert fault.given == f"{smaller} / {point} / {larger} L"
    assert Volume(1, 1, 1, "x").point_l == 1
