"""What drives a stage off the fish alive: it leaves early and goes on where it falls.

``leave.<agent>.<stage>.mg_h_l`` is strength times hours after which a stage that has just begun
has left: in water of that strength the clock of the residence gains a whole residence time in so
many hours. ``leave.<agent>.<stage>.least_mg_l`` is the weakest strength that was tried: weaker
water drives nothing off, since an effect is counted at its low end. Baths are left out, because
what falls there does not fall into the tank.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tankside.claims.organism import LifeStage, Organism
from tankside.course.bodies.tank_hours import BodyHours
from tankside.lifecycle.inputs.types import Floats

LEAVE = "leave"


def drives_off(organism: Organism, agent: str, stage: LifeStage) -> bool:
    """Whether print says that an agent makes a stage leave the fish early."""
    return organism.known(_key(agent, stage))


def detachment(
    organism: Organism,
    stage: LifeStage | None,
    bodies: Sequence[BodyHours],
    where: NDArray[np.int64],
) -> Floats:
    """Return what agents add to the clock of the residence on the fish in each hour, (G, H).

    The middle of the bracket of each strength counts: one clock serves all histories.

    Args:
        organism: with its claims.
        stage: the timed stage on the fish; None adds nothing.
        bodies: in the order of ``where``.
        where: body each group is in, hour by hour; -1 is nowhere.
    """
    added = np.zeros(where.shape)
    if stage is None:
        return added
    hours = where.shape[1]
    for number, body in enumerate(bodies):
        here = where == number
        for agent, low in body.residue_low_mg_l.items():
            if drives_off(organism, agent, stage):
                strength = (low + body.residue_high_mg_l[agent])[:hours] / 2
                tried = np.where(strength >= _least_mg_l(organism, agent, stage), strength, 0.0)
                per_hour = tried / organism.claims[_key(agent, stage)].number()
                added += np.where(here, per_hour[np.newaxis, :], 0.0)
    return added * organism.claims[f"{stage.key}.residence"].number()


def _key(agent: str, stage: LifeStage, what: str = "mg_h_l") -> str:
    return f"{LEAVE}.{agent}.{stage.key}.{what}"


def _least_mg_l(organism: Organism, agent: str, stage: LifeStage) -> float:
    """Return the weakest strength that was tried [mg/L]; 0 where no print says."""
    key = _key(agent, stage, "least_mg_l")
    return organism.claims[key].number() if organism.known(key) else 0.0
