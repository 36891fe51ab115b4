"""Turn an organism and hourly water into a forecast that is ready to run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tankside.claims.organism import Organism
from tankside.course.tank_hours import TankHours
from tankside.errors import BadInput
from tankside.lifecycle.figures import Parts, parts_of, require_figures
from tankside.lifecycle.forcing import Setting, kill_source
from tankside.lifecycle.types import HostGroup


@dataclass(frozen=True, slots=True)
class Compiled:
    """An organism under one schedule, ready to run.

    ``without_figures`` names agents in the water for which no kill figure is recorded: they do
    nothing in the forecast, which must be said wherever it is shown.
    """

    organism: Organism
    tank_hours: TankHours
    hosts: tuple[HostGroup, ...]
    parts: Parts
    agents: tuple[str, ...]
    without_figures: tuple[str, ...]

    def setting(self, last_hour: int) -> Setting:
        """Return what every stratum shares when the run ends at this hour."""
        return Setting(
            self.organism, self.parts, self.tank_hours, self.hosts, self.agents, last_hour
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
        NotPossible: figures are missing for a forecast (E-FC-02, names them).
        BadInput: a group of fish has no place, or there are no fish (E-FC-01).
    """
    require_figures(organism)
    parts = parts_of(organism)
    lost = [group.id for group in hosts if group.id not in tank_hours.where]
    if lost or not any(group.count > 0 for group in hosts):
        raise BadInput(
            "E-FC-01",
            "The forecast needs fish, and must know in which water each group is.",
            given=", ".join(lost),
            needed="at least one group with a number and a body of water",
        )
    present = _agents_present(tank_hours)
    known = tuple(
        agent
        for agent in present
        if any(kill_source(organism, agent, stage.key) for stage in organism.stages)
    )
    return Compiled(
        organism, tank_hours, hosts, parts, known, tuple(a for a in present if a not in known)
    )


def _agents_present(tank_hours: TankHours) -> tuple[str, ...]:
    names = {event.agent for event in tank_hours.events if event.agent}
    for stratum in tank_hours.strata:
        for body in stratum.bodies:
            names |= {a for a, strength in body.residue_high_mg_l.items() if np.any(strength > 0)}
    return tuple(sorted(names))
