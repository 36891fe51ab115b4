"""pH of two mixed fresh waters: at once (closed), and after gas exchange (open).

Mixing keeps alkalinity and dissolved carbon, not pH. A soft acid tank topped up with hard tap
water jumps less at once than it will after an hour of aeration, when the carbon dioxide that
came with the tank water has left; the toxic share of ammonia follows the pH.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims import cited
from tankside.water.carbonate import co2_in_balance_with_air_mg_l
from tankside.water.carbonate_species import (
    dissolved_carbon_mmol_l,
    free_co2_mg_l,
    ph_of_closed_water,
    ph_of_open_water,
)
from tankside.water.physical import CO2_PER_O2
from tankside.water.ranged import Floats, Method, Ranged, Values, array, ph_range, temperature_range

_PLUMMER = "plummer_busenberg_1982"
_SCHMIDT = "wanninkhof_1992"
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
    """A water by what a keeper can read.

    Args:
        ph: pH on the activity (NBS) scale.
        alkalinity_mg_l_caco3: alkalinity [mg/L as CaCO3].
        calcium_mg_l_caco3: calcium hardness [mg/L as CaCO3]; None when not known, which reads
            the pH of hard water above pH 8 up to 0.1 too low.
    """

    ph: Values
    alkalinity_mg_l_caco3: Values
    calcium_mg_l_caco3: Values | None = None

    @property
    def calcium(self) -> Floats:
        """Calcium hardness [mg/L as CaCO3], none where it is not known."""
        return array(0.0 if self.calcium_mg_l_caco3 is None else self.calcium_mg_l_caco3)

    @property
    def carbon(self) -> tuple[Values, Values, Floats]:
        """pH, alkalinity and calcium, as the carbonate functions take them."""
        return self.ph, self.alkalinity_mg_l_caco3, self.calcium


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

    def mixed(of_tank: Values, of_new: Values) -> Floats:
        average: Floats = (1 - share) * array(of_tank) + share * array(of_new)
        return average

    alkalinity = mixed(tank.alkalinity_mg_l_caco3, new.alkalinity_mg_l_caco3)
    calcium = mixed(tank.calcium, new.calcium)
    carbon = mixed(
        dissolved_carbon_mmol_l(temperature_c, *tank.carbon),
        dissolved_carbon_mmol_l(temperature_c, *new.carbon),
    )
    at_once = ph_of_closed_water(temperature_c, alkalinity, carbon, calcium)
    settled = ph_of_open_water(temperature_c, alkalinity, co2_settled_mg_l, calcium)
    low = np.minimum(array(tank.ph), array(new.ph))
    high = np.maximum(array(tank.ph), array(new.ph))
    warnings = MIXING.outside(ph=low, temperature_c=temperature_c) or MIXING.outside(ph=high)
    return Mixed(
        ph_at_once=Ranged(at_once, warnings),
        ph_settled=Ranged(settled, warnings),
        alkalinity_mg_l_caco3=alkalinity,
        co2_at_once_mg_l=free_co2_mg_l(temperature_c, at_once, alkalinity, calcium),
        co2_settled_mg_l=array(co2_settled_mg_l),
    )
