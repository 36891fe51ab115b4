"""Arithmetic of the tank asked for: volume two ways, weight, turnover, dilution, food, heater."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside import water
from tankside.claims import Knowledge
from tankside.course import VolumeRules, volume_from_methods
from tankside.errors import BadInput
from tankside.library import load
from tankside.quantity import Kind, parse_count
from tankside.quantity.per import HOURS_PER_DAY, PERCENT
from tankside.services.water_answer import (
    AS_N,
    Formula,
    Result,
    Shown,
    entries,
    formula,
    positive,
    quantity,
    rivals_of,
    words,
)
from tankside.water import Shape
from tankside.water.choose import ammonia_from_food
from tankside.water.dilution import PART_CHANGES
from tankside.water.heat import RAMP
from tankside.water.length_weight import FROESE14
from tankside.water.turnover import TURNOVER

US_GAL_L, IMPERIAL_GAL_L = 3.785411784, 4.54609
"""By definition."""
_LITRES_PER_CM3 = 0.001
ROUNDING = 1.0001
"""A rate met exactly is not called too fast by the last binary digit."""
FAST = "Faster than {} C in 24 h, the printed limit for tropical fish."


@dataclass(frozen=True, slots=True)
class VolumeAsk:
    """A volume by geometry, and if there is one by a second method, all as typed.

    ``takes`` and ``adds`` are what gravel and decoration take away and a filter adds. The second
    method is a hose (flow and time), a weighed salt rise, or a figure; the label on the tank is
    only compared, never used.
    """

    length: str
    width: str
    depth: str
    takes: tuple[str, ...] = ()
    adds: tuple[str, ...] = ()
    hose: str | None = None
    hose_time: str | None = None
    salt: str | None = None
    salt_rise: str | None = None
    second: str | None = None
    label: str | None = None


def volume(ask: VolumeAsk) -> Shown:
    """Work out the net water of a box-shaped tank, by two methods when there are two.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-DOSE-21 when two methods differ too much.
    """
    facts = load()
    sides = [
        quantity(text, Kind.LENGTH, "cm", field)
        for field, text in (("length", ask.length), ("width", ask.width), ("depth", ask.depth))
    ]
    inside = sides[0] * sides[1] * sides[2] * _LITRES_PER_CM3
    net = inside - _total(ask.takes, "takes") + _total(ask.adds, "adds")
    if net <= 0:
        raise BadInput(
            "E-NUM-09",
            "What takes room is more than the water.",
            given=f"{inside:g} L inside",
            needed="less than the inside volume",
            next_step="Check what gravel and decoration take away.",
            field="takes",
        )
    second, how = _second(ask)
    rules = _rules(facts)
    found = volume_from_methods(net, second, rules, "inside measures")
    compared, doubts = _compared(net, second, how, rules)
    return Shown(
        "volume",
        _typed(ask),
        (
            Result("net water", found.point_l, "L", 4),
            *compared,
            Result("net water", net / US_GAL_L, "US gal"),
            Result("net water", net / IMPERIAL_GAL_L, "imperial gal"),
        ),
        (_plain("length x width x depth / 1000, less what takes room, plus what adds"),),
        warnings=(*doubts, *_against_label(ask.label, net, rules)),
        notes=("Measured inside the glass, up to the water line, not to the rim.",),
    )


def _compared(
    net: float, second: float | None, how: str, rules: VolumeRules
) -> tuple[Sequence[Result], Sequence[str]]:
    """Return the second figure with its difference, and what must be said about it."""
    if second is None:
        return (), ("One method only: measure by a second before any dose.",)
    off = (max(net, second) / min(net, second) - 1) * PERCENT
    figures = (
        Result(f"by {how}", second, "L", 4),
        Result("difference", off, "% of the smaller", 2),
    )
    far = off > rules.ask_difference * PERCENT
    return figures, ("The two methods are far apart: measure again before any dose.",) * far


def _typed(ask: VolumeAsk) -> tuple[tuple[str, str], ...]:
    return entries(
        length=ask.length,
        width=ask.width,
        depth=ask.depth,
        takes=" + ".join(ask.takes) or None,
        adds=" + ".join(ask.adds) or None,
        hose=ask.hose,
        hose_time=ask.hose_time,
        salt=ask.salt,
        salt_rise=ask.salt_rise,
        second=ask.second,
        label=ask.label,
    )


def _plain(equation: str) -> Formula:
    return Formula("arithmetic", "", equation, "", "arithmetic", "", "")


def _rules(facts: Knowledge) -> VolumeRules:
    return VolumeRules(
        facts.number("practice.course.volume_ask_difference"),
        facts.number("practice.course.volume_stop_difference"),
    )


def _total(texts: Sequence[str], field: str) -> float:
    return sum(quantity(text, Kind.VOLUME, "L", field) for text in texts)


def _second(ask: VolumeAsk) -> tuple[float | None, str]:
    """Return the volume by the second method [L] and its name; None when there is none."""
    if ask.second is not None:
        return quantity(ask.second, Kind.VOLUME, "L", "second"), "the second figure"
    for first, other, name in (
        (ask.hose, ask.hose_time, "hose"),
        (ask.salt, ask.salt_rise, "salt"),
    ):
        if (first is None) != (other is None):
            raise BadInput(
                "E-NUM-01",
                f"The {name} method needs both of its figures.",
                given=first or other,
                needed="--hose with --hose-time, or --salt with --salt-rise",
                next_step="Give both, or neither.",
                field=name,
            )
    if ask.hose is not None and ask.hose_time is not None:
        flow = quantity(ask.hose, Kind.FLOW, "L/min", "hose")
        return flow * quantity(ask.hose_time, Kind.TIME, "min", "hose_time"), "hose and clock"
    if ask.salt is not None and ask.salt_rise is not None:
        grams = quantity(ask.salt, Kind.MASS, "g", "salt")
        rise = quantity(ask.salt_rise, Kind.SALINITY, "g/L", "salt_rise")
        if rise <= 0:
            raise BadInput(
                "E-NUM-09",
                "The rise must be above 0.",
                given=ask.salt_rise,
                needed="for example 0.90 g/L",
                next_step="Measure before and after the salt.",
                field="salt_rise",
            )
        return float(water.volume_from_salt_l(grams, rise)), "weighed salt"
    return None, ""


def _against_label(label: str | None, net: float, rules: VolumeRules) -> list[str]:
    if label is None:
        return []
    printed = quantity(label, Kind.VOLUME, "L", "label")
    off = (printed / net - 1) * PERCENT
    if abs(off) < rules.ask_difference * PERCENT:
        return []
    return [f"The label says {printed:g} L, {off:+.0f} %: it is the tank, not the water in it."]


def weight(length: str, shape: str | None = None, count: str | None = None) -> Shown:
    """Work out the weight of fish from total length and body shape.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-WATER-03, E-COUNT-01.
    """
    facts = load()
    cm = quantity(length, Kind.LENGTH, "cm", "length")
    body = Shape.ANY if shape is None else _shape(shape)
    fish = 1 if count is None else parse_count(count, field="count")
    found = water.weight_froese14(cm, body)
    named = (("weight of one", found.point), ("low edge", found.low), ("high edge", found.high))
    results = [Result(name, value.number, "g") for name, value in named]
    if count is not None:
        results.append(Result(f"all {fish}", found.point.number * fish, "g"))
    return Shown(
        "weight",
        entries(length=length, shape=body, count=count),
        tuple(results),
        (formula(FROESE14, facts),),
        warnings=words(found.point.warnings),
        notes=("Edges hold 95 % of fish of this shape. Weighing is better.",),
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


def turnover(flow: str, net: str, time: str) -> Shown:
    """Work out what share of the water has passed a filter or lamp at least once.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*.
    """
    per_h = quantity(flow, Kind.FLOW, "L/h", "flow") / quantity(net, Kind.VOLUME, "L", "volume")
    hours = quantity(time, Kind.TIME, "h", "time")
    return Shown(
        "turnover",
        entries(flow=flow, volume=net, time=time),
        (
            Result("passed at least once", water.share_passed(per_h, hours).number * PERCENT, "%"),
            Result("turnovers", per_h * hours, ""),
        ),
        (formula(TURNOVER, load()),),
    )


def dilution(share: str, changes: str) -> Shown:
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
    return Shown(
        "dilution",
        entries(share=share, changes=changes),
        (
            Result("left", left * PERCENT, "%"),
            Result("changes down to a twentieth", water.changes_needed(changed, 1 / 20), "", 3),
        ),
        (formula(PART_CHANGES, load()),),
        notes=("After a part change only the new water needs the agent again.",),
    )


def food(amount: str, protein: str, net: str) -> Shown:
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
    return Shown(
        "food",
        entries(amount=amount, protein=protein, volume=net),
        (
            Result("rise of total ammonia in a day", rise, AS_N, 2),
            Result("total ammonia made", made, "g as N", 2),
        ),
        (formula(choice.used.method, load()),),
        choice.why,
        rivals_of(choice, rise / made if made else 0.0, AS_N),
        words(choice.used.result.warnings),
        ("With no working filter and no change of water.",),
    )


def heater(net: str, rise: str, time: str) -> Shown:
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
    return Shown(
        "heater",
        entries(volume=net, rise=rise, time=time),
        (
            Result("power without losses", water.ramp_power_w(litres, per_h).number, "W"),
            Result("rate", per_h, "C/h", 2),
        ),
        (formula(RAMP, facts),),
        warnings=(FAST.format(f"{limit:g}"),) if over else (),
    )
