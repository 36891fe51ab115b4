"""Turn an organism and hourly water into a forecast that is ready to run."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims.organism import Organism
from tankside.course.bodies.tank_hours import TankHours
from tankside.errors import BadInput
from tankside.lifecycle.inputs.exposure import is_active_somewhere
from tankside.lifecycle.inputs.forcing import Setting
from tankside.lifecycle.inputs.mortality_factors import (
    MortalityFactor,
    mortality_factors_of,
)
from tankside.lifecycle.inputs.parameters import Parts, parts_of, require_parameters
from tankside.lifecycle.inputs.types import HostGroup


@dataclass(frozen=True, slots=True)
class Compiled:
    """An organism under one schedule, ready to run.

    ``factors`` is what kills any stage somewhere in the hours.
    """

    organism: Organism
    tank_hours: TankHours
    hosts: tuple[HostGroup, ...]
    parts: Parts
    factors: tuple[MortalityFactor, ...]

    def setting(self, last_hour: int) -> Setting:
        """Return what every stratum shares when the run ends at this hour."""
        return Setting(
            self.organism, self.parts, self.tank_hours, self.hosts, self.factors, last_hour
        )


def compile_life_cycle(
    organism: Organism, tank_hours: TankHours, hosts: tuple[HostGroup, ...]
) -> Compiled:
    """Compile one organism under one schedule.

    Args:
        organism: stages and claims.
        tank_hours: hourly water, events and where each group is.
        hosts: the fish; ids must be keys of ``tank_hours.where``.

    Returns:
        What :func:`tankside.lifecycle.run` takes.

    Raises:
        NotPossible: parameters are missing for a forecast (E-FC-02, names them).
        BadInput: a group of fish has no place, or there are no fish (E-FC-01).
    """
    require_parameters(organism)
    parts = parts_of(organism)
    lost = [group.id for group in hosts if group.id not in tank_hours.where]
    if lost or not any(group.count > 0 for group in hosts):
        raise BadInput(
            "E-FC-01",
            "The forecast needs fish, and must know in which water each group is.",
            given=", ".join(lost) or "no fish",
            needed="at least one group with a number and a body of water",
            next_step="Enter the number of each group and the water it is in.",
        )
    factors = mortality_factors_of(organism, parts, tank_hours)
    return Compiled(
        organism,
        tank_hours,
        hosts,
        parts,
        tuple(factor for factor in factors if is_active_somewhere(factor, tank_hours)),
    )
