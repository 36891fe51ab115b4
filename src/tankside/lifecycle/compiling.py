"""Turn an organism and hourly water into the arrays the kernel reads."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.claims.organism import Organism
from tankside.course.tank_hours import TankHours
from tankside.lifecycle.types import HostGroup


@dataclass(frozen=True, slots=True)
class Compiled:
    """An organism under one schedule, ready to run."""

    organism: Organism
    tank_hours: TankHours
    hosts: tuple[HostGroup, ...]


def compile_life_cycle(
    organism: Organism, tank_hours: TankHours, hosts: tuple[HostGroup, ...]
) -> Compiled:
    """Compile one organism under one schedule.

    Args:
        organism: stages and claims.
        tank_hours: hourly water, events and where each group is.
        hosts: the fish; ids must be keys of ``tank_hours.where``.

    Raises:
        NotPossible: figures are missing for a forecast (E-FC-02, names them).
    """
    return Compiled(organism, tank_hours, hosts)
