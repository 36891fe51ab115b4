"""What a tool can measure, and the two-step route where it is too coarse: a stock solution."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_DOWN, ROUND_HALF_EVEN, Context, Decimal

from tankside.claims import setting, whole_setting
from tankside.course.amounts.label import LabelEntry, Tool, ToolUnit
from tankside.quantity.per import MG_PER_G, ML_PER_L, PERCENT
from tankside.quantity.show import amount, rounded

_DIGITS = whole_setting(50, "digits carried in the sum, far beyond any tool")
_SUM = Context(prec=_DIGITS, rounding=ROUND_HALF_EVEN)
_ONE = Decimal(1)
COARSEST = setting(0.02, "a tool may be off by 2 % of the amount at most")
_COARSEST = Decimal(str(COARSEST))
_WEIGHED_STEPS = whole_setting(100, "a stock solution is weighed on 100 steps at least")
_DRAWN_STEPS = whole_setting(20, "a liquid that is diluted is drawn on 20 steps at least")
_MADE = (
    Decimal(ML_PER_L),
    Decimal(100),
    Decimal(whole_setting(200, "a jar that a kitchen has")),
    Decimal(whole_setting(500, "a jar that a kitchen has")),
    Decimal(whole_setting(2000, "a bucket that a house has")),
    Decimal(whole_setting(5000, "a bucket that a house has")),
)
"""What a stock solution is made up to, in the order tried [mL, or g where it is weighed]."""
TOO_SMALL = "Too small to measure directly. "
"""Begins the words of a stock solution where they stand by themselves."""
_THINNED = whole_setting(5, "a stock solution is at least so much more water than substance")
_FINE_STEPS = whole_setting(25, "steps of a tool that is no finer for what is made of it")
_MORE = (
    1,
    2,
    whole_setting(5, "times the least that is weighed in"),
    10,
    whole_setting(20, "times the least that is weighed in"),
)


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


def measured_with(label: LabelEntry, weighing: Weighing) -> Tool:
    """Return the tool that measures what is put in: the container itself, or its solution."""
    second = label.stock_tool
    by_second = weighing.stock and second is not None and second.unit is weighing.unit
    return second if by_second and second is not None else label.tool


def finer_tool(value: Decimal, tool: Tool) -> str:
    """Say which tool would do better where a step is more than 4 % of an amount; else "".

    An amount that happens to lie on a mark is still read off no better than by a part of a step.
    """
    if value >= _SUM.multiply(tool.step, Decimal(_FINE_STEPS)):
        return ""
    finest = _SUM.divide(value, Decimal(_FINE_STEPS))
    share = amount(rounded(_SUM.multiply(_SUM.divide(tool.step, value), Decimal(PERCENT)), 1), "%")
    step = Context(prec=1, rounding=ROUND_DOWN).create_decimal(finest)
    return (
        f"A step is {share} of it: better steps of {amount(step, tool.unit.value)}, "
        f"or a stock solution."
    )


def stock_solution(
    target_mg: Decimal, per_active: Decimal, label: LabelEntry, down: bool
) -> Weighing | None:
    """Return how much of which stock solution brings the target; None where none can.

    A solid is weighed into water and measured by syringe, or weighed again where there is none; a
    liquid is diluted and measured with the syringe that was too coarse for it neat.

    Args:
        target_mg: what is to go in, on the agent's basis [mg].
        per_active: how much of the container holds one milligram of it [unit of its tool].
        label: the container and its tools.
        down: round down always.
    """
    for put_in, made, tool in _recipes(label):
        active_each = _SUM.divide(_SUM.divide(put_in, per_active), made)
        exact = _SUM.divide(target_mg, active_each)
        value = on_step(exact, tool, down)
        fine = tool is not label.tool or value >= _SUM.multiply(tool.step, Decimal(_FINE_STEPS))
        if within(value, exact) and fine and value <= made:
            held = _SUM.multiply(value, active_each)
            return Weighing(value, tool.unit, held, exact, _words(put_in, made, label.tool, tool))
    return None


def _recipes(label: LabelEntry) -> Iterator[tuple[Decimal, Decimal, Tool]]:
    """Yield (put in [unit of the tool], made up to, what measures it), the simplest first."""
    drawn = label.tool.unit is ToolUnit.MILLILITRE
    syringe = label.stock_tool
    by_syringe = syringe is not None and syringe.unit is ToolUnit.MILLILITRE
    tool = syringe if syringe is not None and by_syringe and not drawn else label.tool
    least = _SUM.multiply(label.tool.step, Decimal(_DRAWN_STEPS if drawn else _WEIGHED_STEPS))
    to_made = Decimal(MG_PER_G) if label.tool.unit is ToolUnit.MILLIGRAM else _ONE
    scale_up = to_made if tool.unit is ToolUnit.MILLIGRAM else _ONE
    for more in _MORE:
        put_in = _SUM.multiply(least, Decimal(more))
        for made in _MADE if by_syringe and not drawn else sorted(_MADE):
            if _SUM.divide(put_in, to_made) * _THINNED <= made:
                yield put_in, _SUM.multiply(made, scale_up), tool


def _words(put_in: Decimal, made: Decimal, weighed: Tool, measured: Tool) -> str:
    """Say how the stock solution is made; the second sum reads these words."""
    whole = amount(put_in, weighed.unit.value)
    of = amount(made, measured.unit.value)
    end = "shake, keep none."
    verb = "Dilute" if weighed.unit is ToolUnit.MILLILITRE else "Dissolve"
    return f"{TOO_SMALL}{verb} {whole} in water to make {of}, {end}"
