"""pH of one body hour by hour: what changes of water do at once, and as carbon dioxide leaves.

Alkalinity and dissolved carbon mix by volume. Between steps, dissolved carbon moves towards the
amount that holds when free carbon dioxide has settled with the air above and the animals in it.
Before the first change the reading simply holds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.claims import setting, unit_factor, whole_setting
from tankside.course.bodies.effects import Exchanged
from tankside.course.bodies.facts import find_number
from tankside.course.bodies.system import NewWater
from tankside.course.water.body_run import BodyRun
from tankside.course.water.mixing import Mixing
from tankside.quantity.per import PER_THOUSAND
from tankside.water.carbonate import (
    activity_davies,
    co2_ideal_mg_l,
    milliequivalents,
    pk1_plummer82,
    pk2_plummer82,
    pkw_nordstrom90,
)
from tankside.water.carbonate_mixing import settled_co2_mg_l
from tankside.water.carbonate_species import dissolved_carbon_mmol_l

Floats = NDArray[np.float64]

AIR_CO2_KEY = "practice.course.room_air_co2"
QUOTIENT_KEY = "practice.course.respiratory_quotient"
FRESH = "fresh"
_CO2_G_MOL = unit_factor(44.009, "molar mass of carbon dioxide, g/mol")
_AT_ONCE = setting(50.0, "a rate per hour at which gas settles within the hour")
_ROUNDS = whole_setting(6, "hydroxide settles to below 0.01 pH by then up to pH 9")
ROWS = ("alkalinity", "carbon")


@dataclass(frozen=True, slots=True)
class Acidity:
    """pH, shape (strata, hours); NaN where it is not known.

    ``settled_ph``, shape (strata,), is where the pH of the last hour goes on to once carbon
    dioxide has settled with the air; None where no change of known water moved it.
    """

    ph: Floats
    mixing: Mixing | None = None
    solved: Floats | None = None
    settled_ph: Floats | None = None


def acidity(run: BodyRun, saturation_mg_l: Floats, exchange_per_h: Floats | None) -> Acidity:
    """Return the pH of a body.

    Args:
        run: the body with temperature solved.
        saturation_mg_l: oxygen saturation [mg/L], shape (strata, hours).
        exchange_per_h: gas exchange [1/h], same shape; None when it is not known, and carbon
            dioxide is then taken to settle within the hour, which moves pH most.
    """
    shape = run.temperature_c.shape
    system = run.system
    if system.ph is None:
        return Acidity(np.full(shape, np.nan))
    steady = np.full(shape, system.ph)
    first = _first_change(run)
    if first is None or system.alkalinity_mg_l_caco3 is None or system.temperature_c is None:
        return Acidity(_with_readings(run, steady))
    rate = np.full(shape, _AT_ONCE) if exchange_per_h is None else exchange_per_h
    mixing = _mixing(run, system.ph, system.alkalinity_mg_l_caco3)
    settled = _settled(run, system.ph, system.alkalinity_mg_l_caco3, saturation_mg_l)
    retained, made = np.ones(mixing.shape), np.zeros(mixing.shape)
    mixing.retained, mixing.made = retained, made
    alkalinity = mixing.solve([0])[0]
    retained[1, :, first:] = np.exp(-rate[:, first:])
    balance = settled_carbon(run.temperature_c, alkalinity, settled[:, None])
    made[1, :, first:] = (balance * (1 - retained[1]))[:, first:]
    solved = np.stack([alkalinity, mixing.solve([1])[0]])
    ph = ph_of_carbonate(run.temperature_c, alkalinity, solved[1])
    ph[:, :first] = system.ph
    last = slice(-1, None)
    settled_ph = ph_of_carbonate(
        run.temperature_c[:, last], alkalinity[:, last], balance[:, last]
    ).ravel()
    return Acidity(_with_readings(run, ph), mixing, solved, settled_ph)


def _first_change(run: BodyRun) -> int | None:
    """Return the hour of the first new water of known pH and alkalinity, or None."""
    if run.system.water != FRESH:
        return None
    for hour, effect in run.steps.water:
        if isinstance(effect, Exchanged) and _measured(effect.new_water):
            return hour
    return None


def _measured(water: NewWater) -> bool:
    return water.ph is not None and water.alkalinity_mg_l_caco3 is not None


def _mixing(run: BodyRun, ph: float, alkalinity: float) -> Mixing:
    temperature_c = float(run.target_c[0])
    carbon = float(dissolved_carbon_mmol_l(temperature_c, ph, alkalinity))
    start = np.array([[alkalinity], [carbon]]) * np.ones(len(run.strata))
    mixing = Mixing(ROWS, run.mixing.volume_l, start, run.hours)
    for hour, effect in run.steps.water:
        if isinstance(effect, Exchanged):
            mixing.exchange(hour, effect.litres, _new(effect.new_water, temperature_c))
    return mixing


def _new(water: NewWater, temperature_c: float) -> Floats:
    if water.ph is None or water.alkalinity_mg_l_caco3 is None:
        return np.array([np.nan, np.nan])
    carbon = dissolved_carbon_mmol_l(temperature_c, water.ph, water.alkalinity_mg_l_caco3)
    return np.array([water.alkalinity_mg_l_caco3, float(carbon)])


def _settled(run: BodyRun, ph: float, alkalinity: float, saturation: Floats) -> Floats:
    """Return the free carbon dioxide [mmol/L] that each stratum settles to.

    At most what the reading of pH tells. Where oxygen was read, the milder stratum keeps that
    and the others take what the gap to oxygen saturation tells, if it is less: pH then rises
    further.
    """
    temperature_c = float(run.target_c[0])
    by_ph = co2_ideal_mg_l(temperature_c, ph, alkalinity).number
    air, quotient = (find_number(run.facts, key) for key in (AIR_CO2_KEY, QUOTIENT_KEY))
    oxygen = run.system.oxygen_mg_l
    if air is None or quotient is None or oxygen is None or not np.isfinite(saturation).all():
        return np.full(len(run.strata), by_ph / _CO2_G_MOL)
    by_gas = float(settled_co2_mg_l(temperature_c, oxygen, saturation[0, 0], air, quotient))
    lower = min(by_ph, by_gas)
    return np.array([(by_ph if spec.place > 0 else lower) / _CO2_G_MOL for spec in run.strata])


def _constants(temperature_c: Floats, meq: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the activity of a single charge, and K1 and K2 of this water [mmol/L]."""
    g1 = activity_davies(np.maximum(meq, 0.0) / PER_THOUSAND)
    square = g1 * g1
    k1 = 10.0 ** (-pk1_plummer82(temperature_c)) / g1 * PER_THOUSAND
    k2 = 10.0 ** (-pk2_plummer82(temperature_c)) * g1 / (square * square) * PER_THOUSAND
    return g1, k1, k2


def settled_carbon(temperature_c: Floats, alkalinity: Floats, co2_mmol_l: Floats) -> Floats:
    """Return dissolved carbon [mmol/L] once free carbon dioxide stands at ``co2_mmol_l``.

    Equation:
        with b = bicarbonate, a = alkalinity, c = free carbon dioxide and K1, K2 of this water:
        ``b + 2 K2 b^2 / (K1 c) = a``; carbon is ``c + a`` less the carbonate, ``K2 b^2 / (K1 c)``.

    Where it holds:
        as :func:`ph_of_carbonate`, hydroxide left out (below pH 8.5).
    """
    meq = milliequivalents(alkalinity)
    _, k1, k2 = _constants(temperature_c, meq)
    ratio = k2 / (k1 * co2_mmol_l)
    bicarbonate = 2 * meq / (1 + np.sqrt(1 + 2 * (2 * 2) * ratio * meq))
    carbon: Floats = co2_mmol_l + meq - ratio * bicarbonate * bicarbonate
    return carbon


def ph_of_carbonate(temperature_c: Floats, alkalinity: Floats, carbon_mmol_l: Floats) -> Floats:
    """Return pH from alkalinity [mg/L as CaCO3] and dissolved carbon [mmol/L], without a search.

    Equation:
        with a = alkalinity less hydroxide plus free acid, c = carbon and the constants K1, K2 of
        this water, ``a h^2 + K1 (a - c) h + K1 K2 (a - 2 c) = 0`` for h, the activity of H+;
        hydroxide and free acid are put in from the last round, a few rounds over.

    Where it holds:
        fresh water whose alkalinity is carbonate, pH 5.5 to 9 (8.4 at 20 mg/L). The same balance is
        solved by search in ``water.carbonate_species``; the tests hold the two together.
    """
    tiny = np.finfo(np.float64).tiny
    meq = milliequivalents(alkalinity)
    g1, k1, k2 = _constants(temperature_c, meq)
    kw = 10.0 ** (-pkw_nordstrom90(temperature_c)) / g1 * PER_THOUSAND * PER_THOUSAND
    acid = np.zeros_like(meq * k1)
    charge = meq
    for _ in range(_ROUNDS):
        half = k1 * (charge - carbon_mmol_l) / 2
        inside = half * half - charge * k1 * k2 * (charge - 2 * carbon_mmol_l)
        acid = np.maximum((np.sqrt(np.maximum(inside, 0.0)) - half) / charge, tiny)
        charge = np.maximum(meq - kw / acid + acid / g1, meq / 2)
    ph: Floats = -np.log10(acid / PER_THOUSAND)
    return ph


def _with_readings(run: BodyRun, ph: Floats) -> Floats:
    """Shift the series to every pH that is read during the course."""
    for hour, effect in run.steps.water:
        values = getattr(effect, "values", {})
        if "ph" in values:
            ph[:, hour:] += values["ph"] - ph[:, hour : hour + 1]
    return ph
