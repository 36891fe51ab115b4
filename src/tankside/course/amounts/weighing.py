"""The forward sum: from a strength and a label to grams or millilitres on the tool's steps.

Exact decimal arithmetic inside, one rounding at the end, to what the tool can show. The
independent check that goes back from the printed text lives in ``double_check``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_DOWN, ROUND_HALF_EVEN, Context, Decimal
from functools import lru_cache

from tankside.claims import setting, whole_setting
from tankside.course.amounts.label import LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.errors import BadInput
from tankside.quantity.per import MG_PER_G, ML_PER_L
from tankside.quantity.show import amount, plain

_DIGITS = whole_setting(50, "digits carried in the sum, far beyond any tool")
_SUM = Context(prec=_DIGITS, rounding=ROUND_HALF_EVEN)
_MG_PER_G = Decimal(MG_PER_G)
_ONE = Decimal(1)
COARSEST = setting(0.02, "a tool may be off by 2 % of the amount at most")
_COARSEST = Decimal(str(COARSEST))
_STOCK_STEPS = Decimal(str(whole_setting(100, "a stock solution is weighed on 100 steps")))
_STOCK_ML = Decimal(ML_PER_L)  # a stock solution is made up in one litre


@dataclass(frozen=True, slots=True)
class Weighing:
    """What to measure out, and what it really holds.

    ``value`` is in ``unit``; ``active_mg`` is what that printed value holds on the agent's
    basis; ``exact`` is the value before rounding; ``stock`` says how to make the stock solution
    when one is needed.
    """

    value: Decimal
    unit: ToolUnit
    active_mg: Decimal
    exact: Decimal
    stock: str = ""


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
        BadInput: E-DOSE-24 too small for the tool and no syringe for a stock solution.
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
    return _by_stock(target_mg, per_active, label, exact, down)


def on_step(exact: Decimal, tool: Tool, down: bool = False) -> Decimal:
    """Round to the nearest step of the tool (a half goes down), or always ``down``."""
    steps = _SUM.divide(exact, tool.step)
    whole = steps.to_integral_value(rounding=ROUND_DOWN, context=_SUM)
    if not down and _SUM.subtract(steps, whole) > _SUM.divide(_ONE, Decimal(2)):
        whole = _SUM.add(whole, _ONE)
    return _SUM.multiply(whole, tool.step)


def within(value: Decimal, exact: Decimal) -> bool:
    """Whether a rounded amount is above 0 and within the coarsest error allowed."""
    return value > 0 and abs(_SUM.subtract(value, exact)) <= _SUM.multiply(_COARSEST, exact)


def _by_stock(
    target_mg: Decimal, per_active: Decimal, label: LabelEntry, exact: Decimal, down: bool
) -> Weighing:
    """Dissolve 100 steps of the scale in a litre, and measure that by syringe."""
    unit = label.tool.unit
    if label.stock_tool is None or label.stock_tool.unit is not ToolUnit.MILLILITRE:
        raise _not_measurable(exact, label)
    whole = _SUM.multiply(label.tool.step, _STOCK_STEPS)
    active_per_ml = _SUM.divide(_SUM.divide(whole, per_active), _STOCK_ML)
    exact_ml = _SUM.divide(target_mg, active_per_ml)
    value = on_step(exact_ml, label.stock_tool, down)
    if not within(value, exact_ml):
        raise _not_measurable(exact, label)
    route = (
        f"Too small to measure directly. Dissolve {amount(whole, unit.value)} in "
        f"{amount(_STOCK_ML, 'mL')} of water, mix fully, use today and keep none."
    )
    return Weighing(
        value, ToolUnit.MILLILITRE, _SUM.multiply(value, active_per_ml), exact_ml, route
    )


def _not_measurable(exact: Decimal, label: LabelEntry) -> BadInput:
    return BadInput(
        "E-DOSE-24",
        "This amount cannot be measured with this tool.",
        given=f"{exact:.3g} {label.tool.unit} on steps of {plain(label.tool.step)}",
        needed="a tool whose step is at most 4 % of the amount, or a syringe for a stock solution",
        next_step="Use a finer scale, or weigh 100 steps into 1000 mL and measure by syringe.",
        field="tool",
    )
