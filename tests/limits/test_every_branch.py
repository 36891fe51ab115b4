"""The turns of the parser, the amounts and the limits that no other test takes.

Counted with::

    pytest tests/quantity tests/course tests/limits --cov=tankside.quantity --cov=tankside.course \
        --cov-branch --cov-report=term-missing
"""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from tankside.course import LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.course.double_check import strength_from_print
from tankside.course.limits import UNKNOWN, hard_limit, soft_limit
from tankside.course.printing import label_words
from tankside.course.weighing import weigh_out
from tankside.errors import BadInput, NotPossible
from tankside.quantity import Kind, parse_quantity
from tankside.quantity.counts import check_share
from tankside.quantity.moment import parse_moment
from tankside.quantity.show import reading
from tankside.quantity.strict_json import parse_json


def refusal(call, *args, **kwargs) -> str:
    with pytest.raises(BadInput) as refused:
        call(*args, **kwargs)
    return refused.value.code


def test_a_reading_is_shown_as_typed_and_unparted():
    assert reading(parse_quantity("7.0 mg/L", Kind.OXYGEN, field="oxygen")) == "7.0\xa0mg/L"
    assert reading(parse_quantity("7.0", Kind.PH, field="ph")) == "7.0"


def test_an_empty_ph_is_no_ph():
    assert refusal(parse_quantity, " ", Kind.PH, field="ph") == "E-NUM-01"


def test_a_comma_is_read_in_a_quantity_of_a_file_that_declares_it():
    read = parse_quantity("12,5 L", Kind.VOLUME, field="volume", comma_declared=True)
    assert read.to("L") == Decimal("12.5")
    code = refusal(parse_quantity, "12.5 L", Kind.VOLUME, field="volume", comma_declared=True)
    assert code == "E-NUM-02"


def test_a_share_larger_than_its_whole_is_refused_and_one_as_large_is_not():
    names = {"part_name": "infected", "whole_name": "examined", "field": "count"}
    check_share(5, 5, **names)
    assert refusal(check_share, 6, 5, **names) == "E-COUNT-01"


@pytest.mark.parametrize("text", ["2026-03-04T24:30+01:00", "2026-03-04T10:61Z"])
def test_a_time_that_no_clock_shows_is_refused(text):
    assert refusal(parse_moment, text, field="on", zone="UTC") in ("E-DATE-01", "E-DATE-02")


def test_a_finite_number_in_json_is_kept_and_one_too_large_is_refused():
    assert parse_json(b'{"a": 1.5}') == {"a": 1.5}
    assert refusal(parse_json, b'{"a": 1e400}') == "E-NUM-05"
    assert json.loads('{"a": 1e400}')["a"] == float("inf")  # what a lax reader makes of it


def liquid(**more: object) -> LabelEntry:
    return replace(
        LabelEntry("x", Decimal("0.35"), StrengthBasis.MASS_PER_VOLUME, "x", Decimal(1),
                   Decimal("1.2"), Tool(ToolUnit.MILLIGRAM, Decimal(1))),
        **more,
    )  # fmt: skip


def test_a_liquid_is_weighed_in_milligrams_too():
    """10 mg/L in 35 L is 350 mg: 1 mL of a 35 % w/v liquid, which weighs 1200 mg at 1.2 g/mL."""
    assert weigh_out(Decimal(10), Decimal(35), liquid()).value == 1200
    assert strength_from_print("1200 mg", label_words(liquid()), "", "35") == 10


def test_the_way_back_refuses_a_liquid_on_a_scale_without_its_density():
    words = label_words(liquid(density_g_ml=None))
    with pytest.raises(NotPossible) as refused:
        strength_from_print("1200 mg", words, "", "35")
    assert refused.value.code == "E-DOSE-900"


@pytest.mark.parametrize(
    ("amount", "words", "stock"),
    [
        ("a pinch", "", ""),
        ("5 g", "strength unknown", ""),
        ("5\xa0g", label_words(liquid()), "Dissolve some in 1000 mL"),
        ("5 g", label_words(liquid()), "Dissolve 10 g in 1000 mL of water"),
    ],
)
def test_the_way_back_refuses_words_it_cannot_read(amount, words, stock):
    with pytest.raises(NotPossible) as refused:
        strength_from_print(amount, words, stock, "100")
    assert refused.value.code == "E-DOSE-900"


def test_a_route_that_nobody_printed_has_no_limit_of_either_kind(facts):
    assert hard_limit(facts, "copper_chelated", "prolonged", UNKNOWN) is None
    assert soft_limit(facts, "copper_chelated", "prolonged") is None
    assert hard_limit(facts, "formalin", "feed", UNKNOWN) is None
