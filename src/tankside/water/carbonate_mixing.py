"""pH of two mixed fresh waters: at once (closed), and after gas exchange (open).

Mixing keeps alkalinity and dissolved carbon, not pH. A soft acid tank topped up with hard tap
water jumps less at once than it will after an hour of aeration, when the carbon dioxide that
came with the tank water has left; the toxic share of ammonia follows the pH.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tankside.claims import cited, whole_setting
from tankside.water.carbonate import (
    activity_davies,
    co2_in_balance_with_air_mg_l,
    milliequivalents,
    pk1_plummer82,
    pk2_plummer82,
    pkw_nordstrom90,
)
from tankside.water.physical import CACO3_MG_PER_MEQ, CO2_G_MOL, CO2_PER_O2, PER_THOUSAND
from tankside.water.ranged import Floats, Method, Ranged, Values, array, ph_range, temperature_range

_PLUMMER = "plummer_busenberg_1982"
_SCHMIDT = "wanninkhof_1992"
_TEN = cited(10, _PLUMMER, "base of the pH scale")

_LOWEST_PH = cited(2, _PLUMMER, "below any kept water")
_HIGHEST_PH = cited(12, _PLUMMER, "above any kept water")
_HALVINGS = whole_setting(44, "halves the pH interval of 10 down to rounding error")

MIXING = Method(
    "mix_waters",
    "pH at once and after gas exchange; alkalinity, mg/L as CaCO3",
    "alkalinity and dissolved carbon mix by volume; pH solved from both (closed) or from "
    "alkalinity and settled CO2 (open)",
    _PLUMMER,
    (
        temperature_range(0, cited(40, _PLUMMER, "kept waters")),
        ph_range(cited(5, _PLUMMER, "carbonate waters"), cited(9.5, _PLUMMER, "carbonate waters")),
    ),
    "Fresh water whose alkalinity is carbonate; not for peat or phosphate buffered water. "
    "Both waters at the temperature of the mix; no lime is thrown down.",
)


@dataclass(frozen=True, slots=True)
class CarbonateWater:
    """A water by what a keeper can read: pH and alkalinity [mg/L as CaCO3]."""

    ph: Values
    alkalinity_mg_l_caco3: Values


@dataclass(frozen=True, slots=True)
class Mixed:
    """What mixing makes.

    Args:
        ph_at_once: pH before any gas has moved.
        ph_settled: pH once carbon dioxide has settled to ``co2_settled_mg_l``.
        alkalinity_mg_l_caco3: alkalinity of the mix [mg/L as CaCO3].
        co2_at_once_mg_l: free CO2 at once [mg/L].
        co2_settled_mg_l: free CO2 it settles to [mg/L].
    """

    ph_at_once: Ranged
    ph_settled: Ranged
    alkalinity_mg_l_caco3: Floats
    co2_at_once_mg_l: Floats
    co2_settled_mg_l: Floats


@dataclass(frozen=True, slots=True)
class _Constants:
    """Concentration constants of one water: activities are folded in; mol/L."""

    k1: Floats
    k2: Floats
    kw: Floats
    g1: Floats


def _constants(temperature_c: Values, alkalinity_meq_l: Floats) -> _Constants:
    g1 = activity_davies(np.maximum(alkalinity_meq_l, 0) / PER_THOUSAND)
    g2 = g1**2 * g1**2
    return _Constants(
        k1=np.power(_TEN, -pk1_plummer82(temperature_c)) / g1,
        k2=np.power(_TEN, -pk2_plummer82(temperature_c)) * g1 / g2,
        kw=np.power(_TEN, -pkw_nordstrom90(temperature_c)) / g1,
        g1=g1,
    )


def _charges(ph: Floats, k: _Constants) -> tuple[Floats, Floats, Floats]:
    """Return per mol of CO2: bicarbonate and carbonate; and OH less H [mol/L]."""
    acid = np.power(_TEN, -ph)
    bicarbonate = k.k1 / acid
    return bicarbonate, bicarbonate * k.k2 / acid, k.kw / acid - acid / k.g1


def dissolved_carbon_mmol_l(
    temperature_c: Values, ph: Values, alkalinity_mg_l_caco3: Values
) -> Floats:
    """Return dissolved inorganic carbon [mmol/L] from pH and alkalinity (Davies activities)."""
    alkalinity = milliequivalents(alkalinity_mg_l_caco3)
    bicarbonate, carbonate, water = _charges(array(ph), _constants(temperature_c, alkalinity))
    carbon_charge = np.maximum(alkalinity / PER_THOUSAND - water, 0)
    co2 = carbon_charge / (bicarbonate + 2 * carbonate)
    found: Floats = PER_THOUSAND * co2 * (1 + bicarbonate + carbonate)
    return found


def _solve(alkalinity_of: Callable[[Floats], Floats], alkalinity: Floats) -> Floats:
    """Return the pH at which a rising alkalinity curve meets a value, by halving."""
    low = np.full(np.shape(alkalinity), _LOWEST_PH)
    high = np.full(np.shape(alkalinity), _HIGHEST_PH)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        below = alkalinity_of(middle) < alkalinity
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    found: Floats = (low + high) / 2
    return found


def ph_of_closed_water(
    temperature_c: Values, alkalinity_mg_l_caco3: Values, carbon_mmol_l: Values
) -> Floats:
    """Return the pH of water of known alkalinity [mg/L as CaCO3] and dissolved carbon [mmol/L]."""
    meq, carbon = np.broadcast_arrays(milliequivalents(alkalinity_mg_l_caco3), array(carbon_mmol_l))
    k = _constants(temperature_c, meq)

    def alkalinity_at(ph: Floats) -> Floats:
        bicarbonate, carbonate, water = _charges(ph, k)
        share = (bicarbonate + 2 * carbonate) / (1 + bicarbonate + carbonate)
        found: Floats = carbon * share + water * PER_THOUSAND
        return found

    return _solve(alkalinity_at, meq + np.zeros(np.shape(temperature_c)))


def ph_of_open_water(
    temperature_c: Values, alkalinity_mg_l_caco3: Values, co2_mg_l: Values
) -> Floats:
    """Return the pH of water of known alkalinity [mg/L as CaCO3] and free CO2 [mg/L]."""
    meq, co2 = np.broadcast_arrays(
        milliequivalents(alkalinity_mg_l_caco3), array(co2_mg_l) / CO2_G_MOL
    )
    k = _constants(temperature_c, meq)

    def alkalinity_at(ph: Floats) -> Floats:
        bicarbonate, carbonate, water = _charges(ph, k)
        found: Floats = co2 * (bicarbonate + 2 * carbonate) + water * PER_THOUSAND
        return found

    return _solve(alkalinity_at, meq + np.zeros(np.shape(temperature_c)))


def settled_co2_mg_l(
    temperature_c: Values,
    oxygen_mg_l: Values,
    oxygen_saturation_mg_l: Values,
    air_co2_ppm: Values,
    respiratory_quotient: Values,
) -> Floats:
    """Free CO2 to which an aerated, stocked tank settles, read from its oxygen.

    In balance, what the animals use of oxygen comes in through the surface and what they make
    of carbon dioxide leaves by the same way. So the measured gap to oxygen saturation tells the
    excess of CO2 over air, whatever the aeration.

    Args:
        temperature_c: water temperature [deg C].
        oxygen_mg_l: steady oxygen reading [mg/L].
        oxygen_saturation_mg_l: saturation [mg/L].
        air_co2_ppm: CO2 in the air [ppm by volume]; a claim.
        respiratory_quotient: CO2 made per O2 used, by volume; a claim.

    Returns:
        Free CO2 [mg/L]; that of air where oxygen is at or above saturation.

    Equation:
        CO2 = CO2(air) + 1.375 RQ (Cs - C) (Sc_CO2 / Sc_O2)^0.5

    Where it holds:
        steady state, gas moving through the surface (fine bubbles strip CO2 less well, so the
        true CO2 is higher), no plants in light, no CO2 added.

    Source:
        gas balance; Schmidt numbers at 20 C in fresh water of Wanninkhof 1992, J Geophys Res
        97:7373-7382 (from memory).
    """
    deficit = np.maximum(array(oxygen_saturation_mg_l) - array(oxygen_mg_l), 0)
    co2_schmidt = cited(600, _SCHMIDT, "table A1, CO2, fresh water, 20 C")
    oxygen_schmidt = cited(530, _SCHMIDT, "table A1, O2, fresh water, 20 C")
    slower = np.sqrt(co2_schmidt / oxygen_schmidt)
    made: Floats = CO2_PER_O2 * array(respiratory_quotient) * deficit * slower
    return co2_in_balance_with_air_mg_l(temperature_c, air_co2_ppm) + made


def mix_waters(
    temperature_c: Values,
    tank: CarbonateWater,
    new: CarbonateWater,
    new_share: Values,
    co2_settled_mg_l: Values,
) -> Mixed:
    """Mix two fresh waters: what pH at once, and what pH after gas exchange.

    Args:
        temperature_c: temperature of the mix [deg C].
        tank: water that stays.
        new: water that is put in.
        new_share: share of the mix that is new [0 to 1].
        co2_settled_mg_l: free CO2 after gas exchange [mg/L]: of
            :func:`settled_co2_mg_l` for a stocked tank, or of
            ``co2_in_balance_with_air_mg_l`` for water standing with an air stone.

    Returns:
        pH at once and settled, alkalinity, free CO2.

    Equation:
        alkalinity and dissolved carbon mix by volume; the charge balance with constants of
        Plummer & Busenberg 1982 and Davies activities is solved for pH.

    Where it holds:
        0 to 40 C, pH 5 to 9.5, alkalinity that is carbonate. Outside: a warning.
    """
    share = array(new_share)
    alkalinity = (1 - share) * array(tank.alkalinity_mg_l_caco3) + share * array(
        new.alkalinity_mg_l_caco3
    )
    carbon = (1 - share) * dissolved_carbon_mmol_l(
        temperature_c, tank.ph, tank.alkalinity_mg_l_caco3
    ) + share * dissolved_carbon_mmol_l(temperature_c, new.ph, new.alkalinity_mg_l_caco3)
    at_once = ph_of_closed_water(temperature_c, alkalinity, carbon)
    settled = ph_of_open_water(temperature_c, alkalinity, co2_settled_mg_l)
    low = np.minimum(array(tank.ph), array(new.ph))
    high = np.maximum(array(tank.ph), array(new.ph))
    edges = {"temperature_c": temperature_c}
    warnings = MIXING.outside(ph=low, **edges) or MIXING.outside(ph=high, **edges)
    bicarbonate, carbonate, _ = _charges(
        at_once, _constants(temperature_c, alkalinity / CACO3_MG_PER_MEQ)
    )
    return Mixed(
        ph_at_once=Ranged(at_once, warnings),
        ph_settled=Ranged(settled, warnings),
        alkalinity_mg_l_caco3=alkalinity,
        co2_at_once_mg_l=carbon / (1 + bicarbonate + carbonate) * CO2_G_MOL,
        co2_settled_mg_l=array(co2_settled_mg_l),
    )
