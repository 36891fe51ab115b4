"""A part change asked for: pH and toxic ammonia at once, and after gas exchange."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside import water
from tankside.claims import Knowledge
from tankside.errors import BadInput
from tankside.library import load
from tankside.quantity import Kind
from tankside.quantity.show import plain, rounded
from tankside.services.water_answer import (
    AS_CACO3,
    AS_N,
    Result,
    Rival,
    Shown,
    celsius,
    entries,
    formula,
    positive,
    quantity,
    words,
)
from tankside.water import CarbonateWater, Mixed
from tankside.water.ammonia_fresh import EMERSON75
from tankside.water.carbonate_mixing import MIXING

BY_OXYGEN = (
    "After gas exchange: free CO2 settles to {} mg/L, read from the gap to oxygen saturation "
    "(the fish make CO2 as they use oxygen). In balance with room air the pH would be {}."
)
BY_AIR = (
    "After gas exchange: in balance with room air ({} mg/L CO2), because oxygen was not given; "
    "a stocked tank settles lower. Give --oxygen for its own figure."
)
NO_CALCIUM = "Calcium not known: in hard water above pH 8 the true pH is up to 0.1 higher."
SLOWLY = (
    "The toxic share of ammonia rises although the total falls: change slowly, in smaller parts, "
    "or match the new water first."
)
MORE = 1.05
"""Times as much toxic ammonia from which a rise is spoken of."""


@dataclass(frozen=True, slots=True)
class MixAsk:
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


def mix(ask: MixAsk) -> Shown:
    """Work out pH and toxic ammonia of a part change: at once, and after gas exchange.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01.
    """
    facts = load()
    t, share = celsius(ask.temperature), _share(ask.share)
    tank = _reading(ask.tank_ph, ask.tank_alkalinity, ask.tank_calcium, "tank")
    new = _reading(ask.new_ph, ask.new_alkalinity, ask.new_calcium, "new")
    in_air = float(
        water.co2_in_balance_with_air_mg_l(t, facts.number("practice.course.room_air_co2"))
    )
    settled = in_air if ask.oxygen is None else _by_oxygen(facts, t, ask.oxygen)
    mixed = water.mix_waters(t, tank, new, share, settled)
    airy = water.mix_waters(t, tank, new, share, in_air).ph_settled.number
    toxic, warnings = _toxic(ask, t, share, mixed)
    how = (BY_AIR if ask.oxygen is None else BY_OXYGEN).format(
        plain(rounded(settled, 2)), plain(rounded(airy, 2))
    )
    unknown = None in (ask.tank_calcium, ask.new_calcium)
    return Shown(
        "mix",
        _typed(ask),
        (
            Result("pH at once", mixed.ph_at_once.number, ""),
            Result("pH after gas exchange", mixed.ph_settled.number, ""),
            Result("alkalinity of the mix", float(mixed.alkalinity_mg_l_caco3), AS_CACO3, 2),
            *toxic,
        ),
        (formula(MIXING, facts), *((formula(EMERSON75, facts),) if toxic else ())),
        "",
        (Rival("in balance with room air", airy, "pH", True),) if ask.oxygen else (),
        words(mixed.ph_at_once.warnings) + warnings,
        (how, *((NO_CALCIUM,) if unknown else ())),
    )


def _typed(ask: MixAsk) -> tuple[tuple[str, str], ...]:
    return entries(
        temperature=ask.temperature,
        tank_pH=ask.tank_ph,
        tank_alkalinity=ask.tank_alkalinity,
        tank_calcium=ask.tank_calcium,
        new_pH=ask.new_ph,
        new_alkalinity=ask.new_alkalinity,
        new_calcium=ask.new_calcium,
        share=ask.share,
        total_ammonia=ask.total_ammonia,
        oxygen=ask.oxygen,
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
    ask: MixAsk, temperature_c: float, share: float, mixed: Mixed
) -> tuple[Sequence[Result], tuple[str, ...]]:
    """Return toxic ammonia before, at once and settled, and a warning when it rises."""
    if ask.total_ammonia is None:
        return (), ()
    total = quantity(ask.total_ammonia, Kind.AMMONIA, AS_N, "total_ammonia")
    before = quantity(ask.tank_ph, Kind.PH, "pH", "tank_ph")
    moments = (
        ("toxic ammonia before", total, before),
        ("toxic ammonia at once", total * (1 - share), mixed.ph_at_once.number),
        ("toxic after gas exchange", total * (1 - share), mixed.ph_settled.number),
    )
    results = [
        Result(name, n * water.unionised_fraction_emerson75(temperature_c, ph).number, AS_N, 2)
        for name, n, ph in moments
    ]
    rises = max(results[1].value, results[2].value) > MORE * results[0].value
    return results, ((SLOWLY,) if rises else ())
