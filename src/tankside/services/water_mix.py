"""A part change asked for: pH and toxic ammonia at once, and after gas exchange."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside import water
from tankside.claims import Knowledge
from tankside.errors import BadInput
from tankside.library import load
from tankside.quantity import Kind
from tankside.services.water_answer import (
    AS_CACO3,
    AS_N,
    Remark,
    RivalResult,
    WaterAnswer,
    WaterFigure,
    WaterRemark,
    WaterResult,
    celsius,
    entries,
    formula,
    once,
    positive,
    quantity,
)
from tankside.water import CarbonateWater, Mixed
from tankside.water.ammonia_fresh import EMERSON75
from tankside.water.carbonate_mixing import MIXING

ROOM_AIR = "room_air"
"""The rival that takes the water to be in balance with room air."""
MORE = 1.05
"""Times as much toxic ammonia from which a rise is spoken of."""


@dataclass(frozen=True, slots=True)
class MixRequest:
    """A change of water as typed; what is not known is None.

    ``share`` is the new share of the mix. Alkalinity and calcium take "mg/L as CaCO3" or "dH".
    """

    temperature: str
    tank_ph: str
    tank_alkalinity: str
    new_ph: str
    new_alkalinity: str
    share: str
    total_ammonia: str | None = None
    oxygen: str | None = None
    tank_calcium: str | None = None
    new_calcium: str | None = None


def mix(request: MixRequest) -> WaterAnswer:
    """Work out pH and toxic ammonia of a part change: at once, and after gas exchange.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01.
    """
    facts = load()
    t, share = celsius(request.temperature), _share(request.share)
    tank = _reading(request.tank_ph, request.tank_alkalinity, request.tank_calcium, "tank")
    new = _reading(request.new_ph, request.new_alkalinity, request.new_calcium, "new")
    in_air = float(
        water.co2_in_balance_with_air_mg_l(t, facts.number("practice.course.room_air_co2"))
    )
    settled = in_air if request.oxygen is None else _by_oxygen(facts, t, request.oxygen)
    mixed = water.mix_waters(t, tank, new, share, settled)
    airy = water.mix_waters(t, tank, new, share, in_air).ph_settled.number
    toxic = _toxic(request, t, share, mixed)
    return WaterAnswer(
        "mix",
        _typed(request),
        (
            WaterResult(WaterFigure.PH_AT_ONCE, mixed.ph_at_once.number, ""),
            WaterResult(WaterFigure.PH_SETTLED, mixed.ph_settled.number, ""),
            WaterResult(
                WaterFigure.MIXED_ALKALINITY, float(mixed.alkalinity_mg_l_caco3), AS_CACO3, 2
            ),
            *toxic,
        ),
        (formula(MIXING, facts), *((formula(EMERSON75, facts),) if toxic else ())),
        rivals=_in_room_air(airy) if request.oxygen else (),
        outside=once(mixed.ph_at_once.warnings),
        warnings=(WaterRemark(Remark.TOXIC_RISES),) if _rises(toxic) else (),
        notes=_notes(request, settled, airy),
    )


def _in_room_air(ph: float) -> tuple[RivalResult, ...]:
    return (RivalResult(ROOM_AIR, ph, "pH", in_range=True),)


def _notes(request: MixRequest, settled: float, airy: float) -> tuple[WaterRemark, ...]:
    """Return what the settled pH rests on, and what was not known of the two waters."""
    numbers = {"co2_mg_l": settled, "ph_in_air": airy}
    how = Remark.SETTLED_IN_AIR if request.oxygen is None else Remark.SETTLED_BY_OXYGEN
    unknown = None in (request.tank_calcium, request.new_calcium)
    calcium = (WaterRemark(Remark.CALCIUM_UNKNOWN),) if unknown else ()
    return (WaterRemark(how, numbers), *calcium)


def _typed(request: MixRequest) -> tuple[tuple[str, str], ...]:
    return entries(
        temperature=request.temperature,
        tank_pH=request.tank_ph,
        tank_alkalinity=request.tank_alkalinity,
        tank_calcium=request.tank_calcium,
        new_pH=request.new_ph,
        new_alkalinity=request.new_alkalinity,
        new_calcium=request.new_calcium,
        share=request.share,
        total_ammonia=request.total_ammonia,
        oxygen=request.oxygen,
    )


def _share(text: str) -> float:
    share = positive(text, "share")
    if share > 1:
        raise BadInput(
            "E-RANGE-01",
            "The changed share is above the whole.",
            given=text,
            needed="a share above 0 and up to 1, for example 0.5",
            next_step="Give the share that is new water.",
            field="share",
        )
    return share


def _reading(ph: str, alkalinity: str, calcium: str | None, which: str) -> CarbonateWater:
    hardness = None
    if calcium is not None:
        hardness = quantity(calcium, Kind.HARDNESS, AS_CACO3, f"{which}_calcium")
    return CarbonateWater(
        quantity(ph, Kind.PH, "pH", f"{which}_ph"),
        quantity(alkalinity, Kind.ALKALINITY, AS_CACO3, f"{which}_alkalinity"),
        hardness,
    )


def _by_oxygen(facts: Knowledge, temperature_c: float, oxygen: str) -> float:
    settled = water.settled_co2_mg_l(
        temperature_c,
        quantity(oxygen, Kind.OXYGEN, "mg/L", "oxygen"),
        water.oxygen_saturation_benson_krause84(temperature_c).values,
        facts.number("practice.course.room_air_co2"),
        facts.number("practice.course.respiratory_quotient"),
    )
    return float(settled)


def _toxic(
    request: MixRequest, temperature_c: float, share: float, mixed: Mixed
) -> tuple[WaterResult, ...]:
    """Return toxic ammonia before, at once and settled; nothing where no ammonia was told."""
    if request.total_ammonia is None:
        return ()
    total = quantity(request.total_ammonia, Kind.AMMONIA, AS_N, "total_ammonia")
    before = quantity(request.tank_ph, Kind.PH, "pH", "tank_ph")
    left = total * (1 - share)
    moments = (
        (WaterFigure.TOXIC_BEFORE, total, before),
        (WaterFigure.TOXIC_AT_ONCE, left, mixed.ph_at_once.number),
        (WaterFigure.TOXIC_SETTLED, left, mixed.ph_settled.number),
    )
    return tuple(
        WaterResult(
            figure, n * water.unionised_fraction_emerson75(temperature_c, ph).number, AS_N, 2
        )
        for figure, n, ph in moments
    )


def _rises(toxic: Sequence[WaterResult]) -> bool:
    """Whether toxic ammonia rises although the total falls."""
    if not toxic:
        return False
    before, *after = (result.value for result in toxic)
    return max(after) > MORE * before
