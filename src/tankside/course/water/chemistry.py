"""Gases, nitrogen and pH of every body, worked out once its mixing and temperature are known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.tank_hours import BodyHours
from tankside.course.water.acidity import Acidity, acidity
from tankside.course.water.body_run import BodyRun
from tankside.course.water.nitrogen import Nitrogen, crowding, nitrogen
from tankside.course.water.oxygen import Oxygen, oxygen


@dataclass(frozen=True, slots=True)
class Chemistry:
    """One body with everything worked out; arrays of shape (strata, hours)."""

    run: BodyRun
    oxygen: Oxygen
    nitrogen: Nitrogen
    acidity: Acidity

    def hours(self, at: int) -> BodyHours:
        """Return what everything downstream reads, in stratum ``at``."""
        run = self.run
        return BodyHours(
            body=run.system.id,
            volume_l=float(run.mixing.volume_l[at]),
            temperature_c=run.temperature_c[at],
            salinity_g_l=run.salinity_g_l[at],
            residue_low_mg_l={agent: series[at] for agent, series in run.residue_low.items()},
            residue_high_mg_l={agent: series[at] for agent, series in run.residue_high.items()},
            oxygen_mg_l=self.oxygen.oxygen_mg_l[at],
            total_ammonia_mg_l_n=self.nitrogen.ammonia_mg_l_n[at],
            nitrite_mg_l_n=self.nitrogen.nitrite_mg_l_n[at],
            ph=self.acidity.ph[at],
            light=run.light,
            exchange_per_h=run.through_per_h[at],
            uv_per_h=run.uv,
            fine_filter_per_h=run.fine_filter,
        )


def chemistry(
    bodies: Sequence[BodyRun],
    stock: Sequence[StockGroup],
    where: Mapping[str, NDArray[np.int16]],
) -> tuple[Chemistry, ...]:
    """Return the chemistry of every body, given where each group is hour by hour."""
    of_bodies = []
    for index, run in enumerate(bodies):
        inside = {group: series == index for group, series in where.items()}
        air = oxygen(run, crowding(stock, inside, run.hours))
        acid = acidity(run, air.saturation_mg_l, air.exchange_per_h)
        of_bodies.append(Chemistry(run, air, nitrogen(run, stock, inside), acid))
    return tuple(of_bodies)
