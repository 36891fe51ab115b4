"""What a forecast does where the water of a second tank was not measured: it takes the first's."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tankside.course.bodies.tank_hours import BodyHours, TankHours
from tankside.lifecycle.inputs.types import Floats

READ = ("temperature_c", "salinity_g_l")
"""What sets the clocks of the stages; without it a stage would stand still for ever."""


def unmeasured(tank_hours: TankHours) -> tuple[str, ...]:
    """Return the bodies of water whose warmth is not known at some hour."""
    return tuple(
        body.body
        for body in tank_hours.strata[0].bodies
        if not np.isfinite(body.temperature_c).all()
    )


def as_in(tank_hours: TankHours, measured_body: str) -> TankHours:
    """Return the hours with unknown warmth and salt taken from another body of water.

    Fish are moved into water as warm and as salty as the water they come from. For the stages of a
    parasite alone: safety and amounts keep what was not measured as not known.

    Args:
        tank_hours: all bodies of water.
        measured_body: id of the body whose water was measured.
    """
    if not unmeasured(tank_hours):
        return tank_hours
    strata = []
    for stratum in tank_hours.strata:
        like = next(body for body in stratum.bodies if body.body == measured_body)
        bodies = tuple(_filled(body, like) for body in stratum.bodies)
        strata.append(replace(stratum, bodies=bodies))
    return replace(tank_hours, strata=tuple(strata))


def _filled(body: BodyHours, like: BodyHours) -> BodyHours:
    filled: dict[str, Floats] = {}
    for name in READ:
        series = getattr(body, name)
        filled[name] = np.where(np.isfinite(series), series, getattr(like, name))
    return replace(body, **filled)  # type: ignore[arg-type]  # fields by name
