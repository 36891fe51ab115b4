"""What the readings of a water answer for the differential."""

from __future__ import annotations

from tankside.case import Amount, Reading, SystemView
from tankside.claims import Knowledge
from tankside.claims.diagnosis import DiagnosisFacts
from tankside.diagnose.context import nitrogen_answers, oxygen_answers, temperature_answers
from tankside.intake.reading_widths import Edges, edges
from tankside.library import load
from tankside.quantity import Kind
from tankside.water.ammonia_fresh import unionised_fraction_emerson75
from tankside.water.ammonia_saline import unionised_fraction_clegg_whitfield95
from tankside.water.oxygen_solubility import oxygen_saturation_benson_krause84
from tankside.water.ph_scale import PhScale

LOW, HIGH = 0, 1
Answers = dict[str, frozenset[str]]


def water_answers(main: SystemView, facts: DiagnosisFacts, *, marine: bool) -> Answers:
    """Return what the latest readings of a water answer: warmth, ammonia and nitrite, oxygen.

    Args:
        main: the water the fish live in.
        facts: the edges of the answers.
        marine: whether it is sea water.
    """
    answers: Answers = {}
    cited = load()
    warmth = _number(main, Reading.TEMPERATURE, "C")
    if warmth is not None:
        coldest, warmest = _edges(main, Reading.TEMPERATURE, cited, warmth)
        low = _celsius(main.description.temperature_low, coldest)
        high = _celsius(main.description.temperature_high, warmest)
        span = (min(low, coldest), max(high, warmest))
        answers["water_temperature"] = temperature_answers(facts, *span)
    nitrogen = nitrogen_of(main, facts, cited, marine=marine)
    if nitrogen is not None:
        answers["nitrogen"] = nitrogen
    oxygen = _number(main, Reading.OXYGEN, "mg/L")
    if oxygen is not None and warmth is not None:
        salt = _number(main, Reading.SALINITY, "g/L") or 0.0
        full = oxygen_saturation_benson_krause84(warmth, salt).number
        shares = (mg_l / full for mg_l in _edges(main, Reading.OXYGEN, cited, oxygen))
        answers["oxygen_gas"] = frozenset().union(*(oxygen_answers(facts, s) for s in shares))
    return answers


def nitrogen_of(
    main: SystemView, facts: DiagnosisFacts, cited: Knowledge, *, marine: bool
) -> frozenset[str] | None:
    """Return how ammonia and nitrite of a water count, at both edges of what was read.

    None when neither was measured.

    Args:
        main: the water.
        facts: the edges of the answers.
        cited: how far a kit that was not checked may be off.
        marine: whether it is sea water.
    """
    total = _number(main, Reading.AMMONIA, "mg/L as N")
    nitrite = _number(main, Reading.NITRITE, "mg/L as N")
    toxic = toxic_ammonia_mg_l_n(main, marine=marine)
    graded = [
        nitrogen_answers(
            facts,
            toxic_ammonia_mg_l_n=_edge(main, Reading.AMMONIA, cited, toxic, edge),
            total_ammonia_mg_l_n=_edge(main, Reading.AMMONIA, cited, total, edge),
            nitrite_mg_l_n=_edge(main, Reading.NITRITE, cited, nitrite, edge),
            sea_water=marine,
        )
        for edge in (LOW, HIGH)
    ]
    measured = [grade for grade in graded if grade is not None]
    return frozenset().union(*measured) if measured else None


def _edges(main: SystemView, what: Reading, cited: Knowledge, value: float) -> Edges:
    return edges(main.readings[what], cited, value)


def _edge(
    main: SystemView, what: Reading, cited: Knowledge, value: float | None, edge: int
) -> float | None:
    return None if value is None else _edges(main, what, cited, value)[edge]


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
