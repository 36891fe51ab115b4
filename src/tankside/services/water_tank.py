"""Arithmetic of the tank asked for: weight, turnover, dilution, food, heater."""

from __future__ import annotations

from tankside import water
from tankside.errors import BadInput
from tankside.library import load
from tankside.quantity import Kind, parse_count
from tankside.quantity.per import HOURS_PER_DAY, PERCENT
from tankside.services.water_answer import (
    AS_N,
    Remark,
    WaterAnswer,
    WaterFigure,
    WaterRemark,
    WaterResult,
    entries,
    formula,
    once,
    positive,
    quantity,
    rivals_of,
)
from tankside.water import Shape
from tankside.water.choose import ammonia_from_food
from tankside.water.dilution import PART_CHANGES
from tankside.water.heat import RAMP
from tankside.water.length_weight import FROESE14
from tankside.water.turnover import TURNOVER

ROUNDING = 1.0001
"""A rate met exactly is not called too fast by the last binary digit."""


def weight(length: str, shape: str | None = None, count: str | None = None) -> WaterAnswer:
    """Work out the weight of fish from total length and body shape.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-WATER-03, E-COUNT-01.
    """
    facts = load()
    cm = quantity(length, Kind.LENGTH, "cm", "length")
    body = Shape.ANY if shape is None else _shape(shape)
    fish = 1 if count is None else parse_count(count, field="count")
    weighed = water.weight_froese14(cm, body)
    edges = (
        (WaterFigure.WEIGHT_OF_ONE, weighed.point),
        (WaterFigure.WEIGHT_LOW, weighed.low),
        (WaterFigure.WEIGHT_HIGH, weighed.high),
    )
    results = [WaterResult(figure, value.number, "g") for figure, value in edges]
    if count is not None:
        total = weighed.point.number * fish
        results.append(WaterResult(WaterFigure.WEIGHT_OF_ALL, total, "g", which=str(fish)))
    return WaterAnswer(
        "weight",
        entries(length=length, shape=body, count=count),
        tuple(results),
        (formula(FROESE14, facts),),
        outside=once(weighed.point.warnings),
        notes=(WaterRemark(Remark.EDGES_OF_SHAPE),),
    )


def _shape(text: str) -> Shape:
    try:
        return Shape(text)
    except ValueError:
        raise BadInput(
            "E-WATER-03",
            "This body shape is not known.",
            given=text,
            needed="one of: " + ", ".join(Shape),
            next_step="Choose one, or leave it out.",
            field="shape",
        ) from None


def turnover(flow: str, net: str, time: str) -> WaterAnswer:
    """Work out what share of the water has passed a filter or lamp at least once.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*.
    """
    per_h = quantity(flow, Kind.FLOW, "L/h", "flow") / quantity(net, Kind.VOLUME, "L", "volume")
    hours = quantity(time, Kind.TIME, "h", "time")
    return WaterAnswer(
        "turnover",
        entries(flow=flow, volume=net, time=time),
        (
            WaterResult(WaterFigure.PASSED, water.share_passed(per_h, hours).number * PERCENT, "%"),
            WaterResult(WaterFigure.TURNOVERS, per_h * hours, ""),
        ),
        (formula(TURNOVER, load()),),
    )


def dilution(share: str, changes: str) -> WaterAnswer:
    """Work out what part changes leave of a substance that does not decay.

    Raises:
        BadInput: E-NUM-*, E-COUNT-01, E-RANGE-01.
    """
    changed, times = positive(share, "share"), parse_count(changes, field="changes")
    if changed > 1:
        raise BadInput(
            "E-RANGE-01",
            "The changed share is above the whole.",
            given=share,
            needed="a share above 0 and up to 1, for example 0.25",
            next_step="Give the share changed each time.",
            field="share",
        )
    left = water.left_after_changes(changed, float(times)).number
    return WaterAnswer(
        "dilution",
        entries(share=share, changes=changes),
        (
            WaterResult(WaterFigure.LEFT, left * PERCENT, "%"),
            WaterResult(
                WaterFigure.CHANGES_TO_TWENTIETH, water.changes_needed(changed, 1 / 20), "", 3
            ),
        ),
        (formula(PART_CHANGES, load()),),
        notes=(WaterRemark(Remark.DOSE_NEW_WATER),),
    )


def food(amount: str, protein: str, net: str) -> WaterAnswer:
    """Work out how much a day's food raises total ammonia when no filter works.

    Args:
        amount: food eaten in a day, for example "2 g".
        protein: protein share from the label, for example "45 % w/w".
        net: net water.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*.
    """
    grams = quantity(amount, Kind.MASS, "g", "amount")
    share = quantity(protein, Kind.STRENGTH_W_W, "% w/w", "protein") / PERCENT
    litres = quantity(net, Kind.VOLUME, "L", "volume")
    choice = ammonia_from_food(grams, share)
    made = choice.used.result.number
    rise = float(water.strength_rise_mg_l(made, litres))
    return WaterAnswer(
        "food",
        entries(amount=amount, protein=protein, volume=net),
        (
            WaterResult(WaterFigure.AMMONIA_RISE, rise, AS_N, 2),
            WaterResult(WaterFigure.AMMONIA_MADE, made, "g as N", 2),
        ),
        (formula(choice.used.method, load()),),
        choice.why,
        rivals_of(choice, rise / made if made else 0.0, AS_N),
        once(choice.used.result.warnings),
        notes=(WaterRemark(Remark.NO_FILTER_NO_CHANGE),),
    )


def heater(net: str, rise: str, time: str) -> WaterAnswer:
    """Work out the heater power of a ramp, losses left out.

    Args:
        net: net water.
        rise: rise in C as a plain number, for example "1".
        time: in which time, for example "24 h".

    Raises:
        BadInput: E-NUM-*, E-UNIT-*.
    """
    facts = load()
    litres = quantity(net, Kind.VOLUME, "L", "volume")
    per_h = positive(rise, "rise") / quantity(time, Kind.TIME, "h", "time")
    limit = facts.number("practice.course.warming_per_day")
    over = per_h * HOURS_PER_DAY > limit * ROUNDING
    return WaterAnswer(
        "heater",
        entries(volume=net, rise=rise, time=time),
        (
            WaterResult(WaterFigure.HEATER_POWER, water.ramp_power_w(litres, per_h).number, "W"),
            WaterResult(WaterFigure.WARMING_RATE, per_h, "C/h", 2),
        ),
        (formula(RAMP, facts),),
        warnings=(WaterRemark(Remark.TOO_FAST, {"limit_c": limit}),) if over else (),
    )
