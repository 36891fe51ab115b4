"""What the readings of a water answer for the differential."""

from __future__ import annotations

from tankside.case import Amount, Reading, SystemView
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose.context import nitrogen_answers, oxygen_answers, temperature_answers
from tankside.quantity import Kind
from tankside.water.ammonia_fresh import unionised_fraction_emerson75
from tankside.water.ammonia_saline import unionised_fraction_clegg_whitfield95
from tankside.water.oxygen_solubility import oxygen_saturation_benson_krause84
from tankside.water.ph_scale import PhScale

Answers = dict[str, frozenset[str]]


def water_answers(main: SystemView, facts: DiagnosisFacts, *, marine: bool) -> Answers:
    """Return what the latest readings of a water answer: warmth, ammonia and nitrite, oxygen.

    Args:
        main: the water the fish live in.
        facts: the edges of the answers.
        marine: whether it is sea water.
    """
    answers: Answers = {}
    warmth = _number(main, Reading.TEMPERATURE, "C")
    if warmth is not None:
        low = _celsius(main.description.temperature_low, warmth)
        high = _celsius(main.description.temperature_high, warmth)
        span = (min(low, warmth), max(high, warmth))
        answers["water_temperature"] = temperature_answers(facts, *span)
    total = _number(main, Reading.AMMONIA, "mg/L as N")
    nitrogen = nitrogen_answers(
        facts,
        toxic_ammonia_mg_l_n=toxic_ammonia_mg_l_n(main, marine=marine),
        total_ammonia_mg_l_n=total,
        nitrite_mg_l_n=_number(main, Reading.NITRITE, "mg/L as N"),
        sea_water=marine,
    )
    if nitrogen is not None:
        answers["nitrogen"] = nitrogen
    oxygen = _number(main, Reading.OXYGEN, "mg/L")
    if oxygen is not None and warmth is not None:
        salt = _number(main, Reading.SALINITY, "g/L") or 0.0
        full = oxygen_saturation_benson_krause84(warmth, salt).number
        answers["oxygen_gas"] = oxygen_answers(facts, oxygen / full)
    return answers


def toxic_ammonia_mg_l_n(system: SystemView, *, marine: bool) -> float | None:
    """Return un-ionised ammonia [mg/L N] at the tank's own pH, temperature and salinity."""
    total = _number(system, Reading.AMMONIA, "mg/L as N")
    warmth = _number(system, Reading.TEMPERATURE, "C")
    ph = _number(system, Reading.PH, "pH")
    if total is None or warmth is None or ph is None:
        return None
    if not marine:
        return total * unionised_fraction_emerson75(warmth, ph).number
    salt = _number(system, Reading.SALINITY, "g/L")
    if salt is None:
        return None
    share = unionised_fraction_clegg_whitfield95(warmth, ph, salt, scale=PhScale.NBS)
    return total * share.number


def _number(system: SystemView, what: Reading, unit: str) -> float | None:
    reading = system.readings.get(what)
    if reading is None or reading.measured is None:
        return None
    if reading.measured.kind is Kind.PRACTICAL_SALINITY:
        return reading.number("psu")
    if reading.measured.kind is Kind.OXYGEN_SATURATION:
        return None
    return reading.number(unit)


def _celsius(amount: Amount | None, otherwise: float) -> float:
    return otherwise if amount is None else amount.measured(Kind.TEMPERATURE).number("C")
