"""Water chemistry asked for one calculation at a time, typed as a keeper reads it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from tankside import water
from tankside.claims import Claim, Knowledge
from tankside.errors import BadInput
from tankside.library import load
from tankside.quantity import Kind
from tankside.quantity.per import PER_THOUSAND, PERCENT
from tankside.services.water_answer import (
    AS_CACO3,
    AS_N,
    Remark,
    UsedFormula,
    WaterAnswer,
    WaterFigure,
    WaterRemark,
    WaterResult,
    celsius,
    entries,
    formula,
    once,
    quantity,
    rivals_of,
    salinity_g_kg,
)
from tankside.water import PhScale
from tankside.water.air_pressure import STANDARD_ATMOSPHERE
from tankside.water.ammonia_epa13 import CHRONIC
from tankside.water.ammonia_fresh import FRESH_G_KG
from tankside.water.choose import (
    Choice,
    Salt,
    free_carbon_dioxide,
    oxygen_saturation,
    unionised_ammonia,
)
from tankside.water.nitrite import CHLORIDE_RATIO
from tankside.water.physical import AMMONIA_PER_N

E = TypeVar("E", Salt, PhScale)
Grams = Callable[[float, Claim], float]


def _salt(salinity: str | None, salt: str | None) -> tuple[float, Salt]:
    g_kg = salinity_g_kg(salinity)
    if salt is None and g_kg >= FRESH_G_KG:
        raise BadInput(
            "E-WATER-02",
            "The kind of salt decides the formula.",
            given=salinity,
            needed="--salt common (cooking salt) or --salt sea",
            next_step="Say which salt is in the water.",
            field="salt",
        )
    return g_kg, _one_of(Salt, salt or Salt.NONE, "salt")


def _scale(text: str | None) -> PhScale:
    return PhScale.FREE if text is None else _one_of(PhScale, text, "scale")


def _one_of(kinds: type[E], text: str, field: str) -> E:
    try:
        return kinds(text)
    except ValueError:
        raise BadInput(
            "E-WATER-03",
            f"This {field} is not known.",
            given=text,
            needed="one of: " + ", ".join(kinds),
            next_step="Choose one of them, or leave it out when not known.",
            field=field,
        ) from None


def ammonia(
    temperature: str,
    ph: str,
    total: str,
    salinity: str | None = None,
    salt: str | None = None,
    scale: str | None = None,
) -> WaterAnswer:
    """Work out how much of a total-ammonia reading is the toxic form.

    Args:
        temperature: for example "19.0 C".
        ph: for example "7.8".
        total: total ammonia with its basis, for example "1.2 mg/L as N".
        salinity: for example "34.5 g/L"; fresh water when left out.
        salt: common or sea; needed from 0.5 g/L.
        scale: pH scale in sea salt: free, total or nbs.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01, E-WATER-02, E-WATER-03.
    """
    facts = load()
    t, acidity = celsius(temperature), quantity(ph, Kind.PH, "pH", "ph")
    total_n = quantity(total, Kind.AMMONIA, AS_N, "total")
    g_kg, kind = _salt(salinity, salt)
    choice = unionised_ammonia(t, acidity, g_kg, kind, _scale(scale))
    share = choice.used.result.number
    toxic = share * total_n
    criterion, formulas = _criterion(facts, t, acidity) if g_kg < FRESH_G_KG else ((), ())
    return WaterAnswer(
        "ammonia",
        entries(temperature=temperature, pH=ph, total=total, salinity=salinity, salt=salt,
                 scale=scale),
        (
            WaterResult(WaterFigure.TOXIC_AMMONIA, toxic, AS_N, 2),
            WaterResult(WaterFigure.TOXIC_AMMONIA, toxic * AMMONIA_PER_N, "mg/L as NH3", 2),
            WaterResult(WaterFigure.TOXIC_SHARE, share * PERCENT, "%", 2),
        ),
        (formula(choice.used.method, facts), *formulas),
        choice.why,
        rivals_of(choice, total_n, AS_N),
        once(choice.used.result.warnings),
        notes=(_against(facts, toxic), WaterRemark(Remark.AMMONIA_BOUND), *criterion),
    )  # fmt: skip


def _criterion(
    facts: Knowledge, temperature_c: float, ph: float
) -> tuple[tuple[WaterRemark, ...], tuple[UsedFormula, ...]]:
    """Return the reference for wild fresh waters at this pH and temperature, with its formula."""
    criterion = water.ammonia_chronic_epa13(temperature_c, ph).number
    remark = WaterRemark(Remark.AMMONIA_CRITERION, {"criterion_mg_l_n": criterion})
    return (remark,), (formula(CHRONIC, facts),)


def _against(facts: Knowledge, toxic_n: float) -> WaterRemark:
    """Hold toxic ammonia [mg/L as N] against the guideline and the first harm on record."""
    guide = facts.claim("water.ammonia.guideline_fresh.trade_body").number() / AMMONIA_PER_N
    harm = facts.claim("water.ammonia.gill_damage").number()
    numbers = {"guideline_mg_l_n": guide, "gill_damage_mg_l_n": harm}
    if toxic_n >= harm:
        return WaterRemark(Remark.GILL_DAMAGE, numbers)
    reached = Remark.ABOVE_GUIDELINE if toxic_n >= guide else Remark.BELOW_GUIDELINE
    return WaterRemark(reached, numbers)


def oxygen(
    temperature: str,
    salinity: str | None = None,
    altitude: str | None = None,
    reading: str | None = None,
    warmed_to: str | None = None,
) -> WaterAnswer:
    """Work out oxygen at saturation, what a reading is of it, and what warming leaves.

    Args:
        temperature: for example "29 C".
        salinity: for example "34.5 g/L".
        altitude: for example "600 m".
        reading: for example "6.2 mg/L".
        warmed_to: temperature after warming.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01.
    """
    facts = load()
    t = celsius(temperature)
    g_kg = salinity_g_kg(salinity)
    high_m = 0.0 if altitude is None else quantity(altitude, Kind.LENGTH, "m", "altitude")
    pressure = water.pressure_standard_atmosphere(high_m)
    choice = oxygen_saturation(t, g_kg, pressure.number)
    full = choice.used.result.number
    results = [WaterResult(WaterFigure.OXYGEN_FULL, full, "mg/L", 2)]
    warnings = [*pressure.warnings, *choice.used.result.warnings]
    if reading is not None:
        there = quantity(reading, Kind.OXYGEN, "mg/L", "reading")
        share = there / full * PERCENT
        results.append(WaterResult(WaterFigure.OXYGEN_SHARE, share, "% of saturation", 2))
    if warmed_to is not None:
        later = oxygen_saturation(celsius(warmed_to, "warmed_to"), g_kg, pressure.number)
        warmed = later.used.result.number
        results.append(WaterResult(WaterFigure.OXYGEN_WARMED, warmed, "mg/L", 2))
        warnings += later.used.result.warnings
    formulas = [formula(choice.used.method, facts)]
    if altitude is not None:
        formulas.append(formula(STANDARD_ATMOSPHERE, facts))
    return WaterAnswer(
        "oxygen",
        entries(temperature=temperature, salinity=salinity, altitude=altitude, reading=reading,
                 warmed_to=warmed_to),
        tuple(results),
        tuple(formulas),
        choice.why,
        rivals_of(choice, 1.0, "mg/L"),
        once(warnings),
        notes=(WaterRemark(Remark.BALANCE_WITH_AIR),),
    )  # fmt: skip


def nitrite(nitrite_read: str, chloride: str, volume: str) -> WaterAnswer:
    """Work out common salt against nitrite at every ratio on record, and the trap of the unit.

    Args:
        nitrite_read: with its basis, for example "2.6 mg/L as NO2".
        chloride: for example "25 mg/L".
        volume: net water, for example "162 L".

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01.
    """
    facts = load()
    as_n = quantity(nitrite_read, Kind.NITRITE, AS_N, "nitrite")
    cl = quantity(chloride, Kind.CHLORIDE, "mg/L", "chloride")
    litres = quantity(volume, Kind.VOLUME, "L", "volume")
    recorded = facts.rivals("water.nitrite.chloride_ratio")
    ratios = [claim for claim in (recorded.default, *recorded.others) if claim is not None]

    def grams(nitrogen: float, ratio: Claim) -> float:
        return water.salt_for_nitrite(nitrogen, cl, ratio.number()).number * litres / PER_THOUSAND

    results = [
        WaterResult(
            WaterFigure.SALT_AT_RATIO, grams(as_n, ratio), "g", 2, which=f"{ratio.number():g}"
        )
        for ratio in ratios
    ]
    ion = float(water.nitrite_ion_mg_l(as_n))
    results.append(WaterResult(WaterFigure.NITRITE_ION, ion, "mg/L as NO2", 2))
    results.append(WaterResult(WaterFigure.NITRITE_NITROGEN, as_n, AS_N, 2))
    return WaterAnswer(
        "nitrite",
        entries(nitrite=nitrite_read, chloride=chloride, volume=volume),
        tuple(results),
        (formula(CHLORIDE_RATIO, facts),),
        recorded.why,
        warnings=(_unit_decides(ion, as_n, ratios[0], grams),),
        notes=(
            WaterRemark(Remark.SALT_ONLY_EASES),
            *(WaterRemark(Remark.RATIO_ON_RECORD, claim=ratio) for ratio in ratios),
        ),
    )


def _unit_decides(ion: float, as_n: float, ratio: Claim, grams: Grams) -> WaterRemark:
    """Return what taking the one unit of nitrite for the other would weigh out."""
    numbers = {
        "ion_mg_l": ion,
        "nitrogen_mg_l": as_n,
        "ratio": ratio.number(),
        "right_g": grams(as_n, ratio),
        "ion_taken_for_nitrogen_g": grams(ion, ratio),
        "nitrogen_taken_for_ion_g": grams(float(water.nitrite_nitrogen_mg_l(as_n)), ratio),
    }
    return WaterRemark(Remark.UNIT_DECIDES, numbers)


def carbon_dioxide(temperature: str, ph: str, alkalinity: str) -> WaterAnswer:
    """Work out free carbon dioxide from pH and alkalinity.

    Raises:
        BadInput: E-NUM-*, E-UNIT-*, E-RANGE-01.
    """
    facts = load()
    choice: Choice = free_carbon_dioxide(
        celsius(temperature),
        quantity(ph, Kind.PH, "pH", "ph"),
        quantity(alkalinity, Kind.ALKALINITY, AS_CACO3, "alkalinity"),
    )
    limit = facts.number("water.carbonate.co2_limit")
    return WaterAnswer(
        "carbon-dioxide",
        entries(temperature=temperature, pH=ph, alkalinity=alkalinity),
        (WaterResult(WaterFigure.FREE_CO2, choice.used.result.number, "mg/L", 2),),
        (formula(choice.used.method, facts),),
        choice.why,
        rivals_of(choice, 1.0, "mg/L"),
        once(choice.used.result.warnings),
        notes=(WaterRemark(Remark.CO2_TARGET, {"limit_mg_l": limit}),),
    )
