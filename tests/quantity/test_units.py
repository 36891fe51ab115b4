"""Units: published factors, no crossing between kinds, no conversion outside this room."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.errors import BadInput
from tankside.quantity import CANONICAL, UNITS, Kind, Measured, find_unit, parse_quantity
from tankside.quantity.measured import MAY_BE_ZERO
from tankside.quantity.show import NO_BREAK, amount, plain, rounded

# NIST Special Publication 811 (2008), Appendix B.8: factors printed as exact (bold) or rounded.
NIST_SP_811 = [
    ("1 US gal", Kind.VOLUME, "L", "3.785412", 6),
    ("1 imperial gal", Kind.VOLUME, "L", "4.54609", 5),
    ("1 inch", Kind.LENGTH, "cm", "2.54", 2),
    ("1 ft", Kind.LENGTH, "cm", "30.48", 2),
    ("1 lb", Kind.MASS, "g", "453.59237", 5),
]
# Molar masses N 14.007, NO2 46.005, NO3 62.004, NH3 17.031, NH4 18.039, CaCO3 100.09 (IUPAC 2021,
# abridged); 1 degree of German hardness = 10 mg/L CaO = 17.85 mg/L CaCO3, 1 meq/L = 50.04 mg/L
# CaCO3 (Wetzel, Limnology, 3rd ed. 2001, ch. 11; values from memory of the printed text).
CHEMISTRY = [
    ("1 mg/L as NO2", Kind.NITRITE, "mg/L as N", "0.3045", 4),
    ("1 mg/L as NO3", Kind.NITRATE, "mg/L as N", "0.2259", 4),
    ("1 mg/L as NH3", Kind.AMMONIA, "mg/L as N", "0.8224", 4),
    ("1 mg/L as NH4", Kind.AMMONIA, "mg/L as N", "0.7765", 4),
    ("1 dH", Kind.ALKALINITY, "mg/L as CaCO3", "17.85", 2),
    ("1 meq/L", Kind.ALKALINITY, "mg/L as CaCO3", "50.04", 2),
    ("3.93 mg/L as CuSO4.5H2O", Kind.COPPER, "mg/L as Cu", "1.00", 2),
    ("77.9 F", Kind.TEMPERATURE, "C", "25.5", 6),
    ("32 F", Kind.TEMPERATURE, "C", "0", 6),
]


@pytest.mark.parametrize(("typed", "kind", "unit", "printed", "digits"), NIST_SP_811 + CHEMISTRY)
def test_a_factor_agrees_with_the_printed_one(
    typed: str, kind: Kind, unit: str, printed: str, digits: int
) -> None:
    converted = parse_quantity(typed, kind, field="box").to(unit)
    assert abs(converted - Decimal(printed)) <= Decimal("0.5000001") * Decimal(10) ** -digits


def test_both_gallons_of_one_tank_differ_as_the_trade_knows() -> None:
    tank = parse_quantity("162 L", Kind.VOLUME, field="volume")
    assert rounded(tank.to("imperial gal"), 3) == Decimal("35.6")
    assert rounded(tank.to("US gal"), 3) == Decimal("42.8")


def test_every_unit_of_another_kind_is_refused_for_all_pairs() -> None:
    tried = 0
    for here, there in product(Kind, Kind):
        for text in UNITS[there]:
            if text in UNITS[here]:
                continue
            with pytest.raises(BadInput) as refused:
                find_unit(text, here, field="box")
            assert refused.value.code in ("E-UNIT-02", "E-UNIT-03", "E-UNIT-05")
            tried += 1
    assert tried > 1000


def test_mass_does_not_become_volume_without_a_density() -> None:
    with pytest.raises(BadInput, match="E-UNIT-02"):
        parse_quantity("5 g", Kind.MASS, field="dose").to("mL")


def test_a_strength_by_mass_is_not_a_strength_by_volume() -> None:
    with pytest.raises(BadInput, match="E-UNIT-02"):
        parse_quantity("35 % w/w", Kind.STRENGTH_W_W, field="strength").to("% w/v")


def test_each_kind_has_one_unit_it_is_worked_in() -> None:
    for kind in Kind:
        unit = UNITS[kind][CANONICAL[kind]]
        assert (unit.factor, unit.offset) == (1, 0)


@given(st.sampled_from(list(Kind)), st.integers(1, 10**6), st.data())
def test_a_value_comes_back_from_any_unit_of_its_kind(
    kind: Kind, digits: int, data: st.DataObject
) -> None:
    units = st.sampled_from(list(UNITS[kind]))
    first, second = data.draw(units), data.draw(units)
    value = Decimal(digits) / 1000
    there = Measured(str(value), UNITS[kind][first]).to(second)
    back = Measured(str(there), UNITS[kind][second]).to(first)
    assert abs(back - value) <= Decimal("1e-20") * max(Decimal(1), abs(value))


def test_an_amount_is_above_zero_and_a_reading_may_be_zero() -> None:
    assert Kind.MASS not in MAY_BE_ZERO
    assert Kind.VOLUME not in MAY_BE_ZERO
    assert Kind.LENGTH not in MAY_BE_ZERO
    assert parse_quantity("0 mg/L as N", Kind.NITRITE, field="nitrite").canonical() == 0


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [("346.0", "g", "346 g"), ("0.50", "mL", "0.5 mL"), ("1E+3", "g", "1000 g"),
     ("0", "g", "0 g"), ("0.0004", "g", "0.0004 g"), ("0.18", "mg/L as Cu", "0.18 mg/L as Cu")],
)  # fmt: skip
def test_an_amount_is_written_without_trailing_zero_and_unparted(
    value: str, unit: str, text: str
) -> None:
    assert amount(Decimal(value), unit) == text.replace(" ", NO_BREAK)


@given(st.decimals(min_value=0, max_value=10**6, places=4))
def test_a_written_number_reads_back_as_itself(value: Decimal) -> None:
    text = plain(value)
    assert Decimal(text) == value
    assert not (("." in text) and text.endswith("0"))
    assert not text.startswith(".")


def test_shown_figures_round_half_away_from_zero() -> None:
    assert rounded(Decimal("2.5"), 1) == 3
    assert rounded(Decimal("0.125"), 2) == Decimal("0.13")
    assert rounded(172.844, 3) == 173
    assert rounded(0, 3) == 0
    with pytest.raises(ValueError, match="finite"):
        rounded(float("nan"), 3)
