"""The forward sum: from a strength and a label to grams or millilitres on the tool's steps.

Exact decimal arithmetic inside, one rounding at the end, to what the tool can show. The
independent check that goes back from the printed text lives in ``double_check``.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from functools import lru_cache

from tankside.claims import whole_setting
from tankside.course.amounts.label import LabelEntry, StrengthBasis, ToolUnit
from tankside.course.amounts.stock_solution import (
    COARSEST,
    Weighing,
    on_step,
    stock_solution,
    within,
)
from tankside.errors import BadInput
from tankside.quantity.per import MG_PER_G
from tankside.quantity.show import plain, rounded

_DIGITS = whole_setting(50, "digits carried in the sum, far beyond any tool")
_SUM = Context(prec=_DIGITS, rounding=ROUND_HALF_EVEN)
_MG_PER_G = Decimal(MG_PER_G)
_ONE = Decimal(1)
_COARSEST = Decimal(str(COARSEST))
_SHOWN = whole_setting(3, "significant digits of an amount that is only told, not weighed")


def product_per_active(label: LabelEntry, unit: ToolUnit) -> Decimal:
    """Return how much of the container, in ``unit``, holds one milligram of the agent's basis.

    For v/v labels, and liquids told as product, the milligram stands for a microlitre.

    Raises:
        BadInput: E-PROD-01 when the label lacks what the sum needs (strength, basis, density).
    """
    _check_label(label)
    form_per_active = _SUM.divide(_ONE, label.active_per_form)
    if label.basis is StrengthBasis.AS_PRODUCT and not label.solid:
        return _from_ml(_by_share(form_per_active, label), label, unit)
    match label.basis:
        case StrengthBasis.PURE | StrengthBasis.MASS_PER_MASS | StrengthBasis.AS_PRODUCT:
            milligrams = _SUM.divide(form_per_active, label.strength)
            return _from_mg(milligrams, label, unit)
        case StrengthBasis.MG_PER_ML:
            return _from_ml(_SUM.divide(form_per_active, label.strength), label, unit)
        case StrengthBasis.MASS_PER_VOLUME | StrengthBasis.VOLUME_PER_VOLUME:  # pragma: no branch
            return _from_ml(_by_share(form_per_active, label), label, unit)


def _by_share(form_per_active: Decimal, label: LabelEntry) -> Decimal:
    """Return millilitres whose strength is a share (grams or millilitres in one millilitre)."""
    return _SUM.divide(form_per_active, _SUM.multiply(label.strength, _MG_PER_G))


def _check_label(label: LabelEntry) -> None:
    is_share = label.basis is not StrengthBasis.MG_PER_ML
    inside = label.strength.is_finite() and label.strength > 0
    if not inside or (is_share and not label.strength <= _ONE) or not label.active_per_form > 0:
        raise BadInput(
            "E-PROD-01",
            "The label's strength is missing or cannot be.",
            given=f"{label.strength} {label.basis}",
            needed="a share above 0 and at most 1 (100 %), or mg per mL above 0",
            next_step="Read the label again: strength, basis (w/w, w/v, v/v) and form.",
            field="strength",
        )


def _density(label: LabelEntry) -> Decimal:
    if label.density_g_ml is None or not label.density_g_ml > 0:
        raise BadInput(
            "E-PROD-01",
            "The label goes by mass and the tool by volume (or the reverse): density needed.",
            given="no density",
            needed="density in g/mL from the label or a cited source; it is never taken as 1",
            next_step="Use a scale instead of a syringe (or the reverse), or enter the density.",
            field="density",
        )
    return label.density_g_ml


def _from_mg(milligrams: Decimal, label: LabelEntry, unit: ToolUnit) -> Decimal:
    if unit is ToolUnit.MILLIGRAM:
        return milligrams
    grams = _SUM.divide(milligrams, _MG_PER_G)
    return grams if unit is ToolUnit.GRAM else _SUM.divide(grams, _density(label))


def _from_ml(ml: Decimal, label: LabelEntry, unit: ToolUnit) -> Decimal:
    if unit is ToolUnit.MILLILITRE:
        return ml
    grams = _SUM.multiply(ml, _density(label))
    return grams if unit is ToolUnit.GRAM else _SUM.multiply(grams, _MG_PER_G)


@lru_cache(maxsize=whole_setting(4096, "sums kept, a search asks for the same ones again"))
def weigh_out(
    strength_mg_l: Decimal, litres: Decimal, label: LabelEntry, down: bool = False
) -> Weighing:
    """Return what to measure out for ``litres`` at ``strength_mg_l``.

    Equation: amount = strength x litres / (active in the form x label strength).

    Args:
        strength_mg_l: strength on the agent's basis [mg/L, or uL/L for v/v labels].
        litres: water it is for [L].
        label: the container and the tool.
        down: round down always, for an amount that may not come out above its target.

    Raises:
        BadInput: E-PROD-01 label unfit for the sum; E-NUM-09 strength or volume not above 0.
        BadInput: E-DOSE-24 too small for the tool, and for a stock solution of it.
    """
    if not (strength_mg_l.is_finite() and litres.is_finite() and strength_mg_l > 0 < litres):
        raise BadInput(
            "E-NUM-09",
            "Strength and volume must be above 0.",
            given=f"{strength_mg_l} mg/L in {litres} L",
            needed="numbers above 0",
            next_step="Type the strength and the measured volume.",
        )
    target_mg = _SUM.multiply(strength_mg_l, litres)
    per_active = product_per_active(label, label.tool.unit)
    exact = _SUM.multiply(target_mg, per_active)
    value = on_step(exact, label.tool, down)
    if within(value, exact):
        return Weighing(value, label.tool.unit, _SUM.divide(value, per_active), exact)
    stock = stock_solution(target_mg, per_active, label, down)
    if stock is None:
        raise _not_measurable(exact, label)
    return stock


def _not_measurable(exact: Decimal, label: LabelEntry) -> BadInput:
    finest = _SUM.multiply(_SUM.multiply(Decimal(2), _COARSEST), exact)
    unit = label.tool.unit.value
    return BadInput(
        "E-DOSE-24",
        "This amount cannot be measured with this tool.",
        given=f"{plain(rounded(exact, _SHOWN))} {unit} on steps of {plain(label.tool.step)}",
        needed=f"a step of at most {plain(rounded(finest, 1))} {unit} (4 % of the amount), or a "
        "syringe beside the scale for a stock solution",
        next_step="Use a finer scale or syringe, or name the syringe as well (syringe=0.5 mL).",
        field="scale" if unit != ToolUnit.MILLILITRE.value else "syringe",
    )
