"""P16: faults planted in the text of the forward sum; the way back must catch every one.

Each fault is one change of the source, run in memory. Over a set of ordinary amounts, whatever a
faulty sum prints is held to what the sound sum prints: a different amount that is shown, and not
refused, is a fault that got through.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from types import ModuleType

import pytest

from tankside.course import LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.course.amounts import printing, stock_solution, weighing
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.limits import Limit
from tankside.course.amounts.printing import Request
from tankside.errors import Mistake

G, MG, ML = ToolUnit.GRAM, ToolUnit.MILLIGRAM, ToolUnit.MILLILITRE
FAR = Limit(1e9, "agent.x.hard_max.prolonged", "no limit here: only the way back is on trial")

# what the fault is: (module, sound text, faulty text)
BUGS: dict[str, tuple[ModuleType, str, str]] = {
    "volume divides instead of multiplying": (
        weighing, "target_mg = _SUM.multiply(strength_mg_l, litres)",
        "target_mg = _SUM.divide(strength_mg_l, litres)"),
    "ten times the target": (
        weighing, "target_mg = _SUM.multiply(strength_mg_l, litres)",
        "target_mg = _SUM.multiply(strength_mg_l, litres) * 10"),
    "litres read as US gallons": (
        weighing, "target_mg = _SUM.multiply(strength_mg_l, litres)",
        "target_mg = _SUM.multiply(strength_mg_l, litres) * Decimal('3.785411784')"),
    "a hundred for a thousand": (weighing, "Decimal(MG_PER_G)", "Decimal(MG_PER_G // 10)"),
    "form turned upside down": (
        weighing, "form_per_active = _SUM.divide(_ONE, label.active_per_form)",
        "form_per_active = label.active_per_form"),
    "form forgotten": (
        weighing, "form_per_active = _SUM.divide(_ONE, label.active_per_form)",
        "form_per_active = _ONE"),
    "share by mass multiplies": (
        weighing, "milligrams = _SUM.divide(form_per_active, label.strength)",
        "milligrams = _SUM.multiply(form_per_active, label.strength)"),
    "share by mass forgotten": (
        weighing, "milligrams = _SUM.divide(form_per_active, label.strength)",
        "milligrams = form_per_active"),
    "mg/mL multiplies": (
        weighing, "_from_ml(_SUM.divide(form_per_active, label.strength), label, unit)",
        "_from_ml(_SUM.multiply(form_per_active, label.strength), label, unit)"),
    "share by volume without its thousand": (
        weighing, "_SUM.multiply(label.strength, _MG_PER_G)", "label.strength"),
    "grams shown as milligrams": (
        weighing, "    if unit is ToolUnit.MILLIGRAM:\n        return milligrams\n",
        "    if unit is ToolUnit.MILLIGRAM:\n        return _SUM.divide(milligrams, _MG_PER_G)\n"),
    "density dropped on the way to millilitres": (
        weighing, "_SUM.divide(grams, _density(label))", "grams"),
    "density upside down on the way to millilitres": (
        weighing, "_SUM.divide(grams, _density(label))", "_SUM.multiply(grams, _density(label))"),
    "density dropped on the way to grams": (
        weighing, "grams = _SUM.multiply(ml, _density(label))", "grams = ml"),
    "density upside down on the way to grams": (
        weighing, "grams = _SUM.multiply(ml, _density(label))",
        "grams = _SUM.divide(ml, _density(label))"),
    "a thousand forgotten on the way to milligrams": (
        weighing, "else _SUM.multiply(grams, _MG_PER_G)", "else grams"),
    "liquid and solid product swapped": (
        weighing, "AS_PRODUCT and not label.solid", "AS_PRODUCT and label.solid"),
    "rounded whatever the tool can show": (
        stock_solution, "return value > 0 and abs(", "return value > 0 or abs("),
    "target claimed for the rounded amount": (
        weighing, "Weighing(value, label.tool.unit, _SUM.divide(value, per_active), exact)",
        "Weighing(value, label.tool.unit, target_mg, exact)"),
    "three digits carried": (weighing, "whole_setting(50,", "whole_setting(3,"),
    "stock solution in ten litres": (
        stock_solution, "_SUM.divide(_SUM.divide(put_in, per_active), made)",
        "_SUM.divide(_SUM.divide(put_in, per_active), made * 10)"),
    "stock solution multiplies": (
        stock_solution, "exact = _SUM.divide(target_mg, active_each)",
        "exact = _SUM.multiply(target_mg, active_each)"),
    "stock solution in the unit of the scale": (
        printing, "text = amount(weighing.value, weighing.unit.value)",
        "text = amount(weighing.value, label.tool.unit.value)"),
    "smaller volume in place of the point": (
        printing, "litres = Decimal(str(request.for_l))",
        "litres = Decimal(str(request.limit_l))"),
    "one decimal cut off": (
        printing, "text = amount(weighing.value, weighing.unit.value)",
        "text = amount(weighing.value.quantize(Decimal('1')), weighing.unit.value)"),
    "what is there already added on top": (
        printing, "target = Decimal(str(request.strength_mg_l))",
        "target = Decimal(str(request.strength_mg_l + request.there_mg_l))"),
}  # fmt: skip

GUARDED: dict[str, tuple[ModuleType, str, str]] = {
    "sign flipped": (
        weighing, "target_mg = _SUM.multiply(strength_mg_l, litres)",
        "target_mg = -_SUM.multiply(strength_mg_l, litres)"),
    "steps shown instead of the amount": (
        stock_solution, "return _SUM.multiply(whole, tool.step)", "return whole"),
    "one step too many": (
        stock_solution, "return _SUM.multiply(whole, tool.step)",
        "return _SUM.multiply(whole + 1, tool.step)"),
}  # fmt: skip


def label(basis: StrengthBasis, unit: ToolUnit, step: str, *, solid: bool = True) -> LabelEntry:
    strength = Decimal(40) if basis is StrengthBasis.MG_PER_ML else Decimal("0.35")
    return LabelEntry(
        "x", strength, basis, "a salt", Decimal("0.2545"), Decimal("1.13"),
        Tool(unit, Decimal(step)), Tool(ML, Decimal("0.1")), solid=solid,
    )  # fmt: skip


CASES = [
    (Request("x", "the agent", "as x", mg_l, litres, litres * 0.9, mg_l / 2, FAR),
     label(basis, unit, step, solid=solid))
    for basis in StrengthBasis
    for unit in (G, MG, ML)
    for step in ("0.1", "1")
    for solid in (True, False)
    for mg_l, litres in ((0.18, 120.6), (2.5, 173.0), (23.0, 455.5))
]  # fmt: skip

Print = Callable[[Request, LabelEntry], PrintedAmount]


def with_fault(module: ModuleType, sound: str, faulty: str) -> Print:
    """Return ``print_amount`` of a copy of the forward sum with one change."""
    made = {}
    for part in (stock_solution, weighing, printing):
        text = Path(part.__file__ or "").read_text(encoding="utf-8")
        if part is module:
            assert text.count(sound) == 1, f"the sound text stands there {text.count(sound)} times"
            text = text.replace(sound, faulty)
        copy = ModuleType(part.__name__)
        exec(compile(text, part.__file__ or "", "exec"), copy.__dict__)
        made[part] = copy
    for name in ("Weighing", "on_step", "within", "stock_solution"):
        vars(made[weighing])[name] = vars(made[stock_solution])[name]
    vars(made[printing])["weigh_out"] = vars(made[weighing])["weigh_out"]
    planted: Print = made[printing].print_amount
    return planted


def outcome(show: Print, request: Request, entry: LabelEntry) -> tuple[str, str, str]:
    """Return (code, "", "") when refused, else ("", amount, words of the stock solution)."""
    try:
        amount = show(request, entry)
    except Mistake as refused:
        return refused.code, "", ""
    return "", amount.text, amount.stock_solution


def test_an_unchanged_copy_prints_the_same() -> None:
    copy = with_fault(stock_solution, "return value > 0 and abs(", "return value > 0 and abs(")
    assert any(not outcome(copy, *case)[0] for case in CASES)
    for case in CASES:
        assert outcome(copy, *case) == outcome(printing.print_amount, *case)


def shown_wrong(
    given_back: Callable[[str, str, LabelEntry, float], Fraction], show: Print
) -> tuple[list[object], int]:
    """Return the amounts shown that are more than 2 % off, and how often the way back refused."""
    wrong: list[object] = []
    caught = 0
    for request, entry in CASES:
        code, text, stock = outcome(show, request, entry)
        caught += code == "E-DOSE-900"
        if code:
            continue
        back = given_back(text, stock, entry, request.for_l)
        off = back / Fraction(str(request.strength_mg_l)) - 1
        if abs(off) > Fraction(2, 100) + Fraction(1, 10**9):
            wrong.append((text, stock, entry, request, float(off)))
    return wrong, caught


def test_the_sound_sum_shows_nothing_wrong_and_is_never_caught(
    given_back: Callable[[str, str, LabelEntry, float], Fraction],
) -> None:
    assert shown_wrong(given_back, printing.print_amount) == ([], 0)


@pytest.mark.parametrize("bug", BUGS)
def test_a_planted_fault_is_caught_before_an_amount_is_shown(
    given_back: Callable[[str, str, LabelEntry, float], Fraction], bug: str
) -> None:
    wrong, caught = shown_wrong(given_back, with_fault(*BUGS[bug]))
    assert not wrong, wrong[:3]
    assert caught, "the fault was never met"


@pytest.mark.parametrize("bug", GUARDED)
def test_a_fault_of_rounding_never_leaves_the_rounding_rule(
    given_back: Callable[[str, str, LabelEntry, float], Fraction], bug: str
) -> None:
    """These end as "cannot be measured" before the way back is asked."""
    wrong, _ = shown_wrong(given_back, with_fault(*GUARDED[bug]))
    assert not wrong, wrong[:3]
