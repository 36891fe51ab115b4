"""The net water of a box-shaped tank asked for, by two methods when there are two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from tankside import water
from tankside.course import VolumeRules, volume_from_methods
from tankside.errors import BadInput
from tankside.intake.volumes import volume_rules
from tankside.library import load
from tankside.quantity import Kind
from tankside.quantity.per import PERCENT
from tankside.services.water_answer import (
    Remark,
    WaterAnswer,
    WaterFigure,
    WaterRemark,
    WaterResult,
    entries,
    quantity,
)

US_GAL_L, IMPERIAL_GAL_L = 3.785411784, 4.54609
"""By definition."""
_LITRES_PER_CM3 = 0.001


class SecondMethod(StrEnum):
    """How a volume was found a second time."""

    FIGURE = "figure"
    HOSE = "hose"
    SALT = "salt"


@dataclass(frozen=True, slots=True)
class VolumeRequest:
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


def volume(request: VolumeRequest) -> WaterAnswer:
    """Work out the net water of a box-shaped tank, by two methods when there are two.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-DOSE-21 when two methods differ too much.
    """
    facts = load()
    sides = [
        quantity(text, Kind.LENGTH, "cm", field)
        for field, text in (
            ("length", request.length),
            ("width", request.width),
            ("depth", request.depth),
        )
    ]
    inside = sides[0] * sides[1] * sides[2] * _LITRES_PER_CM3
    net = inside - _total(request.takes, "takes") + _total(request.adds, "adds")
    if net <= 0:
        raise BadInput(
            "E-NUM-09",
            "What takes room is more than the water.",
            given=f"{inside:g} L inside",
            needed="less than the inside volume",
            next_step="Check what gravel and decoration take away.",
            field="takes",
        )
    second, method = _second(request)
    rules = volume_rules(facts)
    agreed = volume_from_methods(net, second, rules, "inside measures")
    compared, doubts = _compared(net, second, method, rules)
    return WaterAnswer(
        "volume",
        _typed(request),
        (
            WaterResult(WaterFigure.NET_WATER, agreed.point_l, "L", 4),
            *compared,
            WaterResult(WaterFigure.NET_WATER, net / US_GAL_L, "US gal"),
            WaterResult(WaterFigure.NET_WATER, net / IMPERIAL_GAL_L, "imperial gal"),
        ),
        warnings=(*doubts, *_against_label(request.label, net, rules)),
        notes=(WaterRemark(Remark.MEASURED_INSIDE),),
    )


def _compared(
    net: float, second: float | None, method: SecondMethod | None, rules: VolumeRules
) -> tuple[Sequence[WaterResult], Sequence[WaterRemark]]:
    """Return the second figure with its difference, and what must be said about it."""
    if second is None or method is None:
        return (), (WaterRemark(Remark.ONE_METHOD),)
    off = (max(net, second) / min(net, second) - 1) * PERCENT
    figures = (
        WaterResult(WaterFigure.SECOND_VOLUME, second, "L", 4, which=method.value),
        WaterResult(WaterFigure.VOLUME_DIFFERENCE, off, "% of the smaller", 2),
    )
    far = off > rules.ask_difference * PERCENT
    return figures, (WaterRemark(Remark.METHODS_FAR_APART),) if far else ()


def _typed(request: VolumeRequest) -> tuple[tuple[str, str], ...]:
    return entries(
        length=request.length,
        width=request.width,
        depth=request.depth,
        takes=" + ".join(request.takes) or None,
        adds=" + ".join(request.adds) or None,
        hose=request.hose,
        hose_time=request.hose_time,
        salt=request.salt,
        salt_rise=request.salt_rise,
        second=request.second,
        label=request.label,
    )


def _total(texts: Sequence[str], field: str) -> float:
    return sum(quantity(text, Kind.VOLUME, "L", field) for text in texts)


def _second(request: VolumeRequest) -> tuple[float | None, SecondMethod | None]:
    """Return the volume by the second method [L] and which it is; None when there is none."""
    if request.second is not None:
        return quantity(request.second, Kind.VOLUME, "L", "second"), SecondMethod.FIGURE
    for first, other, name in (
        (request.hose, request.hose_time, "hose"),
        (request.salt, request.salt_rise, "salt"),
    ):
        if (first is None) != (other is None):
            raise BadInput(
                "E-NUM-01",
                f"The {name} method needs both of its figures.",
                needed="--hose with --hose-time, or --salt with --salt-rise",
                next_step="Give both, or neither.",
                field=name,
            )
    if request.hose is not None and request.hose_time is not None:
        flow = quantity(request.hose, Kind.FLOW, "L/min", "hose")
        minutes = quantity(request.hose_time, Kind.TIME, "min", "hose_time")
        return flow * minutes, SecondMethod.HOSE
    if request.salt is not None and request.salt_rise is not None:
        grams = quantity(request.salt, Kind.MASS, "g", "salt")
        rise = quantity(request.salt_rise, Kind.SALINITY, "g/L", "salt_rise")
        if rise <= 0:
            raise BadInput(
                "E-NUM-09",
                "The rise must be above 0.",
                given=request.salt_rise,
                needed="for example 0.90 g/L",
                next_step="Measure before and after the salt.",
                field="salt_rise",
            )
        return float(water.volume_from_salt_l(grams, rise)), SecondMethod.SALT
    return None, None


def _against_label(label: str | None, net: float, rules: VolumeRules) -> tuple[WaterRemark, ...]:
    if label is None:
        return ()
    printed = quantity(label, Kind.VOLUME, "L", "label")
    off = (printed / net - 1) * PERCENT
    if abs(off) < rules.ask_difference * PERCENT:
        return ()
    numbers = {"label_l": printed, "off_percent": off}
    return (WaterRemark(Remark.LABEL_IS_THE_TANK, numbers),)
